"""The push in steps: deformed outlines and contact pressures of every accepted increment, moved through by a slider.

Everything is drawn here, all states beforehand; the script only puts one state's paths in the place of another's. Without a
script, and on paper, the last state is shown.
"""

import json
import math
from html import escape
from typing import Any

import numpy as np

from colletfea.cases.report import html
from colletfea.cases.report.figures.canvas import BORE, CONE, FAINT, INK, PART_COLOURS, STATE_LOOKS
from colletfea.cases.report.figures.meridian import bodies, loops
from colletfea.cases.report.figures.pressure import edges
from colletfea.cases.report.wording import number, quantity, true_minus
from colletfea.cases.stored.names import CONTACT_STATES, STEPS
from colletfea.cases.stored.result import Result

WIDE, LEFT, RIGHT, TOP, BAND, GAP = 1800, 130, 40, 30, 230, 46  # of the drawing, in its own units
FACTORS = (1, 2, 3, 4, 5, 6, 8, 10, 15, 20, 30, 50, 100)
LARGEST = 0.1  # of the section's length: the greatest displacement as it is drawn
STRIP = 26  # height of the strip of states below a pressure

SCRIPT = """
(function () {
  var box = document.getElementById("steps"), data = JSON.parse(box.querySelector("script").textContent);
  var slide = box.querySelector("input"), said = box.querySelector("output"), last = data.said.length - 1;
  function show(k) {
    said.textContent = data.said[k];
    slide.setAttribute("aria-valuetext", data.said[k]);
    for (var name in data.paths) box.querySelector("[data-path=" + name + "]").setAttribute("d", data.paths[name][k]);
  }
  slide.max = slide.value = last;
  slide.parentNode.hidden = false;
  slide.addEventListener("input", function () { show(+slide.value); });
  addEventListener("beforeprint", function () { show(last); });
  addEventListener("afterprint", function () { show(+slide.value); });
})();
"""


def slider(result: Result) -> str:
    """The figure with its slider; empty for results without stored increments."""
    rows = result.stage("push")
    if result.section is None or f"{STEPS}travel" not in result.section or len(rows) < 2:
        return ""
    steps = {name.removeprefix(STEPS): array for name, array in result.section.items() if name.startswith(STEPS)}
    if len(steps["travel"]) != len(rows):
        return ""
    drawing = _Drawing(result.section, steps)
    said = [_said(k, len(rows), row) for k, row in enumerate(rows)]
    data = json.dumps({"said": said, "paths": drawing.paths}, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c")
    caption = (
        f"Displacements and clearance drawn {number(drawing.factor)} times as large, radii and lengths to scale among themselves; the thin "
        "outline is where the parts began. Below: pressure on bore and cone, up to the greatest of all increments, with the state of each element."
    )
    return html.group(
        "steps",
        '<figure id="steps" class="tall">',
        f'<label hidden>Increment of the push <input type="range" min="0" max="{len(rows) - 1}" value="{len(rows) - 1}"></label>',
        f'<output>{escape(said[-1])}</output><div class="plot">{drawing.svg()}</div>',
        f"<figcaption>{escape(caption)}</figcaption>",
        f'<script type="application/json">{data}</script></figure><script>{SCRIPT}</script>',
    )


def _said(k: int, count: int, row: dict[str, Any]) -> str:
    texts = [f"ring travel {quantity(row['travel_mm'], 'mm')}", f"push {quantity(row['push_force_N'], 'N')}"]
    more = (("bore_mean_pressure_MPa", "mean pressure on the bore", "MPa"), ("torque_capacity_Nm", "torque capacity", "N·m"))
    texts += [f"{label} {quantity(row[key], unit)}" for key, label, unit in more if row.get(key) is not None]
    return f"Increment {k} of {count - 1}: {', '.join(texts)}"


class _Drawing:
    """Paths of all states by name, and the SVG that shows the last one."""

    def __init__(self, section: dict[str, Any], steps: dict[str, Any]):
        self.steps, nodes = steps, section["nodes"]
        rim = nodes[steps["nodes"]]
        place = {int(node): k for k, node in enumerate(steps["nodes"])}
        self.loops = {
            body: [[place[node] for node in loop if node in place] for loop in loops(cells)] for body, cells in bodies(section).items()
        }
        self.z0, length = float(rim[:, 1].min()), float(np.ptp(rim[:, 1]))
        greatest = float(np.abs(steps["displacement"]).max(initial=0.0))
        room = min(LARGEST * length, self._to_the_flange(rim, float(steps["travel"].max(initial=0.0))))
        self.factor = max((f for f in FACTORS if f * greatest <= room), default=1)
        self.scale = (WIDE - LEFT - RIGHT) / length
        shaft = rim[sum(self.loops.get("shaft", []), [])]
        self.low, self.high = 0.6 * float(shaft[:, 0].max()), float(rim[:, 0].max())
        self.start = rim + self._apart(rim, float(shaft[:, 0].max()))
        self.foot = TOP + self.scale * (1.02 * self.high - self.low)
        self.top = {pair: 1.05 * float(steps[f"pressure_{pair}"].max(initial=0.0)) or 1.0 for pair in ("bore", "cone")}
        self.paths = {body: [self._outlines(body, moved) for moved in steps["displacement"]] for body in self.loops}
        for index, pair in enumerate(("bore", "cone")):
            self.paths |= self._pair(pair, self.foot + GAP + index * (BAND + STRIP + GAP))

    def _to_the_flange(self, rim: np.ndarray, travel: float) -> float:
        """Way [mm] that the ring can be drawn to move before it would seem to meet a flange that it never met."""
        if not {"ring", "flange"} <= self.loops.keys():
            return math.inf
        ring, flange = (rim[sum(self.loops[body], []), 1] for body in ("ring", "flange"))
        gap = float(ring.min() - flange.max())
        return 0.8 * gap if gap > travel else math.inf

    def _apart(self, rim: np.ndarray, shaft: float) -> np.ndarray:
        """Outward shift of all but the shaft: the clearance grows with the displacements that close it, or parts would overlap."""
        bore = min(rim[k, 0] for body in self.loops if body != "shaft" for loop in self.loops[body] for k in loop)
        shift = np.zeros_like(rim)
        for body, found in self.loops.items():
            if body != "shaft":
                shift[sum(found, []), 0] = (self.factor - 1) * max(bore - shaft, 0.0)
        return shift

    def _outlines(self, body: str, moved: np.ndarray) -> str:
        points = self.start + self.factor * moved
        x = np.rint(LEFT + self.scale * (points[:, 1] - self.z0)).astype(int)
        y = np.rint(self.foot - self.scale * (np.maximum(points[:, 0], self.low) - self.low)).astype(int)
        return "".join("M" + " ".join(f"{x[k]} {y[k]}" for k in loop) + "Z" for loop in self.loops[body])

    def _pair(self, pair: str, top: float) -> dict[str, list[str]]:
        """Paths of a pressure's bars and of the strips of its states, in all increments."""
        bounds = [LEFT + self.scale * (z - self.z0) for z in edges([{"z_mm": float(z)} for z in self.steps[f"z_{pair}"]])]
        sides = [(round(a), round(b)) for a, b in zip(bounds, bounds[1:])]
        foot = round(top + BAND)
        levels = np.rint(BAND * self.steps[f"pressure_{pair}"] / self.top[pair]).astype(int)
        found = {pair: ["".join(f"M{a} {foot}v{-h}H{b}V{foot}Z" for (a, b), h in zip(sides, row) if h > 0) for row in levels]}
        for code, state in enumerate(CONTACT_STATES):
            found[f"{pair}-{state}"] = [
                "".join(f"M{a} {foot + 4}H{b}v{STRIP - 6}H{a}Z" for (a, b), own in zip(sides, row) if own == code)
                for row in self.steps[f"state_{pair}"]
            ]
        return found

    def svg(self) -> str:
        """The last state, with outlines of the first."""
        high = round(self.foot + GAP + 2 * (BAND + STRIP + GAP) + 60)
        parts = [_path(body, self.paths[body][-1], PART_COLOURS.get(body, FAINT), INK) for body in sorted(self.loops, key=_order)]
        begun = "".join(self._outlines(body, 0 * self.start) for body in self.loops)
        parts.append(f'<path d="{begun}" fill="none" stroke="{INK}" stroke-width="1.5" stroke-dasharray="6 6"/>')
        for index, (pair, colour) in enumerate((("bore", BORE), ("cone", CONE))):
            foot = self.foot + GAP + index * (BAND + STRIP + GAP) + BAND
            parts += self._axis(pair, foot)
            parts.append(_path(pair, self.paths[pair][-1], colour, "none", 0.6))
            for state, (face, hatched) in STATE_LOOKS.items():
                parts.append(_path(f"{pair}-{state}", self.paths[f"{pair}-{state}"][-1], "url(#steps-slip)" if hatched else face, "none"))
        parts += [*self._places(high - 78), *_legend(high - 14)]
        return (
            f'<svg role="group" aria-label="The push in steps" viewBox="0 0 {WIDE} {high}" font-size="25" fill="{INK}" stroke-linejoin="round">'
            f'<defs><pattern id="steps-slip" width="9" height="9" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
            f'<rect width="9" height="9" fill="{STATE_LOOKS["slip"][0]}"/><path d="M0 0V9" stroke="{INK}" stroke-width="3"/></pattern></defs>'
            f'{"".join(parts)}</svg>'
        )

    def _places(self, y: float) -> list[str]:
        """Round places along the axis below the lower strip."""
        length = (WIDE - LEFT - RIGHT) / self.scale
        step = next(s * 10.0**p for p in range(-3, 6) for s in (1, 2, 5) if length <= 9 * s * 10.0**p)
        at = [step * k for k in range(math.ceil(self.z0 / step), math.floor((self.z0 + length) / step) + 1)]
        words = [true_minus(f"{z:g}") for z in at]
        texts = [f'<text x="{LEFT + self.scale * (z - self.z0):.0f}" y="{y:.0f}" text-anchor="middle">{w}</text>' for z, w in zip(at, words)]
        return [*texts, f'<text x="4" y="{y:.0f}">z [mm]</text>']

    def _axis(self, pair: str, foot: float) -> list[str]:
        """Foot line, greatest pressure and name of a pair."""
        level = BAND / 1.05
        return [
            f'<path d="M{LEFT} {foot:.0f}H{WIDE - RIGHT}M{LEFT} {foot - level:.0f}H{WIDE - RIGHT}" stroke="{FAINT}" stroke-width="1.5"/>',
            f'<text x="{LEFT - 12}" y="{foot + 8:.0f}" text-anchor="end">0</text>',
            f'<text x="{LEFT - 12}" y="{foot - level + 8:.0f}" text-anchor="end">{number(self.top[pair] / 1.05, 3)}</text>',
            f'<text x="{LEFT - 12}" y="{foot - level / 2:.0f}" text-anchor="end">{pair}</text>',
            f'<text x="{LEFT - 12}" y="{foot - level / 2 + 30:.0f}" text-anchor="end">MPa</text>',
        ]


def _order(body: str) -> int:
    """The ring first: where tapers differ its magnified travel may reach under the sleeve's outline."""
    return ("ring", "flange", "sleeve", "shaft").index(body) if body in ("ring", "flange", "sleeve", "shaft") else 0


def _path(name: str, d: str, fill: str, stroke: str, opacity: float = 1.0) -> str:
    return f'<path data-path="{name}" d="{d}" fill="{fill}" fill-opacity="{opacity:g}" stroke="{stroke}" stroke-width="2"><title>{name}</title></path>'


def _legend(y: float) -> list[str]:
    """The states' looks, side by side."""
    found = []
    for k, (state, (face, hatched)) in enumerate(STATE_LOOKS.items()):
        x = LEFT + 190 * k
        fill = "url(#steps-slip)" if hatched else face
        found.append(f'<rect x="{x}" y="{y - 20:.0f}" width="40" height="22" fill="{fill}" stroke="{FAINT}"/><text x="{x + 52}" y="{y:.0f}">{state}</text>')
    return found
