"""Whatever happens to a results folder, `report` makes the page or says in one sentence what is wrong: never a trace, exit 0 or 2.

The damage is drawn at random, the same on every machine and in every run.
"""

import json
import os
import shutil

import pytest
from helpers import results as made
from helpers.damage import ALWAYS, answered, damaged, damages
from helpers.section import section as section_arrays
from hypothesis import given, settings
from hypothesis import strategies as st

from colletfea.cases.report import figures
from colletfea.cases.report.figures import canvas
from colletfea.cases.stored import manifest

FILES = ("summary.json", "history.csv", "bore.csv", "cone.csv", "case.toml", "section.npz", manifest.NAME)
ODD = st.sampled_from([None, 0, -1, 1e308, True, "", "x", "\x1b[2J", [], {}, [None], {"a": 1}, "-1e999", 10**30])


@pytest.fixture(scope="module")
def good(tmp_path_factory):
    folder = tmp_path_factory.mktemp("good") / "r"
    made.write(folder, arrays=section_arrays())
    return folder


def paths(data, at=()):
    """Paths to all values of nested blocks."""
    found = [at] if at else []
    inner = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    return found + [path for key, value in inner for path in paths(value, (*at, key))]


PATHS = paths(made.summary())


def holds(good, work, change):
    shutil.rmtree(work, ignore_errors=True)
    shutil.copytree(good, work)
    change(work)
    return answered("report", work)


@pytest.mark.parametrize("file", FILES)
def test_a_pipe_is_not_waited_for(file, good, tmp_path, monkeypatch):
    monkeypatch.setattr(figures, "some", lambda *given: [])
    folder = shutil.copytree(good, tmp_path / "r")
    damaged(folder, file, "pipe", 0, b"", file)
    assert answered("report", folder) == 2


@pytest.mark.slow
@given(some=st.lists(damages(FILES), min_size=1, max_size=3))
@settings(max_examples=120, **ALWAYS)
def test_files_cut_changed_swapped_or_gone(good, tmp_path_factory, some):
    def change(folder):
        for one in some:
            damaged(folder, *one)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(figures, "some", lambda *given: [])
        holds(good, tmp_path_factory.getbasetemp() / "cut" / "r", change)


def tampered(folder, changes):
    """Values of the summary changed, and the sums taken again, as if a run had written it so."""
    data = json.loads((folder / "summary.json").read_text())
    for path, value in changes:
        *outer, last = path
        block = data
        try:
            for key in outer:
                block = block[key]
            block[last] = value
        except (KeyError, IndexError, TypeError):
            pass  # an earlier change has taken it away
    (folder / "summary.json").write_text(json.dumps(data))
    manifest.write(folder, manifest.of(folder, made.summary()["run_id"]))


@pytest.mark.slow
@given(changes=st.lists(st.tuples(st.sampled_from(PATHS), ODD), min_size=1, max_size=3))
@settings(max_examples=80, **ALWAYS)
def test_values_no_run_would_store(good, tmp_path_factory, changes):
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(figures, "some", lambda *given: [])
        holds(good, tmp_path_factory.getbasetemp() / "values" / "r", lambda folder: tampered(folder, changes))


@pytest.mark.slow
@given(changes=st.lists(st.tuples(st.sampled_from([p for p in PATHS if p[0] == "simulation"]), ODD), min_size=1, max_size=2))
@settings(max_examples=3, **ALWAYS)
def test_figures_of_values_no_run_would_store(good, tmp_path_factory, changes):
    """Drawn as coarse pixels alone: an SVG is made of the same figure."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(canvas, "DPI", 20)
        patch.setattr(canvas, "vector", lambda *given, **more: "")
        holds(good, tmp_path_factory.getbasetemp() / "figures" / "r", lambda folder: tampered(folder, changes))


@pytest.mark.parametrize("file", FILES)
def test_a_file_that_vanishes_while_it_is_read(file, good, tmp_path, monkeypatch):
    folder = shutil.copytree(good, tmp_path / "r")
    own = manifest.own

    def vanishing(place, listed, name):
        held = own(place, listed, name)
        (folder / file).unlink(missing_ok=True)
        return held

    monkeypatch.setattr(manifest, "own", vanishing)
    monkeypatch.setattr(figures, "some", lambda *given: [])
    code = answered("report", folder)
    assert code == 2 or (folder / "report.html").is_file()
    assert not (folder / file).exists() or file == "report.html", "nothing vanished while it was read"


@pytest.mark.skipif(os.geteuid() == 0, reason="root reads everything")
@pytest.mark.parametrize("file", FILES)
def test_a_file_that_may_not_be_read(file, good, tmp_path):
    folder = shutil.copytree(good, tmp_path / "r")
    (folder / file).chmod(0)
    assert answered("report", folder) == 2
