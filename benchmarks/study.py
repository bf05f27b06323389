"""What a study costs, as ratios measured in one run: two workers against one, and a case of a study against a `run` of its own.

    python benchmarks/study.py [--cases 32] [--runs 5] [--out study.json]

Wall time tells of the machine and of who else is on it, so the load is printed and processor time stands beside it: the ratio of
processor times hangs on the program alone. The sleeve is the small closed one of benchmarks/speed.py at a given travel, whose case
is one push; the samples are of the main example, whose `run` is four pushes and the end of another, and a sample one. One BLAS thread.
"""

from __future__ import annotations

import os

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # before numpy is imported, or it has no effect

import argparse
import json
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any, Callable

from colletfea.cases.casefile import examples
from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.text import dump
from colletfea.cases.study import conduct
from speed import TABLES

SMALL = Case.from_tables(TABLES, "small")


def measured(action: Callable[[], Any]) -> dict[str, float]:
    """Wall time and processor time of all processes [s] that an action starts and waits for, and of this one."""
    clock, before = time.perf_counter(), _processor()
    action()
    return {"wall_seconds": time.perf_counter() - clock, "processor_seconds": _processor() - before}


def _processor() -> float:
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(one.ru_utime + one.ru_stime for one in used)


def grid(count: int, workers: int) -> None:
    """A study of the small sleeve over its wall, stored in a folder of its own; workers are processes, one as well."""
    asked = conduct.question(SMALL, {"sleeve.nose_wall": conduct.vary.spread(1.3, 1.5, count)}, level="quick")
    _conducted(asked, workers)


def samples(count: int) -> None:
    """Samples of the main example by one process, the solve that finds its clamp force included."""
    _conducted(conduct.question(Case.example(examples.names()[0]), random=count, level="quick"), 1)


def _conducted(asked: conduct.Study, workers: int) -> None:
    pool = conduct.partial(conduct.workers.local, workers)
    with tempfile.TemporaryDirectory() as folder:
        outcome = conduct.conduct(asked, pool, folder)
        if len(outcome.rows) != asked.count or outcome.rows.failed:
            raise RuntimeError(f"{outcome.rows.failed} cases failed: {outcome.message}")


def runs(text: str, count: int) -> None:
    """`run --quick --no-fields` as processes, one after the other."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "case.toml"
        file.write_text(text, encoding="utf-8")
        command = [sys.executable, "-m", "colletfea", "run", str(file), "--quick", "--no-fields", "--json", "--out", f"{folder}/out"]
        for _ in range(count):
            subprocess.run(command, check=True, capture_output=True)


def ratio(above: dict[str, float], cases: int, below: dict[str, float], others: int) -> dict[str, float]:
    """Seconds a case of one measurement over those of another."""
    return {name.replace("seconds", "ratio"): above[name] / cases / (below[name] / others) for name in above}


def main() -> None:
    """Measure, print, and store where asked."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--cases", type=int, default=32)
    parser.add_argument("--runs", type=int, default=5)
    parser.add_argument("--out", type=Path, help="JSON file to write")
    given = parser.parse_args()
    start = os.getloadavg()
    one, two = (measured(lambda n=n: grid(given.cases, n)) for n in (1, 2))
    alone = measured(lambda: runs(dump(SMALL.tables()), given.runs))
    drawn = measured(lambda: samples(given.cases))
    whole = measured(lambda: runs(examples.text(examples.names()[0]), given.runs))
    results = {
        "cases": given.cases, "runs": given.runs, "processors": conduct.workers.default_count(),
        "load_before": start, "load_after": os.getloadavg(),
        "one_worker": one, "two_workers": two, "times_as_fast": one["wall_seconds"] / two["wall_seconds"],
        "run_of_the_small_sleeve": alone, "cases_for_one_run": ratio(alone, given.runs, one, given.cases),
        "samples": drawn, "run_of_the_main_example": whole, "samples_for_one_run": ratio(whole, given.runs, drawn, given.cases),
    }
    text = json.dumps(results, indent=1)
    print(text)
    if given.out:
        given.out.write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
