"""The README's commands are those of the program, and CI runs its test command."""

import re
from pathlib import Path

import pytest

from cases import cli, examples

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


def test_printed_numbers_are_those_of_a_run(tmp_path):
    """The README's figures of the bundled example, to the digits printed."""
    import tomllib

    from cases.params import Case
    from cases.run import run_case

    case = Case.from_tables(tomllib.loads(examples.text("sprocket_hub")), "sprocket_hub")
    summary = run_case(case, tmp_path, fields=False).summary
    duty = summary["simulation"]["at_duty"]
    assert f"{duty['push_force_N'] / 1e3:.2f} kN" in README
    assert f"{summary['hand']['refined']['clamp_force_N'] / 1e3:.2f} kN" in README
    assert f"{summary['simulation']['at_touch']['travel_mm']:.3f} mm, {duty['travel_mm']:.3f} mm" in README
    assert f"{duty['bore']['mean_pressure_MPa']:.1f} MPa" in README
    slip = next(v for v in summary["verdicts"] if v["name"] == "slip")
    assert f"{slip['value']:.1f} N m of 90 N m" in README
