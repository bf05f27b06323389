"""Whose a results folder is: nothing of the user's is lost, results stand there whole, one run writes at a time."""

import errno
import os
import subprocess
import sys
from dataclasses import replace
from functools import partial
from pathlib import Path

from helpers import results as made
from helpers.section import section as section_arrays
import pytest

from colletfea.cases.report import page
from colletfea.cases.stored import adding, folder as folders, manifest, store
from colletfea.cases.stored.reading import load

ID = "f" * 16
pytestmark = pytest.mark.usefixtures("blank_figures")


def fields(folder):
    folder.mkdir()
    for name in ("state_000.vtu", "series.pvd"):
        store.write_text(folder / name, "made up")


def fresh(run="a", **changes):
    """A result with everything, of another run for another letter."""
    return replace(made.result(made.summary(run_id=run * 32, **changes), arrays=section_arrays()), fields=fields)


def saved(folder, result, page=page.write):
    with folders.claimed(folder) as place:
        return result.put(place, True, page)


def content(folder):
    return {name: (folder / name).read_bytes() for name in manifest.names(folder)}


def test_a_folder_with_files_of_the_user_is_refused_and_left_alone(tmp_path):
    mine = tmp_path / "mine"
    (mine / "figures").mkdir(parents=True)
    for name in ("case.toml", "figures/photo.png", "summary.json"):
        (mine / name).write_text("{}")
    with pytest.raises(store.ResultsError, match=r"mine: holds case.toml, figures, summary.json and is no results folder"):
        made.result().save(mine)
    assert content(mine).keys() == {"case.toml", "figures/photo.png", "summary.json"}
    assert [path.name for path in tmp_path.iterdir()] == ["mine"]


def test_an_empty_folder_and_a_new_one_are_taken(tmp_path):
    (tmp_path / "empty").mkdir()
    for name in ("empty", "deep/down"):
        assert fresh().save(tmp_path / name).directory == tmp_path / name
        assert load(tmp_path / name).summary == fresh().summary
    assert {path.name for path in tmp_path.iterdir()} == {"empty", "deep"}


def test_the_folder_one_is_in_is_refused(tmp_path, monkeypatch):
    (tmp_path / "sub").mkdir()
    monkeypatch.chdir(tmp_path / "sub")
    for place, word in ((".", "is"), ("..", "lies above"), (tmp_path, "lies above"), ("/", "lies above")):
        with pytest.raises(store.ResultsError, match=f": {word} the folder you are in"):
            made.result().save(place)
    with pytest.raises(store.ResultsError, match="lies above all folders"):
        put("/", "sleeve.step")


def test_a_new_run_replaces_the_old_one_whole_and_carries_the_users_files_over(tmp_path):
    out = tmp_path / "r"
    saved(out, fresh("a"))
    (out / "notes").mkdir()
    for name in ("notes/a.txt", "figures/mine.png", "fields/view.pvsm"):
        (out / name).write_text("mine")
    (out / "case.toml").write_text("# edited by the user")
    with folders.claimed(out) as place:
        made.result(made.stopped_summary(), rows=[], bore=[], cone=[]).put(place, False)
    found = content(out)
    assert {name for name, text in found.items() if text == b"mine"} == {"notes/a.txt", "figures/mine.png", "fields/view.pvsm"}
    assert found["case.kept.toml"] == b"# edited by the user" and b"diameter" in found["case.toml"]
    assert set(found) == {"notes/a.txt", "figures/mine.png", "fields/view.pvsm", "case.kept.toml", "case.toml", "summary.json",
                          "history.csv", "bore.csv", "cone.csv"}
    assert load(out).section is None and [path.name for path in tmp_path.iterdir()] == ["r"]


def test_a_link_in_the_folder_is_never_followed(tmp_path):
    """Neither for the pictures behind a linked `figures` nor for a folder behind a link of another name."""
    out, album = tmp_path / "r", tmp_path / "album"
    saved(out, fresh())
    album.mkdir()
    for name in os.listdir(out / "figures"):
        (out / "figures" / name).rename(album / name)
    (out / "figures").rmdir()
    (out / "figures").symlink_to(album)
    pictures = content(album)
    with pytest.raises(store.ResultsError, match="figures: must be a folder of its own"):
        page.make(out)
    saved(out, fresh("b"))
    assert content(album) == pictures and len(pictures) > 3 and (out / "figures.kept").is_symlink()


def test_results_behind_a_link_are_replaced_where_they_are(tmp_path):
    fresh("a").save(tmp_path / "real")
    (tmp_path / "link").symlink_to(tmp_path / "real")
    fresh("b").save(tmp_path / "link")
    assert (tmp_path / "link").is_symlink() and load(tmp_path / "real").summary["run_id"] == "b" * 32


def test_the_report_writes_over_nothing_that_no_run_wrote(tmp_path):
    made.write(tmp_path / "r")
    (tmp_path / "r" / "figures").mkdir()
    (tmp_path / "r" / "figures" / "force_travel.png").write_text("mine")
    with pytest.raises(store.ResultsError, match="force_travel.png: is no file as this program left it"):
        page.make(tmp_path / "r")
    assert not (tmp_path / "r" / "report.html").exists()


def test_a_manifest_cannot_name_files_elsewhere(tmp_path):
    """One that was tampered with deletes nothing outside the folder and nothing that no run writes."""
    out = tmp_path / "r"
    fresh().save(out)
    (tmp_path / "outside.png").write_text("mine")
    (out / "thesis.tex").write_text("mine")
    names = ("../outside.png", "figures/../../outside.png", str(tmp_path / "outside.png"), "thesis.tex")
    manifest.write(out, manifest.Manifest("a" * 32, {**manifest.read(out).files, **dict.fromkeys(names, "")}))
    fresh("b").save(out)
    assert (tmp_path / "outside.png").exists() and (out / "thesis.tex").read_text() == "mine"


@pytest.mark.parametrize("failing", ["history.csv", "bore.csv", "cone.csv", "case.toml", "section.npz", "state_000.vtu",
                                     "summary.json", "force_travel.png", "report.html", ".colletfea.json"])
def test_a_full_disk_keeps_the_older_results(tmp_path, monkeypatch, failing):
    out, whole = tmp_path / "r", store.whole
    saved(out, fresh("a"))
    before = content(out)

    def full(path, fill):
        if path.name == failing:
            path.write_bytes(b"half")
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), str(path))
        whole(path, fill)

    monkeypatch.setattr(store, "whole", full)
    with pytest.raises(store.NotStored, match="r: the results could not be written: No space left on device") as caught:
        saved(out, fresh("b"))
    assert caught.value.result.summary["run_id"] == "b" * 32  # nothing computed is lost to the caller
    assert content(out) == before and [path.name for path in tmp_path.iterdir()] == ["r"]


def test_results_that_cannot_take_their_place_leave_the_older_ones_there(tmp_path, monkeypatch):
    out, rename = tmp_path / "r", Path.rename
    saved(out, fresh("a"))
    before = content(out)

    def refused(path, target):
        if path.is_dir() and target == out and path.name.endswith(".part"):
            assert not out.exists()  # the older ones are out of the way by now
            raise OSError(errno.EACCES, os.strerror(errno.EACCES), str(path))
        return rename(path, target)

    monkeypatch.setattr(Path, "rename", refused)
    with pytest.raises(store.NotStored, match="Permission denied; what was there before is kept"):
        saved(out, fresh("b"))
    assert content(out) == before and [path.name for path in tmp_path.iterdir()] == ["r"]


def test_a_page_that_fails_does_not_cost_the_results(tmp_path):
    with pytest.raises(ZeroDivisionError):
        saved(tmp_path / "r", fresh(), lambda folder: 1 / 0)
    assert load(tmp_path / "r").summary == fresh().summary


def test_a_folder_that_vanishes_during_the_work_is_made_again(tmp_path):
    with folders.claimed(tmp_path / "a" / "b") as place:
        for path in (tmp_path / "a").iterdir():
            path.unlink()
        (tmp_path / "a").rmdir()
        fresh().put(place)
    assert load(tmp_path / "a" / "b").summary == fresh().summary


def test_a_folder_that_fills_during_the_work_is_not_overwritten(tmp_path):
    with folders.claimed(tmp_path / "r") as place:
        (tmp_path / "r").mkdir()
        (tmp_path / "r" / "mine.txt").write_text("mine")
        with pytest.raises(store.NotStored, match="mine.txt.*were not written"):
            fresh().put(place)
    assert content(tmp_path / "r") == {"mine.txt": b"mine"}


def test_what_killed_runs_left_is_removed_and_nothing_else(tmp_path):
    """One was killed while writing, one before it had deleted the older results; the user's file among them comes back."""
    out = tmp_path / "r"
    fresh("a").save(out)
    fresh("b").save(tmp_path / f".r.{ID}.part")
    fresh("c").save(tmp_path / f".r.{ID}.old")
    (tmp_path / f".r.{ID}.old" / "mine.txt").write_text("mine")
    (tmp_path / ".r.notes.part").mkdir()
    (tmp_path / ".r.lock").write_text("4194305\n")  # of a process that is gone
    fresh("d").save(out)
    assert load(out).summary["run_id"] == "d" * 32 and (out / "mine.txt").read_text() == "mine"
    assert {path.name for path in tmp_path.iterdir()} == {"r", ".r.notes.part"}


def test_killed_between_moving_away_and_moving_in_the_older_results_come_back(tmp_path):
    fresh("a").save(tmp_path / f".r.{ID}.old")
    with folders.claimed(tmp_path / "r"):
        assert load(tmp_path / "r").summary["run_id"] == "a" * 32


def test_a_second_run_into_the_same_folder_is_told_who_writes_there(tmp_path):
    out = tmp_path / "r"
    with folders.claimed(out):
        words = [sys.executable, "-c", f"from colletfea.cases.stored import folder\nwith folder.claimed({str(out)!r}): pass"]
        done = subprocess.run(words, capture_output=True, text=True, check=False)
        assert f"another run (process {os.getpid()}) is writing results there" in done.stderr.splitlines()[-1]
        with pytest.raises(store.ResultsError, match="another run"):
            fresh().save(out)
    fresh().save(out)
    with folders.claimed(out), pytest.raises(store.ResultsError, match="another run"):
        page.make(out)


def test_a_run_may_follow_where_other_files_of_ours_came_first(tmp_path):
    """The parts' solids, say, or a study: they stay, and stay ours."""
    out, names = tmp_path / "r", ("sleeve.step", "drawing.svg", "sweep.rows", "figures/sweep_push_force.png")
    for _ in range(2):
        put(out, *names)
        saved(out, fresh())
        assert {(out / name).read_text() for name in names} == {"solid"} and load(out).verdicts
        page.make(out)
    assert content(out).keys() >= set(names) and (out / "figures" / "force_travel.png").is_file()


def put(directory, *names):
    with folders.opened(directory) as folder:
        adding.add(folder, {name: partial(store.write_text, text="solid") for name in names})


def test_other_files_than_a_runs_are_written_over_nothing_of_the_users(tmp_path):
    """Nor into a folder of the user's; a drawing that was changed is the user's, and so is what a link leads to."""
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "a.txt").touch()
    for name, said in (("mine", "holds a.txt and is no results folder"), ("mine/a.txt", "must be a folder")):
        with pytest.raises(store.ResultsError, match=said):
            put(tmp_path / name, "sleeve.step")
    assert content(tmp_path / "mine").keys() == {"a.txt"}
    for name in ("changed", "linked"):
        put(tmp_path / name, "sleeve.step", "drawing.svg")
        (tmp_path / name / "drawing.svg").write_text("changed")
        (tmp_path / name / "sleeve.step").unlink()
    (tmp_path / "linked" / "drawing.svg").rename(tmp_path / "mine.svg")
    (tmp_path / "linked" / "drawing.svg").symlink_to(tmp_path / "mine.svg")
    for name in ("changed", "linked"):
        with pytest.raises(store.ResultsError, match="drawing.svg: is no file as this program left it, and is not written over"):
            put(tmp_path / name, "sleeve.step", "drawing.svg")
        assert (tmp_path / name / "drawing.svg").read_text() == "changed" and not (tmp_path / name / "sleeve.step").exists()
    assert (tmp_path / "linked" / "drawing.svg").is_symlink()


def test_a_folder_that_a_run_holds_is_taken_by_nothing_else(tmp_path):
    with folders.claimed(tmp_path / "r"), pytest.raises(store.ResultsError, match="is writing results there"):
        put(tmp_path / "r", "sleeve.step")
    assert not (tmp_path / "r").exists()


def test_what_a_killed_process_was_still_writing_is_in_nobodys_way(tmp_path):
    """Killed before it could mark its folder; and the rest goes with the next one."""
    for name, take in (("a", lambda out: fresh().save(out)), ("b", lambda out: put(out, "sleeve.step"))):
        (tmp_path / name).mkdir()
        (tmp_path / name / ".colletfea.json.1234.part").write_text("{")
        take(tmp_path / name)
        assert not list(tmp_path.glob("*/.*.part"))


@pytest.mark.parametrize("kind", ["pipe", "folder", "link"])
def test_what_stands_in_the_place_of_the_lock_is_told(tmp_path, kind):
    lock, mine = tmp_path / ".r.lock", tmp_path / "mine"
    mine.write_text("mine")
    {"pipe": os.mkfifo, "folder": os.mkdir, "link": lambda path: os.symlink(mine, path)}[kind](lock)
    with pytest.raises(store.ResultsError, match=rf"r: \S+\.r\.lock must be the lock that a run keeps there, and is a {kind}"):
        fresh().save(tmp_path / "r")
    assert mine.read_text() == "mine" and os.path.lexists(lock)


@pytest.mark.parametrize("kind", ["file", "file above", "loop", "long"])
def test_a_place_that_cannot_be_a_folder_is_refused_in_one_sentence(tmp_path, kind):
    (tmp_path / "file").write_text("mine")
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    out = {"file": "file", "file above": "file/r", "loop": "loop", "long": "x" * 300}[kind]
    with pytest.raises(store.ResultsError, match="must be a folder that can be written") as caught:
        made.result().save(tmp_path / out)
    assert "\n" not in str(caught.value) and {path.name for path in tmp_path.iterdir()} == {"file", "loop"}


def test_a_folder_without_permission_is_refused(tmp_path, monkeypatch):
    """Tests may run as root, whom no permission stops."""
    monkeypatch.setattr(folders.os, "access", lambda path, mode: False)
    with pytest.raises(store.ResultsError, match="no permission"):
        made.result().save(tmp_path / "r")
