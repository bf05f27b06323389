"""Whatever happens to a study's folder, the same command ends with the table of an undisturbed one or says in one sentence what is wrong.

No case is solved: rows are made up. The damage is drawn at random, the same on every machine and in every run.
"""

import json
import shutil

import pytest
from helpers.damage import ALWAYS, answered, damaged, damages
from helpers.study import LINES
from hypothesis import given, settings
from hypothesis import strategies as st

from colletfea.cases import cli
from colletfea.cases.report.figures.canvas import Drawing
from colletfea.cases.stored import manifest
from colletfea.cases.study import one, page, table

FIGURE = "figures/sweep_push_force.png"
FILES = (table.ASKED, table.TABLE, table.JOURNAL, table.PAGE, FIGURE, manifest.NAME)
ODD = st.sampled_from([None, 0, -1, 1e308, True, "", "x", "\x1b[2J", [], {}, [None], {"a": 1}, "-1e999", 10**30])


def made_up(task):
    wall = task.changes.get("sleeve.nose_wall", 1.4) if task.sample is None else task.sample.clearance
    return {"sleeve.nose_wall": wall, "at_end.push_force_N": 1000.0 * wall, "exit_code": 0, "seconds": 0.5, "message": None}


def drawings(reading):
    return [Drawing("sweep_push_force", "Push force", "It rises.", b"\x89PNG")]


@pytest.fixture(scope="module")
def stubs():
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(one, "row", made_up)
        patch.setattr(page.Reading, "drawings", drawings)
        yield


QUESTIONS = {"a key": ["--vary", "sleeve.nose_wall=1.3:1.5:3"], "samples": ["--random", "3"]}


@pytest.fixture(scope="module")
def commands(tmp_path_factory, stubs):
    """Folder of an undisturbed study and the command that goes on with a copy of it, by question."""
    place = tmp_path_factory.mktemp("good")
    (place / "small.toml").write_text(LINES)
    found = {name: (place / name, ["sweep", place / "small.toml", *words, "--workers", "1", "--out"]) for name, words in QUESTIONS.items()}
    for folder, command in found.values():
        assert answered(*command, folder) == 0 and all((folder / name).is_file() for name in FILES)
    return found


def holds(good, command, work, change):
    """The command on a damaged copy; its exit code. Where it is 0 the study is whole."""
    shutil.rmtree(work, ignore_errors=True)
    shutil.copytree(good, work)
    change(work)
    code = answered(*command, work)
    assert code == 2 or (work / table.TABLE).read_bytes() == (good / table.TABLE).read_bytes()
    return code


@pytest.mark.parametrize("question", QUESTIONS)
@given(some=st.lists(damages(FILES), min_size=1, max_size=3))
@settings(max_examples=60, **ALWAYS)
def test_files_cut_changed_swapped_or_gone(commands, tmp_path_factory, question, some):
    def change(folder):
        for one_damage in some:
            damaged(folder, *one_damage)

    holds(*commands[question], tmp_path_factory.getbasetemp() / "cut", change)


KEYS = [(), ("schema",), ("version",), ("case",), ("asked",), ("count",), ("limits",), ("limits", "clearance"), ("limits", "force"), ("new",)]


@given(path=st.sampled_from(KEYS), value=ODD)
@settings(max_examples=60, **ALWAYS)
def test_a_question_that_no_study_would_store(commands, tmp_path_factory, path, value):
    def change(folder):
        stored = json.loads((folder / table.ASKED).read_text(encoding="utf-8"))
        block = stored
        for name in path[:-1]:
            block = block[name]
        if path:
            block[path[-1]] = value
        (folder / table.ASKED).write_text(json.dumps(stored if path else value), encoding="utf-8")

    holds(*commands["samples"], tmp_path_factory.getbasetemp() / "question", change)


@pytest.mark.parametrize("file", FILES)
def test_a_pipe_is_not_waited_for(file, commands, tmp_path):
    good, command = commands["a key"]
    assert holds(good, command, tmp_path / "s", lambda folder: damaged(folder, file, "pipe", 0, b"", file)) == 2


def test_damaged_rows_are_told_and_computed_anew(commands, tmp_path, monkeypatch, capsys):
    good, command = commands["a key"]
    asked = []
    monkeypatch.setattr(one, "row", lambda task: asked.append(task.index) or made_up(task))

    def change(folder):
        lines = (folder / table.JOURNAL).read_bytes().splitlines(keepends=True)
        lines[1] = lines[1].replace(b"1400.0", b"1500.0")
        (folder / table.JOURNAL).write_bytes(b"".join(lines))

    assert holds(good, command, tmp_path / "s", change) == 0
    said = "1 line of sweep.rows can't be read and is not used."
    assert asked == [1] and said.replace("'", "&#x27;") in (tmp_path / "s" / table.PAGE).read_text(encoding="utf-8")
    capsys.readouterr()
    assert cli.main([*map(str, command), str(tmp_path / "s"), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["damaged_rows"] == 1 and asked == [1]  # the line stays in the journal
