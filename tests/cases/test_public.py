"""Public names: all there, loaded when asked for, and `solve` as the library gives it."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

import colletfea
from colletfea import cases
from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile import examples
from colletfea.cases.run import solve
from helpers.push import coarsest

NAMES = {"Case", "CaseError", "by_hand", "solve", "run_case", "Result", "ResultsError", "Verdict", "load", "make_report",
         "examples", "study", "__version__"}


@pytest.fixture(scope="module")
def case():
    import tomllib

    return Case.from_tables(tomllib.loads(examples.text("spindle")), "spindle")


@pytest.fixture(scope="module")
def solved(case):
    return solve(coarsest(case), "quick")


@pytest.mark.parametrize("package", [colletfea, cases])
def test_every_public_name_is_there(package):
    assert set(package.__all__) == NAMES <= set(dir(package))
    assert all(getattr(package, name) is not None for name in NAMES)
    with pytest.raises(AttributeError, match="no attribute 'solv'"):
        getattr(package, "solv")  # noqa: B009


def test_both_packages_give_the_same():
    assert all(getattr(colletfea, name) is getattr(cases, name) for name in NAMES - {"__version__"})
    assert colletfea.__version__ == cases.__version__ and colletfea.examples()[0] == "sprocket_hub"


@pytest.mark.parametrize("statement, absent", [
    ("import colletfea", "colletfea.cases"), ("import colletfea.cases", "numpy"), ("import colletfea.fea", "colletfea.cases"),
    ("from colletfea import Case, by_hand, load, Result", "numpy"), ("from colletfea import solve", "gmsh"),
    ("from colletfea import make_report, solve", "matplotlib"),
])  # fmt: skip
def test_nothing_is_loaded_before_it_is_needed(statement, absent):
    code = f"import sys; {statement}; sys.exit({absent!r} in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_by_hand_is_what_the_command_prints(case, tmp_path, capsys):
    import json

    from colletfea.cases import cli

    (tmp_path / "spindle.toml").write_text(examples.text("spindle"), encoding="utf-8")
    assert cli.main(["hand", str(tmp_path / "spindle.toml"), "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == json.loads(json.dumps(cases.by_hand(case)))


def without(data, *keys):
    """Nested tables and lists of tables without some keys."""
    if isinstance(data, list):
        return [without(v, *keys) for v in data]
    return {k: without(v, *keys) for k, v in data.items() if k not in keys} if isinstance(data, dict) else data


def test_two_runs_give_the_same_but_for_seconds_and_identity(case, solved, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    one, two = solved, solve(coarsest(case), "quick")
    seconds = ("seconds", "mesh_seconds", "total_seconds")
    assert one.summary["run_id"] != two.summary["run_id"]
    assert without(one.summary, "run_id", *seconds) == without(two.summary, "run_id", *seconds)
    assert (one.history, one.bore, one.cone, one.case_text) == (two.history, two.bore, two.cone, two.case_text)
    assert os.listdir() == [] and one.directory is None and one.exit_code == 0


def test_solving_can_be_stopped_and_keeps_what_it_has(case):
    told = []
    result = solve(coarsest(case), "quick", progress=lambda fraction, text: told.append(text), stop=lambda: len(told) >= 4)
    assert result.exit_code == 3 and result.summary["simulation"]["stop_reason"] == "interrupted"
    assert 0 < result.summary["simulation"]["effort"]["increments"] <= 4 and "kept" in result.message
    with pytest.raises(KeyboardInterrupt):
        solve(coarsest(case), "quick", stop=lambda: True)


def test_an_unknown_level_is_refused(case):
    with pytest.raises(ValueError, match="quick, default, fine, not 'rough'"):
        solve(case, "rough")


def test_a_result_is_saved_loaded_and_reported(solved, tmp_path, blank_figures):
    result = solved.save(tmp_path / "r")
    page = cases.make_report(tmp_path / "r")
    again = cases.load(tmp_path / "r")
    assert page == Path(tmp_path / "r" / "report.html") and page.is_file()
    assert again.summary == result.summary and len(again.history) == len(result.history)
    assert [v.name for v in again.verdicts] == [v.name for v in result.verdicts]
    assert len(list((tmp_path / "r" / "fields").glob("*.vtu"))) == len(result.history)
