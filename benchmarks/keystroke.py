"""From a keystroke on the page to its numbers by hand and its drawing, in a browser without a window: median of 20.

    python benchmarks/keystroke.py [--strokes 20]

Needs the extra `page`, selenium, and Debian's chromium with its driver, as the tests of the page do. The time is the browser's own: from
the input event of a field to the first frame after numbers and drawing were put in place.
"""

from __future__ import annotations

import argparse
import json
import os
import statistics
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests"))
from helpers.browser import View, chromium, served  # noqa: E402

STROKE = """
const [key, text, done] = arguments, field = document.getElementById("f-" + key), start = performance.now();
new MutationObserver((_, watch) => {
  if (document.body.classList.contains("waiting")) return;
  watch.disconnect();
  requestAnimationFrame(() => done(performance.now() - start));
}).observe(document.body, {attributes: true, attributeFilter: ["class"]});
field.value = text;
field.dispatchEvent(new Event("input", {bubbles: true}));
"""


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--strokes", type=int, default=20)
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        with served(folder / "server") as (address, _), chromium(folder) as driver:
            page = View(driver, folder).go(address)
            times = [driver.execute_async_script(STROKE, "sleeve.taper", f"{4.5 + 0.01 * k:.2f}") for k in range(given.strokes + 1)][1:]
            drawn = page.js("document.getElementById('drawing').textContent")
    print(json.dumps({
        "milliseconds": [round(t, 1) for t in times], "median": statistics.median(times), "slowest": max(times),
        "drawn": f"Cone {4.5 + 0.01 * given.strokes:g}° half angle" in drawn, "load": os.getloadavg(),
    }, indent=1))  # fmt: skip


if __name__ == "__main__":
    main()
