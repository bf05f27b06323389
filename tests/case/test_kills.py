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
    (tmp_path / "sweep.rows").write_text('[0, {"exit_code": 0}]\n[1, {"exit_\n[2, {"exit_code": 0}]\n[3, {"ex')
    faults, rows = kills.study_kept(tmp_path)
    assert rows == 2 and len(faults) == 1 and "damaged" in faults[0]
