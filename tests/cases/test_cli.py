"""The command line: exit codes, what goes to stdout and what to stderr, and a quick start."""

import io
import json
import subprocess
import sys
import time
import types
from dataclasses import replace
from pathlib import Path

from helpers import results as made
import pytest

from colletfea.cases import cli, verify
from colletfea.cases.progress import Progress
from colletfea.cases.report import decision
from colletfea.cases.stored import folder as folders
from colletfea.cases.verification import formulas
from colletfea.cases.verification.check import Check

ROOT = Path(cli.__file__).parents[1]
CASE = """
[shaft]
diameter = 14
[sleeve]
length = 12
nose_wall = 1.4
taper = 3
clearance = 0.06
[ring]
length = 12
outer_diameter = 30
start = 1.5
[friction]
cone = 0.08
bore = 0.12
[duty]
torque = 20
[push]
travel = 1.2
"""


@pytest.fixture
def case(tmp_path):
    path = tmp_path / "small.toml"
    path.write_text(CASE)
    return path


@pytest.fixture
def solved(monkeypatch, blank_figures):
    """Stands in for the solver: stores made-up results, and their figures are blank; `calls` notes how it was asked."""
    calls = []

    def run_case(case, out, *, level="default", processes=1, fields=True, progress=None, page=None, check=False):
        calls.append((case, Path(out), level, fields))
        if progress:
            progress(0.5, "pushing")
            progress(1.0, "done")
        with folders.claimed(out) as place:
            return replace(made.result(stub.data), message=stub.message).put(place, fields, page and page.write)

    stub = types.SimpleNamespace(run_case=run_case, calls=calls, data=made.summary(), message="")
    monkeypatch.setitem(sys.modules, "colletfea.cases.run", stub)
    return stub


def test_hand_prints_both_columns(case, capsys):
    assert cli.main(["hand", str(case)]) == 0
    out, err = capsys.readouterr()
    assert (
        "plain       refined" in out and "Clamp force for the duty" in out and "sleeve.held = axially" in out
    )
    assert err == "" and "\u202f" not in out


def test_hand_as_json_has_the_names_agreed(case, capsys):
    assert cli.main(["hand", str(case), "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    agreed = {"schema", "title", "version", "case", "hand", "clamp", "corners", "screws", "radial", "service", "verdicts"}
    assert agreed <= set(data) and data["schema"] == 2
    assert data["title"] == "small" and data["case"]["sleeve"]["held"] == "axially"
    assert data["hand"]["refined"]["closing_travel_mm"] > data["hand"]["plain"]["closing_travel_mm"]


def test_hand_asks_about_units_as_a_run_does(case, capsys):
    """16 * 1000 N·m / (pi (14 mm)^3) = 1856 MPa."""
    case.write_text(CASE.replace("torque = 20", "torque = 1000"))
    asked = "duty.torque = 1000 N·m on a shaft of 14 mm is a shear stress of 1900 MPa, more than steels carry: is the unit meant?"
    assert cli.main(["hand", str(case)]) == 0
    assert asked in " ".join(capsys.readouterr().out.split())
    assert cli.main(["hand", str(case), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["checks"] == [asked]


def test_hand_starts_without_arrays(case):
    code = (
        f"import sys; from colletfea.cases.cli import main; main(['hand', {str(case)!r}]); "
        "sys.exit('numpy' in sys.modules or 'matplotlib' in sys.modules)"
    )
    assert (
        subprocess.run(
            [sys.executable, "-c", code], cwd=ROOT, stdout=subprocess.DEVNULL, check=False
        ).returncode
        == 0
    )


def test_run_loads_no_library_that_it_does_not_need(case, tmp_path):
    """scipy.spatial, which only rounded edges need, alone would be a fifteenth of a quick run."""
    case.write_text(CASE + "[mesh]\nsize = 1.4\n")
    line = ["run", str(case), "--quick", "--out", str(tmp_path / "out")]
    code = f"import sys; from colletfea.cases.cli import main; main({line!r}); sys.exit(bool({{'scipy.spatial', 'meshio'}} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, check=False)
    assert done.returncode == 0 and (tmp_path / "out" / "summary.json").exists()


def test_module_and_function_are_the_same_command(case, capsys):
    cli.main(["hand", str(case), "--json"])
    done = subprocess.run(
        [sys.executable, "-m", "colletfea", "hand", str(case), "--json"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stdout) == (0, capsys.readouterr().out)


@pytest.mark.parametrize(
    "arguments, word",
    [
        (["hand", "absent.toml"], "absent.toml"),
        (["hand", "bad.toml"], "sleeve.taper = 88"),
        (["report", "."], "no results"),
        (["report", "no\nsuch"], r"no\nsuch: no results"),
        (["new", "no\nsuch/case.toml"], r"no\nsuch/case.toml: can't be written"),
        (["run", "--out", "/"], "--out /: lies above the folder you are in"),
        (["run", "bad.toml"], "sleeve.taper = 88"),
        (["run", "--quick", "--fine"], "--quick and --fine"),
        (["run", "--out", "bad.toml"], "--out bad.toml"),
        (["new", "bad.toml"], "exists"),
        (["new", "fresh.toml", "--from", "sproket_hub"], "sprocket_hub"),
    ],
)
def test_bad_input_is_one_sentence_on_stderr(tmp_path, monkeypatch, capsys, arguments, word):
    monkeypatch.chdir(tmp_path)
    Path("bad.toml").write_text(CASE.replace("taper = 3", "taper = 88"))
    assert cli.main(arguments) == 2
    out, err = capsys.readouterr()
    assert out == "" and word in err and err.count("\n") == 1 and err[:-1].isprintable()
    assert [path.name for path in tmp_path.iterdir()] == ["bad.toml"]


HOSTILE = {
    "an integer of 6000 digits": ("diameter = 14", f"diameter = 0x{'f' * 5000}", "a whole number of some 6020 digits: must be a number"),
    "lists in 900 lists": ("diameter = 14", f"diameter = {'[' * 900}{']' * 900}", "nested too deep"),
    "lists in 100 lists": ("diameter = 14", f"diameter = {'[' * 100}{']' * 100}", "shaft.diameter = [[[[...]]]]: must be a number"),
    "a list of a million": ("diameter = 14", f"diameter = [{'1,' * 100_000}]", "shaft.diameter = [1, 1, 1, 1, 1, "),
    "hardly any friction": ("bore = 0.12", "bore = 1e-300", "friction.bore = 1e-300: must be 0 or a number from 0.0001 to 1"),
    "hardly any taper": ("taper = 3", "taper = 1e-300", "sleeve.taper = 1e-300: must be a number at least 0.01 and below 45 deg"),
    "hardly any strength": ("diameter = 14", "diameter = 14\nmaterial = { young = 2e5, poisson = 0.3, yield = 1e-300 }",
                            "shaft.material.yield = 1e-300: must be a number from 1 to 100000 MPa"),
    "a key of two lines": ("diameter = 14", 'diameter = 14\n"a\\nb" = 1', 'shaft."a\\nb" = 1: no such key; there are shaft.diameter'),
    "a key that colours": ("diameter = 14", 'diameter = 14\n"\\u001b[31mred" = 2', 'shaft."\\u001b[31mred" = 2: no such key'),
    "a key of a material that colours": ("diameter = 14", 'diameter = 14\nmaterial = { "\\u001b[31mred" = 2, young = 2e5, poisson = 0.3 }',
                                         'shaft.material."\\u001b[31mred" = 2: no such key'),
    "a key without end": ("diameter = 14", f'diameter = 14\n"{"x" * 5000}" = 1', "x... = 1: no such key"),
    "text that turns": ("diameter = 14", 'diameter = "\\u202e41"', 'shaft.diameter = "\\u202E41": must be a number'),
    "text in place of a number": ("taper = 3", 'taper = "3"', 'sleeve.taper = "3": must be a number at least 0.01 and below 45 deg; write 3, with a point'),
    "a decimal comma": ("taper = 3", "taper = 3,5 # deg", "line 7: write 3.5 with a point; 3,5 is no number in TOML"),
    "a decimal comma in quotes": ("taper = 3", 'taper = "3,5"', "write 3.5, with a point and without quotes"),
    "a date": ("taper = 3", "taper = 2020-01-01", 'sleeve.taper = "2020-01-01": must be a number'),
}


@pytest.mark.parametrize("what", HOSTILE)
def test_hostile_input_is_one_short_printable_sentence(tmp_path, capsys, what):
    old, new, word = HOSTILE[what]
    path = tmp_path / "case.toml"
    path.write_text(CASE.replace(old, new, 1))
    assert cli.main(["hand", str(path)]) == 2
    out, err = capsys.readouterr()
    assert out == "" and word in err and err.count("\n") == 1 and err[:-1].isprintable() and len(err) < 500


@pytest.mark.parametrize(
    "arguments, word",
    [
        (["hand", "a.toml", "--jso"], "--jso"),
        (["swep", "a.toml"], "swep"),
        ([], "COMMAND"),
        (["hand"], "CASE.toml"),
        (["run", "--qick"], "--qick"),
        (["hand", "a.toml", "b\nc"], r"b\nc"),
        *((words, "Argument CASE.toml: the name is empty (see ") for words in (["new", ""], ["hand", ""], ["run", ""], ["sweep", ""], ["parts", ""], ["page", ""])),
        (["report", ""], "Argument DIR: the name is empty (see "),
        *(([name, "a.toml", "--out", ""], "Argument --out: the name is empty (see ") for name in ("run", "sweep", "parts")),
    ],
)
def test_unknown_words_on_the_command_line_exit_2_with_one_sentence(capsys, arguments, word):
    with pytest.raises(SystemExit) as stop:
        cli.main(arguments)
    out, err = capsys.readouterr()
    assert stop.value.code == 2 and out == "" and word in err and err.count("\n") == 1


def test_new_case_can_be_read(tmp_path, capsys):
    path = tmp_path / "mine.toml"
    assert cli.main(["new", str(path)]) == 0 and path.read_text().count("#") > 5
    assert str(path) in capsys.readouterr().out


def test_run_prints_the_decision_and_makes_the_report(case, tmp_path, solved, capsys):
    out = tmp_path / "deep" / "there"
    assert cli.main(["run", str(case), "--out", str(out), "--quick", "--no-fields"]) == 0
    assert solved.calls[0][1:] == (out, "quick", False)
    text, progress = capsys.readouterr()
    assert decision.answer(made.summary()) in " ".join(text.split()) and str(out / "report.html") in text and (out / "report.html").is_file()
    assert progress == " 50 % pushing\n100 % done\n" and "%" not in text.splitlines()[0]


def test_run_without_a_file_takes_the_example_and_the_usual_folder(tmp_path, monkeypatch, solved):
    monkeypatch.chdir(tmp_path)
    assert cli.main(["run", "--fine"]) == 0
    assert solved.calls[0][1:] == (Path("results/sprocket_hub"), "fine", True)


def test_run_as_json_prints_the_summary_and_nothing_else(case, tmp_path, solved, capsys):
    assert cli.main(["run", str(case), "--out", str(tmp_path / "r"), "--json"]) == 0
    out, err = capsys.readouterr()
    assert json.loads(out) == json.loads(json.dumps(made.summary())) and err == ""


def test_partial_results_are_reported_with_exit_3(case, tmp_path, solved, capsys):
    solved.data, solved.message = made.stopped_summary(), "Stopped at travel 0.1 mm."
    assert cli.main(["run", str(case), "--out", str(tmp_path / "r")]) == 3
    out, err = capsys.readouterr()
    assert (
        "No decision" in out
        and "Stopped at travel 0.1 mm.\n" in err
        and (tmp_path / "r" / "report.html").is_file()
    )


def test_what_a_run_is_asked_about_is_told_on_stderr_whether_its_results_are_printed_as_json_or_not(case, tmp_path, solved, capsys):
    solved.data = made.summary() | {"checks": ["Is the unit meant?", "Parts overlap."]}
    for more in ([], ["--json"]):
        assert cli.main(["run", str(case), "--out", str(tmp_path / "r"), *more]) == 0
        assert capsys.readouterr().err.endswith("Is the unit meant?\nParts overlap.\n")


def test_the_unexpected_is_one_line_with_a_hint(case, tmp_path, solved, monkeypatch, capsys):
    monkeypatch.delenv(cli.DEBUG, raising=False)
    solved.run_case = lambda *_, **__: 1 / 0
    assert cli.main(["run", str(case), "--out", str(tmp_path / "r")]) == 1
    err = capsys.readouterr().err
    assert "ZeroDivisionError" in err and cli.DEBUG in err and err.count("\n") == 1
    monkeypatch.setenv(cli.DEBUG, "1")
    with pytest.raises(ZeroDivisionError):
        cli.main(["run", str(case), "--out", str(tmp_path / "r")])


def test_a_mesh_that_memory_would_not_bear_is_refused_before_it_is_made(case, tmp_path, capsys):
    """A hundredth of the wall, which the case file allows."""
    case.write_text(CASE + "[mesh]\nsize = 0.0141\n")
    assert cli.main(["run", str(case), "--out", str(tmp_path / "r"), "--json"]) == 2
    out, err = capsys.readouterr()
    assert out == "" and err.startswith("mesh.size = 0.0141: must be larger: elements of 0.0141 mm") and err.count("\n") == 1
    assert "and a push may have 50000" in err and [path.name for path in tmp_path.iterdir()] == ["small.toml"]


def test_want_of_memory_is_one_sentence(case, tmp_path, solved, capsys):
    def greedy(*given, **more):
        raise MemoryError

    solved.run_case = greedy
    assert cli.main(["run", str(case), "--out", str(tmp_path / "r"), "--json"]) == 3
    out, err = capsys.readouterr()
    assert out == "" and err.startswith("Memory does not suffice: give a larger mesh.size") and err.count("\n") == 1


def test_report_command_makes_the_page_again(tmp_path, blank_figures, capsys):
    made.write(tmp_path)
    assert cli.main(["report", str(tmp_path)]) == 0 and (tmp_path / "report.html").is_file()
    assert str(tmp_path / "report.html") in capsys.readouterr().out


def test_a_terminal_gets_a_bar_that_stays_on_its_line():
    stream = io.StringIO()
    stream.isatty = lambda: True
    progress = Progress(stream)
    progress(0.0, "meshing the parts")
    progress(1.0, "done")
    progress.close()
    text = stream.getvalue()
    assert text.count("\n") == 1 and text.endswith("\n") and "[" + "#" * 30 + "] 100 % done" in text


def test_published_checks_hold_and_a_wrong_one_is_found(capsys, monkeypatch):
    """Within 40 s of processor time; a slow machine takes 8 s."""
    clock = time.process_time()
    assert cli.main(["verify"]) == 0
    assert time.process_time() - clock < 40
    out = capsys.readouterr().out
    assert out.count("Source:") == len(verify.CHECKS) > 80 and verify.coverage() in out
    wrong = Check("a wrong one", "made up", "MPa", 51.5, 1e-3, "too narrow", formulas.closing_pressure)
    monkeypatch.setattr(verify, "CHECKS", [wrong])
    assert cli.main(["verify"]) == 1 and "FAILS  a wrong one" in capsys.readouterr().out
