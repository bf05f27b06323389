"""A study whose first process or one of whose workers is killed outright at random moments, and what is left of it.

    python benchmarks/study_kills.py [--kills 20] [--cases 60] [--seed 1]

The study is one of the small closed sleeve over its wall, on two workers. Each round one process is drawn, killed after a time that is
drawn, and where it was the first one the same command is given again. Printed at the end: rows that were stored before each kill
and are there unchanged, cases that were stored twice, and whether the table is that of a study nobody disturbed.
"""

from __future__ import annotations

import argparse
import csv
import json
import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from colletfea.cases.casefile.text import dump
from study import SMALL

#: a process is killed at most so long [s] after the last one was, or was started
_LATEST = 8.0


class Disturbed:
    """The command, its process, and what its journal held whenever one was killed."""

    def __init__(self, command: list[str], journal: Path) -> None:
        self.command, self.journal = command, journal
        self.before: list[bytes] = []
        self.killed = {"first process": 0, "worker": 0}
        self.start()

    def start(self) -> None:
        """Give the command."""
        self.process = subprocess.Popen(self.command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)

    def kill(self, what: str) -> None:
        """Kill the first process, which is then started again, or one of its workers where there is one."""
        workers = _workers(self.process.pid)
        if what == "worker" and not workers:
            return
        self.before.append(_held(self.journal))
        self.killed[what] += 1
        if what == "worker":
            os.kill(random.choice(workers), signal.SIGKILL)
            return
        self.process.kill()
        self.process.wait()
        self.start()


def _workers(parent: int) -> list[int]:
    """Processes [pid] that compute for a process; Linux only."""
    try:
        children = [int(pid) for pid in Path(f"/proc/{parent}/task/{parent}/children").read_text().split()]
        return [pid for pid in children if b"spawn_main" in Path(f"/proc/{pid}/cmdline").read_bytes()]
    except OSError:
        return []


def _held(journal: Path) -> bytes:
    """Whole lines of the journal."""
    held = journal.read_bytes() if journal.exists() else b""
    return held[: held.rfind(b"\n") + 1]


def _table(folder: Path) -> list[dict[str, str]]:
    """Rows of the table without what differs from run to run."""
    with (folder / "sweep.csv").open(encoding="utf-8", newline="") as stream:
        return [{name: value for name, value in row.items() if not name.endswith("seconds")} for row in csv.DictReader(stream)]


def disturb(study: Disturbed, kills: int) -> int:
    """Kill at random moments until the study has ended all the same; its last exit code."""
    while study.process.poll() is None and sum(study.killed.values()) < kills:
        time.sleep(random.uniform(0.0, _LATEST))
        if study.process.poll() is None:
            study.kill(random.choice(list(study.killed)))
    return study.process.wait()


def main() -> None:
    """Disturb a study, compute it undisturbed, compare."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--kills", type=int, default=20)
    parser.add_argument("--cases", type=int, default=60)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    random.seed(given.seed)
    with tempfile.TemporaryDirectory() as place:
        file, folders = Path(place) / "case.toml", [Path(place) / name for name in ("disturbed", "undisturbed")]
        file.write_text(dump(SMALL.tables()), encoding="utf-8")
        words = ["--vary", f"sleeve.nose_wall=1.3:1.5:{given.cases}", "--level", "quick", "--workers", "2"]
        commands = [[sys.executable, "-m", "colletfea", "sweep", str(file), *words, "--out", str(folder)] for folder in folders]
        study = Disturbed(commands[0], folders[0] / "sweep.rows")
        code = disturb(study, given.kills)
        subprocess.run(commands[1], check=True, capture_output=True)
        held = _held(study.journal)
        numbers = [json.loads(line)[0] for line in held.splitlines()]
        found = {
            "killed": study.killed,
            "rows_when_killed": [piece.count(b"\n") for piece in study.before],
            "stored_rows_unchanged": all(held.startswith(piece) for piece in study.before),
            "exit_code": code,
            "cases": len(set(numbers)),
            "cases_stored_twice": len(numbers) - len(set(numbers)),
            "table_equals_undisturbed": _table(folders[0]) == _table(folders[1]),
        }
        print(json.dumps(found, indent=1))


if __name__ == "__main__":
    main()
