"""The README's commands are those of the program, and CI runs its test command."""

import re
import textwrap
import tomllib
from pathlib import Path

import pytest

from colletfea.cases import cli
from colletfea.cases.casefile import examples
from colletfea.cases.casefile.case import Case
from colletfea.cases.parts.bodies import to_make
from colletfea.cases.run import solve

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_both_commands_stand_in_the_first_screen():
    head = "\n".join(README.splitlines()[:45])
    assert ".venv/bin/colletfea run" in head and ".venv/bin/python -m pytest" in head


def test_ci_takes_its_command_from_the_readme():
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    block = README.split("<!-- tests -->")[1].split("<!-- end of tests -->")[0]
    assert "README.md" in script and "<!-- tests -->" in script and "pytest" in block


def test_the_test_command_runs_all_of_the_tests():
    """Neither the command nor the script nor the settings leave tests out."""
    block = README.split("<!-- tests -->")[1].split("<!-- end of tests -->")[0]
    assert block.rstrip().removesuffix("```").rstrip().endswith(".venv/bin/python -m pytest -n 2 --dist worksteal")
    assert "pytest" not in (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["pytest"]["ini_options"]
    assert settings["addopts"] == "--import-mode=importlib -q" and settings["testpaths"] == ["tests"]


def help_of(command, capsys):
    with pytest.raises(SystemExit) as done:
        cli.main([*command, "--help"])
    assert done.value.code == 0
    return capsys.readouterr().out


def test_the_command_list_is_the_programs(capsys):
    """The same commands, and no option that a command does not have."""
    told = re.findall(r"^    colletfea (\w+)(.*)", README.split("## Commands")[1].split("## ")[0], re.M)
    own = set(re.findall(r"^    (\w+)(?: |$)", help_of([], capsys), re.M))
    assert {command for command, _ in told} == own
    for command, rest in told:
        assert set(re.findall(r"--[\w-]+", rest)) <= set(re.findall(r"--[\w-]+", help_of([command], capsys)))


def test_examples_named_are_the_bundled_ones():
    listed = README.split("Bundled examples:")[1].split("## ")[0]
    assert set(re.findall(r"`(\w+)` \(", listed)) | set(re.findall(r"`(\w+)`,", listed)) == set(examples.names())


def test_every_test_file_of_the_table_is_where_it_says():
    """Without a folder it is in tests/verification."""
    names = set(re.findall(r"`([\w/]*test_\w+\.py)`", README))
    places = [ROOT / (name if "/" in name else f"tests/verification/{name}") for name in names]
    assert len(names) > 20 and not [place for place in places if not place.is_file()]


def test_every_figure_of_the_verification_table_stands_in_its_test():
    """Measured figures are copied from the tests' own sentences, digit for digit."""
    rows = re.findall(r"^\| .* \| (.*) \| (.*`[\w/]*test_\w+\.py`.*) \|$", README, re.M)
    assert len(rows) > 25
    for measured, tests in rows:
        names = [Path(name).name for name in re.findall(r"`([\w/]*\.py)`", tests)]
        text = " ".join(next((ROOT / "tests").rglob(name)).read_text(encoding="utf-8") for name in names)
        figures = re.findall(r"\d+(?:\.\d+)?(?:e-?\d+)?", measured)
        assert not [f for f in figures if not re.search(rf"(?<![\d.]){re.escape(f)}(?![\d]|\.\d)", text)], (measured, names)


def case_in_short():
    text = README.split("## The case file")[1].split("## Commands")[0]
    lines = [line for line in text.splitlines() if line.startswith("    ")]
    return Case.from_tables(tomllib.loads(textwrap.dedent("\n".join(lines))), "short")


def test_the_case_file_in_short_is_one():
    case = case_in_short()
    assert case.sleeve.slits.pattern == "through" and case.duty is not None and case.after.release


def test_the_case_file_in_short_can_be_made():
    assert to_make(case_in_short()).bolting is not None  # screws that leave no wall are refused


def test_the_case_file_in_short_holds():
    verdicts = solve(case_in_short(), "quick", processes=1).verdicts
    assert {"slip", "yield_sleeve", "screw_room"} <= {v.name for v in verdicts if v.ok}
    assert not [v for v in verdicts if v.ok is False]


def test_the_library_lines_run_as_they_stand(tmp_path, monkeypatch, blank_figures, capsys):
    text = README.split("## As a library")[1].split("```python\n")[1].split("```")[0]
    monkeypatch.chdir(tmp_path)
    names = {}
    exec(compile(text, "README.md", "exec"), names)
    result, same, printed = names["result"], names["same"], capsys.readouterr().out.splitlines()
    assert names["case"].sleeve.nose_wall == 2.5 and names["case"].push.force == 22e3
    assert float(printed[0]) == names["by_hand"](names["case"])["hand"]["refined"]["clamp_force_N"]
    assert float(printed[1]) == result.summary["simulation"]["at_end"]["bore"]["mean_pressure_MPa"] > 0
    assert len(printed) == 2 + len(result.verdicts) and printed[2].split()[0] == result.verdicts[0].name
    assert result.summary["level"] == "quick" and max(p for _, p in names["pressure"]) > 0
    assert same.summary == result.summary and same.verdicts == result.verdicts
    assert (tmp_path / "results" / "thicker" / "report.html").is_file()


@pytest.mark.slow
def test_the_lines_of_a_study_run_as_they_stand(capsys):
    text = README.split("## As a library")[1].split("```python\n")[2].split("```")[0]
    exec(compile(text, "README.md", "exec"), {"__name__": "lines"})
    assert [line.split()[0] for line in capsys.readouterr().out.splitlines()] == ["0.06", "0.1"]


def test_cautions_and_limits_are_there():
    words = " ".join(README.split())
    for piece in ("fatigue, fretting, shock, run-out", "temperature difference and speed only as far as they are given", "Friction scatters", "guards, lock-out", "local codes",
                  "licensed engineer", "body of revolution", "SPDX-License-Identifier: GPL-3.0-or-later"):
        assert piece in words
