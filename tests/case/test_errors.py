"""What goes wrong, and what the command line makes of it: exit code, one sentence a fault, partial results kept."""

import json
import math
import re
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from helpers.push import case_of

from colletfea.cases import cli
from colletfea.cases.casefile import examples, text
from colletfea.cases.simulation import push

ROOT = Path(cli.__file__).parents[1]
FAULT = re.compile(r"^[a-z_]+(\.[a-z_]+)+( = .+?)?: \S")
ABSURD = [0, -1, -0.0, 1e-12, 1e12, math.nan, math.inf, "much", True, [1, 2], {"a": 1}]
NUMBERS = [
    "shaft.diameter", "shaft.bore", "shaft.beyond", "sleeve.length", "sleeve.nose_wall", "sleeve.taper", "sleeve.clearance",
    "sleeve.flange_thickness", "sleeve.flange_diameter", "sleeve.nose_radius", "ring.length", "ring.outer_diameter",
    "ring.start", "ring.taper", "ring.edge_radius", "friction.cone", "friction.bore", "duty.torque", "duty.thrust",
    "duty.slip_safety", "duty.yield_safety", "push.travel", "mesh.size", "solver.penalty", "solver.increments",
]  # fmt: skip
pytestmark = pytest.mark.usefixtures("unrendered_figures")


def command(*words, cwd):
    """The command as a process of its own."""
    line = [sys.executable, "-m", "colletfea", *map(str, words)]
    return subprocess.run(line, cwd=cwd, env=surroundings(), capture_output=True, text=True, check=False, timeout=120)


def surroundings():
    import os

    return {**os.environ, "PYTHONPATH": str(ROOT)}


#: a coupling of helpers.push with a duty, on the coarsest mesh it may have; by a travel pushed once, without one four times
SMALL = {"mesh": {"size": 2.0}, "duty": {"torque": 10, "thrust": 100}, "friction": {"cone": [0.07, 0.08, 0.09], "bore": [0.1, 0.12, 0.14]}}


def written(path, key=None, value=None, travel=0.35):
    """A case file of a small coupling with one key replaced."""
    single = {} if travel is None else {"friction": {"cone": 0.08, "bore": 0.12}}
    tables = case_of(**{**SMALL, **single, "push": {"travel": travel} if travel else {}}).tables()
    if key:
        *outer, last = key.split(".")
        table = tables
        for step in outer:
            table = table[step]
        table[last] = value
    path.write_text(text_of(tables), encoding="utf-8")
    return path


def text_of(tables):
    """TOML, also of what has no place in a case file."""
    odd = {}
    for table, keys in tables.items():
        if isinstance(keys, dict):
            for key, value in keys.items():
                if isinstance(value, dict) and set(value) == {"a"}:
                    odd[table, key] = value
    for table, key in odd:
        tables[table][key] = "@a@"
    return text.dump(tables).replace('"@a@"', "{ a = 1 }")


def is_refusal(text, count=None):
    """Only sentences that start with a dotted key."""
    lines = text.splitlines()
    return bool(lines) and all(FAULT.match(line) for line in lines) and count in (None, len(lines))


def test_every_fault_of_a_file_is_told_at_once(tmp_path):
    text = examples.text("spindle").replace("taper = 4", "taper = 88").replace("[ring]", "[ring]\nlenght = 3")
    (tmp_path / "bad.toml").write_text(text, encoding="utf-8")
    for words in (["hand", "bad.toml"], ["hand", "bad.toml", "--json"], ["run", "bad.toml"], ["run", "bad.toml", "--json"]):
        done = command(*words, cwd=tmp_path)
        assert done.returncode == 2 and done.stdout == "" and is_refusal(done.stderr)
        told = done.stderr.splitlines()
        assert any(line.startswith("sleeve.taper = 88: ") for line in told)
        assert any(line.startswith("ring.lenght") and "length" in line for line in told)
    assert [path.name for path in tmp_path.iterdir()] == ["bad.toml"]


@pytest.mark.parametrize("key", NUMBERS)
def test_absurd_values_are_refused_in_a_sentence_or_computed(key, tmp_path, capsys):
    """By hand, so that the whole table is quick: never an unexpected error, never a NaN, never a word on stdout."""
    refused = 0
    for value in ABSURD:
        path = written(tmp_path / "absurd.toml", key, value)
        code = cli.main(["hand", str(path), "--json"])
        out, err = capsys.readouterr()
        assert code in (0, 2), (key, value, err)
        if code == 2:
            refused += 1
            assert out == "" and is_refusal(err), (key, value, err)
        else:
            assert err == "" and "NaN" not in out and "Infinity" not in out
    assert refused >= 6  # text, truth value, list, table, NaN and infinity have no place in any of these keys


@pytest.mark.slow
@pytest.mark.parametrize("key, value", [
    ("friction.cone", 0), ("friction.bore", 0), ("friction.cone", 0.9), ("sleeve.clearance", 0), ("push.travel", 1e-9),
    ("push.travel", 3), ("duty.thrust", 1e9), ("duty.torque", 1e9), ("duty.torque", 1e-9), ("mesh.size", 5), ("ring.outer_diameter", 400),
    ("ring.start", 11), ("solver.increments", 1), ("solver.penalty", 0.1), ("solver.penalty", 100), ("shaft.beyond", [0.1, 900]),
])  # fmt: skip
def test_values_at_the_edge_of_sense_run_or_say_why_not(key, value, tmp_path, capsys):
    path = written(tmp_path / "edge.toml", key, value)
    code = cli.main(["run", str(path), "--out", str(tmp_path / "r"), "--quick", "--no-fields", "--json"])
    out, err = capsys.readouterr()
    assert code in (0, 2, 3), err
    if code == 2:
        assert out == "" and is_refusal(err)
        return
    data = json.loads(out, parse_constant=lambda name: pytest.fail(f"{name} in the results"))
    assert (code == 3) == ("not converged" in [data["simulation"]["stop_reason"], *(c["stop_reason"] for c in data["corners"])])
    asked = [line for line in err.splitlines() if line not in data["checks"]]
    assert (asked != []) == (code == 3) and (tmp_path / "r" / "report.html").is_file()


def test_a_run_that_cannot_converge_says_where_why_and_what_to_try(tmp_path, capsys, monkeypatch):
    """One iteration an increment and no patience: a real failure of the real solver."""
    from dataclasses import replace

    rules = push.settings
    monkeypatch.setattr(push, "settings", lambda case, *arcs: replace(rules(case, *arcs), max_iterations=1, patience=1))
    path = written(tmp_path / "s.toml")
    assert cli.main(["run", str(path), "--out", str(tmp_path / "r"), "--quick"]) == 3
    out, err = capsys.readouterr()
    told = err.splitlines()[-1]
    assert re.search(r"no equilibrium beyond \S+: residual still \S+ of the force scale", told)
    assert "travel in mm" in told and "a finer mesh.size" in told
    assert "No decision" in out and "Report: " in out
    stored = json.loads((tmp_path / "r" / "summary.json").read_text(encoding="utf-8"))["simulation"]
    assert stored["stop_reason"] == "not converged" and stored["completed"] is False and stored["effort"]["cutbacks"] > 0
    assert (tmp_path / "r" / "history.csv").read_text().count("\n") == stored["effort"]["increments"] + 2
    assert "No decision" in (tmp_path / "r" / "report.html").read_text(encoding="utf-8")


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_an_interrupt_and_a_request_to_terminate_keep_what_was_reached(number, tmp_path):
    """A process gets the signal once its first increment was told; tests begun in the background hand on to ignore it."""
    path = written(tmp_path / "s.toml", "solver", {"increments": 2000})  # which lasts until it is stopped
    words = [sys.executable, "-m", "colletfea", "run", str(path), "--quick", "--no-fields", "--out", str(tmp_path / "r")]
    process = subprocess.Popen(
        words, cwd=tmp_path, env=surroundings(), text=True, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
    )
    for line in process.stderr:
        if "ring pushed" in line:
            process.send_signal(number)
            break
    out, err = process.communicate(timeout=120)
    assert process.returncode == 3, err
    assert "Interrupted at travel" in err and "kept" in err and "No decision: the run was interrupted" in out
    stored = json.loads((tmp_path / "r" / "summary.json").read_text(encoding="utf-8"))["simulation"]
    assert stored["stop_reason"] == "interrupted" and stored["at_end"]["travel_mm"] > 0 and not stored["completed"]
    assert {path.name for path in tmp_path.iterdir()} == {"r", "s.toml"}


def test_an_interrupt_while_results_are_written_is_let_pass_once(tmp_path, monkeypatch, capsys):
    from colletfea.cases.report import page

    times = []

    def interrupted(result, drawings):
        for _ in range(times[-1]):
            signal.raise_signal(signal.SIGINT)
        return "page"

    monkeypatch.setattr(page, "page", interrupted)
    path = written(tmp_path / "s.toml")
    for count, code in ((1, 0), (2, 3)):
        times.append(count)
        out = tmp_path / str(count)
        assert cli.main(["run", str(path), "--out", str(out), "--quick", "--no-fields"]) == code
        assert (out / "report.html").exists() == (count == 1)
    assert {path.name for path in tmp_path.iterdir()} == {"s.toml", "1"}


def test_an_interrupt_between_the_search_and_the_first_corner_keeps_the_search(tmp_path, monkeypatch, capsys):
    """Where the clamp force is looked for first: the second mesh is never made, and the force needed is not lost."""
    build, made = push.build, []

    def once(section):
        if made:
            raise KeyboardInterrupt
        made.append(section)
        return build(section)

    monkeypatch.setattr(push, "build", once)
    path = written(tmp_path / "s.toml", travel=None)
    assert cli.main(["run", str(path), "--out", str(tmp_path / "r"), "--quick", "--no-fields"]) == 3
    assert "the push that looks for the clamp force" in capsys.readouterr().err.splitlines()[-1]
    stored = json.loads((tmp_path / "r" / "summary.json").read_text(encoding="utf-8"))
    assert stored["simulation"]["stop_reason"] == "interrupted" and stored["clamp"]["needed_N"] > 0
    assert [c["stop_reason"] for c in stored["corners"]] == ["interrupted"]
    assert next(v for v in stored["verdicts"] if v["name"] == "slip")["ok"] is None


def test_an_interrupt_after_the_push_keeps_the_push(tmp_path, monkeypatch, capsys):
    from colletfea.cases.simulation import stages

    def interrupted(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(stages, "twist", interrupted)
    path = written(tmp_path / "s.toml", "after.twist", True)
    assert cli.main(["run", str(path), "--out", str(tmp_path / "r"), "--quick", "--no-fields"]) == 3
    assert "the push is kept" in capsys.readouterr().err
    stored = json.loads((tmp_path / "r" / "summary.json").read_text(encoding="utf-8"))["simulation"]
    assert stored["stop_reason"] == "interrupted" and stored["at_end"]["travel_mm"] == pytest.approx(0.35)
    assert stored["twist"] is None


@pytest.mark.parametrize("content", ["", "{", "[]", '{"schema": 99}', '{"schema": 1}', "\udcff"])
def test_a_damaged_folder_is_refused_in_one_sentence(content, tmp_path, capsys):
    (tmp_path / "summary.json").write_bytes(content.encode("utf-8", "surrogateescape"))
    assert cli.main(["report", str(tmp_path)]) == 2
    out, err = capsys.readouterr()
    assert out == "" and "summary.json" in err and err.count("\n") == 1
    assert [path.name for path in tmp_path.iterdir()] == ["summary.json"]


def test_the_users_folder_is_refused_before_any_work(tmp_path, monkeypatch, capsys):
    """`--out .` beside the user's own case, and a folder that holds anything else."""
    from colletfea.cases import run

    monkeypatch.setattr(run, "head", lambda _: pytest.fail("worked"))  # the hand calculation, which every run begins with
    monkeypatch.chdir(tmp_path)
    written(tmp_path / "case.toml")
    (tmp_path / "sub").mkdir()
    (tmp_path / "sub" / "case.toml").write_text("# mine")
    before = (tmp_path / "case.toml").read_text()
    for out, word in ((".", "the folder you are in"), ("sub", "holds case.toml"), (str(tmp_path), "the folder you are in")):
        assert cli.main(["run", "case.toml", "--out", out]) == 2
        text, err = capsys.readouterr()
        assert text == "" and err.startswith(f"--out {out}: ") and word in err and err.count("\n") == 1
    assert (tmp_path / "case.toml").read_text() == before and (tmp_path / "sub" / "case.toml").read_text() == "# mine"
    assert {path.name for path in tmp_path.iterdir()} == {"case.toml", "sub"}


def test_a_disk_full_after_the_work_still_tells_the_results(tmp_path, monkeypatch, capsys):
    import errno
    import os

    from colletfea.cases.stored import store

    def full(path, fill):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), str(path))

    path = written(tmp_path / "s.toml")
    monkeypatch.setattr(store, "whole", full)
    for more in ([], ["--json"]):
        assert cli.main(["run", str(path), "--out", str(tmp_path / "r"), "--quick", *more]) == 3
        out, err = capsys.readouterr()
        assert "the results could not be written: No space left on device" in err.splitlines()[-1]
        assert "clamp" in out and "report.html" not in out
    assert [path.name for path in tmp_path.iterdir()] == ["s.toml"]


def test_a_case_named_only_by_dots_stays_in_results(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    for name, folder in (("..toml", "case"), (".hidden.toml", "hidden"), ("a..toml", "a")):
        written(tmp_path / name)
        assert cli.main(["run", name, "--quick", "--no-fields"]) == 0
        assert (tmp_path / "results" / folder / "summary.json").is_file()
    assert {path.name for path in tmp_path.iterdir() if path.is_dir()} == {"results"}
    assert {path.name for path in (tmp_path / "results").iterdir()} == {"case", "hidden", "a"}


@pytest.mark.parametrize("closed, words, code", [
    ("2>&-", "hand s.toml", 0), ("1>&-", "hand s.toml", 0), ("1>&- 2>&-", "hand s.toml", 0), ("0>&- 1>&- 2>&-", "hand s.toml", 0),
    ("1>&- 2>&-", "run s.toml --quick --out r", 0),
    ("2>&-", "hand bad.toml", 2), ("1>&-", "hand bad.toml", 2), ("2>&-", "hand", 2), ("2>&-", "report .", 2), (">/dev/full", "hand s.toml", 2),
    (">/dev/full", "run s.toml --quick --out r", 2),
])  # fmt: skip
def test_closed_streams_change_neither_exit_code_nor_what_the_other_says(closed, words, code, tmp_path):
    written(tmp_path / "s.toml")
    written(tmp_path / "bad.toml", "sleeve.taper", 88)
    line = f"{sys.executable} -m colletfea {words} {closed}"
    done = subprocess.run(["sh", "-c", line], cwd=tmp_path, env=surroundings(), capture_output=True, text=True, check=False)
    assert done.returncode == code, done.stderr
    assert "Traceback" not in done.stderr and "Exception ignored" not in done.stderr
    assert bool(done.stdout) == (code == 0 and "1>" not in closed)
    if "r" in words.split():
        stored = {path.name: path.read_bytes() for path in (tmp_path / "r").rglob("*") if path.is_file()}
        assert json.loads(stored["summary.json"]) and stored["report.html"].startswith(b"<!DOCTYPE")


def test_a_reader_that_stops_reading_is_no_error(tmp_path):
    """As `colletfea hand case.toml | head -1`."""
    path = written(tmp_path / "s.toml")
    line = [sys.executable, "-m", "colletfea", "hand", str(path)]
    process = subprocess.Popen(line, env=surroundings(), stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    process.stdout.close()
    assert process.stderr.read() == b"" and process.wait(timeout=60) == 0
