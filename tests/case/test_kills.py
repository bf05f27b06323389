"""Killed at any moment, a run keeps what was complete, and the same command finishes afterwards; a study: test_study.py."""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[2] / "benchmarks"))

import kills


@pytest.mark.slow
def test_two_kills(tmp_path):
    assert not kills.kills("run", 2, 7, tmp_path)


def test_what_is_not_whole_is_seen(tmp_path):
    """A folder that is none, and a study with a damaged row."""
    assert kills.run_kept(tmp_path)[1] == 0
    (tmp_path / "sweep.json").write_text("{}")
    good = [kills.table.line_of(index, {"exit_code": 0}) for index in range(4)]
    (tmp_path / "sweep.rows").write_bytes(good[0] + b'[1, {"exit_\n' + good[2] + good[3][:-20])
    faults, rows = kills.study_kept(tmp_path)
    assert rows == 2 and len(faults) == 1 and "damaged" in faults[0]
