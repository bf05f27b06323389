"""The README's commands are those of the program, and CI runs its test command."""

import re
import textwrap
import tomllib
from pathlib import Path

import pytest

from colletfea.cases import cli
from colletfea.cases.casefile import examples
from colletfea.cases.casefile.case import Case

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_both_commands_stand_in_the_first_screen():
    head = "\n".join(README.splitlines()[:45])
    assert ".venv/bin/colletfea run" in head and ".venv/bin/python -m pytest" in head


def test_ci_takes_its_command_from_the_readme():
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    block = README.split("<!-- tests -->")[1].split("<!-- end of tests -->")[0]
    assert "README.md" in script and "<!-- tests -->" in script and "pytest" in block


@pytest.mark.parametrize("command", re.findall(r"^    colletfea (\w+)", README, re.M))
def test_every_command_is_known(command, capsys):
    with pytest.raises(SystemExit) as done:
        cli.main([command, "--help"])
    assert done.value.code == 0 and command in capsys.readouterr().out


def test_every_example_is_named():
    assert all(f"`{name}`" in README for name in examples.names())


def test_every_named_test_file_exists():
    names = set(re.findall(r"`(?:tests/\w+/)?(test_\w+\.py)`", README))
    assert names and all(list((ROOT / "tests").rglob(name)) for name in names)


def test_the_case_file_in_short_is_one():
    text = README.split("## The case file")[1].split("## Commands")[0]
    lines = [line for line in text.splitlines() if line.startswith("    ")]
    case = Case.from_tables(tomllib.loads(textwrap.dedent("\n".join(lines))), "short")
    assert case.sleeve.slits.pattern == "through" and case.duty is not None and case.after.release


def test_the_library_lines_run_as_they_stand(tmp_path, monkeypatch, capsys):
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


def test_cautions_and_limits_are_there():
    words = " ".join(README.split())
    for piece in ("fatigue, fretting, shock, temperature difference", "Friction scatters", "guards, lock-out", "local codes",
                  "licensed engineer", "body of revolution", "SPDX-License-Identifier: GPL-3.0-or-later"):
        assert piece in words


def test_printed_numbers_are_those_of_a_run(tmp_path):
    """The README's figures of the bundled example, to the digits printed."""
    from colletfea.cases.report import decision
    from colletfea.cases.run import run_case

    case = Case.from_tables(tomllib.loads(examples.text("sprocket_hub")), "sprocket_hub")
    summary = run_case(case, tmp_path, fields=False).summary
    duty = summary["simulation"]["at_duty"]
    assert f"{duty['push_force_N'] / 1e3:.2f} kN" in README
    assert f"{summary['hand']['refined']['clamp_force_N'] / 1e3:.2f} kN" in README
    assert f"{summary['simulation']['at_touch']['travel_mm']:.3f} mm, {duty['travel_mm']:.3f} mm" in README
    assert f"{duty['bore']['mean_pressure_MPa']:.1f} MPa" in README
    slip = next(v for v in summary["verdicts"] if v["name"] == "slip")
    assert f"{slip['value']:.1f} N m of 90 N m" in README and f"{duty['bore']['torque_capacity_Nm']:.0f} N m" in README
    told = decision.answer(summary)
    assert told.startswith("It holds at nominal friction, not at the low end; ")
    assert f"{told.split('; ')[1].rstrip('.')} |" in README
