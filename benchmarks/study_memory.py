"""Memory and time of a study of many cases: one process, rows stored as they come.

    python benchmarks/study_memory.py [--cases 10000] [--minutes 25] [--out memory.json]

Samples of a small closed sleeve without clearance on a coarse mesh, level quick, the cheapest case there is: one push each. The process
that hands out the cases computes them, so its resident memory is that of both. It is printed twenty times; the study ends where the
minutes are over, and where --folder names one that holds rows already it goes on there.
"""

from __future__ import annotations

import os

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # before numpy is imported, or it has no effect

import argparse
import json
import statistics
import tempfile
import time
from pathlib import Path

from colletfea.cases.casefile.case import Case
from colletfea.cases.study import conduct
from speed import TABLES

CHEAP = Case.from_tables(
    {
        **TABLES, "sleeve": {**TABLES["sleeve"], "clearance": 0.0}, "push": {"travel": 0.3},
        "friction": {"cone": [0.06, 0.08, 0.1], "bore": [0.1, 0.12, 0.14]}, "mesh": {"size": 0.8}, "solver": {"increments": 2, "augment": False},
    },
    "cheap",
)
_PAGE = os.sysconf("SC_PAGE_SIZE")


def resident() -> float:
    """Resident memory of this process [MB]; Linux only."""
    return int(Path("/proc/self/statm").read_text().split()[1]) * _PAGE / 1e6


class Watch:
    """Notes memory and time as cases end, and interrupts the study when its time is over."""

    def __init__(self, count: int, seconds: float) -> None:
        self.count, self.seconds, self.clock, self.used = count, seconds, time.perf_counter(), time.process_time()
        self.notes: list[dict[str, float]] = []
        self.every: list[float] = []

    def __call__(self, done: float, text: str) -> None:
        """Progress of a study."""
        case, spent = round(done * self.count), time.perf_counter() - self.clock
        self.every.append(resident())
        if case % max(1, self.count // 20) == 0 or case in (1, 10, 100):
            note = {"cases": case, "seconds": round(spent, 1), "processor_seconds": round(time.process_time() - self.used, 1),
                    "resident_MB": round(self.every[-1], 1)}  # fmt: skip
            self.notes.append(note)
            print(json.dumps(note), flush=True)
        if spent > self.seconds:
            raise KeyboardInterrupt


def main() -> None:
    """Run, print, and store where asked."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--cases", type=int, default=10000)
    parser.add_argument("--minutes", type=float, default=25)
    parser.add_argument("--out", type=Path, help="JSON file to write")
    given = parser.parse_args()
    watch = Watch(given.cases, 60 * given.minutes)
    asked = conduct.question(CHEAP, random=given.cases, level="quick", yes=True)
    with tempfile.TemporaryDirectory() as folder:
        outcome = conduct.conduct(asked, conduct.who(1, None), folder, watch)
        sizes = {name: (Path(folder) / name).stat().st_size for name in ("sweep.rows", "sweep.csv")}
        rows = max(len(outcome.rows), 1)
        early = watch.every[min(200, rows // 5) : 2 * min(200, rows // 5)]
        results = {
            "cases": rows, "failed": outcome.rows.failed, "message": outcome.message, "notes": watch.notes,
            "processor_seconds_a_case": (time.process_time() - watch.used) / rows, "bytes_a_row": {k: v / rows for k, v in sizes.items()},
            "resident_MB_early": statistics.median(early), "resident_MB_late": statistics.median(watch.every[-len(early) :]),
        }
    print(json.dumps(results, indent=1))
    if given.out:
        given.out.write_text(json.dumps(results, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
