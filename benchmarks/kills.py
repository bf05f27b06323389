"""Kill a run and a study at random moments: what was stored before stays whole, and running again finishes.

    python benchmarks/kills.py [--count 50] [--seed 1] [--kinds run,study]

Each kill is a SIGKILL to the command and all its processes, at a moment drawn over the time it takes when left alone. Before
each kill there is a finished result in the folder, or the rows of a study. Afterwards all of it is read and compared with what
its list says. At last the command is run to its end: it must finish, and nothing may be left beside its folder. Prints one line
a fault, then the totals.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from colletfea.cases.stored import manifest, reading
from colletfea.cases.study import table

CASE = """
[shaft]
diameter = 20
[sleeve]
length = 20
nose_wall = 2
taper = 4
clearance = 0.03
[ring]
length = 16
outer_diameter = 40
start = 2
[friction]
cone = 0.08
bore = 0.12
[push]
travel = 0.35
[mesh]
size = 1.8
"""
COMMAND = [sys.executable, "-m", "colletfea"]
ARGUMENTS = {
    "run": ["run", "case.toml", "--quick", "--out", "kept"],
    "study": ["sweep", "case.toml", "--level", "quick", "--workers", "2", "--vary", "sleeve.nose_wall=1.8:2.2:4", "--out", "kept"],
}


def kills(kind: str, count: int, seed: int, folder: Path) -> list[str]:
    """Faults, in words, that so many kills brought to light."""
    kept, draw, faults = folder / "kept", random.Random(seed), []
    (folder / "case.toml").write_text(CASE, encoding="utf-8")
    clock = time.perf_counter()
    _finish(kind, folder)
    usual, found = time.perf_counter() - clock, CHECK[kind](kept)
    for k in range(count):
        if kind == "study" and k % 3 == 0:  # a finished one has nothing left to be killed in
            shutil.rmtree(kept)
        before, moment = CHECK[kind](kept), draw.uniform(0.0, 1.1 * usual)
        _kill(kind, folder, moment)
        after = CHECK[kind](kept)
        faults += [f"{kind}, kill {k} at {moment:.2f} s: {fault}" for fault in after[0]]
        if after[1] < before[1]:
            faults.append(f"{kind}, kill {k} at {moment:.2f} s: {after[1]} of {before[1]} results are left")
    _finish(kind, folder)
    after = CHECK[kind](kept)
    if after != found:
        faults.append(f"{kind}, the last run: {after} instead of {found}")
    return [*faults, *(f"{kind}: {path.name} was left behind" for path in folder.iterdir() if path.name not in ("case.toml", "kept"))]


def _kill(kind: str, folder: Path, moment: float) -> None:
    """Start the command in a group of its own and kill the group, unless it has ended by then."""
    process = subprocess.Popen(
        [*COMMAND, *ARGUMENTS[kind]], cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True
    )
    try:
        process.wait(moment)
    except subprocess.TimeoutExpired:
        os.killpg(process.pid, signal.SIGKILL)
        process.wait()


def _finish(kind: str, folder: Path) -> None:
    done = subprocess.run([*COMMAND, *ARGUMENTS[kind]], cwd=folder, capture_output=True, text=True, check=False)
    if done.returncode:
        raise RuntimeError(f"{kind} ended with {done.returncode}: {done.stderr}")


def run_kept(kept: Path) -> tuple[list[str], int]:
    """What is not whole in a run's folder, and 1 where there is a result."""
    try:
        found = reading.load(kept)
        listed = manifest.read(kept).files
    except Exception as error:
        return [f"{type(error).__name__}: {error}"], 0
    faults = [] if found.summary["simulation"]["completed"] else ["the result is not complete"]
    return faults + [f"{name} is missing or another run's" for name in listed if not manifest.own(kept, manifest.read(kept), name)], 1


def study_kept(kept: Path) -> tuple[list[str], int]:
    """What is not whole in a study's folder, and its complete rows; a line that was being written is none."""
    faults, rows = [], 0
    journal = kept / table.JOURNAL
    for line in journal.read_bytes().splitlines(keepends=True) if journal.exists() else ():
        found = table.found_in(line)
        rows += bool(found) and found[1]["exit_code"] == 0
        if not found and line.endswith(b"\n"):
            faults.append(f"a row is damaged: {line[:60]!r}")
    for name in (table.ASKED,) if kept.exists() and any(kept.iterdir()) else ():
        try:
            json.loads((kept / name).read_text(encoding="utf-8"))
        except (OSError, ValueError) as error:
            faults.append(f"{name}: {error}")
    return faults, rows


CHECK = {"run": run_kept, "study": study_kept}


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--count", type=int, default=50)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--kinds", default="run,study")
    given = parser.parse_args()
    bad = False
    for kind in given.kinds.split(","):
        with tempfile.TemporaryDirectory() as folder:
            faults = kills(kind, given.count, given.seed, Path(folder))
        for fault in faults:
            print(fault, flush=True)
        bad = bad or bool(faults)
        print(f"{kind}: {given.count} kills, {len(faults)} faults, and the command finished afterwards", flush=True)
    return int(bad)


if __name__ == "__main__":
    sys.exit(main())
