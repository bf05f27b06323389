"""Damaged results folders: `colletfea report` says in one sentence what is wrong, and touches nothing."""

import io
import json
import shutil

from helpers import results as made
from helpers.section import section as section_arrays
import numpy as np
import pytest

from colletfea.cases import cli
from colletfea.cases.stored import manifest, store

TABLES = ("history.csv", "bore.csv", "cone.csv")


def put(name, content):
    """Damage: other content in a file."""
    return lambda folder: (folder / name).write_bytes(content if isinstance(content, bytes) else content.encode())


def edited(change):
    """Damage: the summary's JSON changed."""

    def damage(folder):
        data = json.loads((folder / "summary.json").read_text())
        change(data)
        (folder / "summary.json").write_text(json.dumps(data))

    return damage


def cut(name, share):
    def damage(folder):
        whole = (folder / name).read_bytes()
        (folder / name).write_bytes(whole[: int(share * len(whole))])

    return damage


def arrays(**changes):
    stream = io.BytesIO()
    np.savez_compressed(stream, **{**section_arrays(), **changes})
    return put("section.npz", stream.getvalue())


def gone(name):
    return lambda folder: (folder / name).unlink()


def swapped(name):
    """Damage: a folder where a file was."""

    def damage(folder):
        (folder / name).unlink()
        (folder / name).mkdir()

    return damage


def figures_a_file(folder):
    shutil.rmtree(folder / "figures", ignore_errors=True)
    (folder / "figures").write_text("mine")


def page_a_folder(folder):
    (folder / "report.html").mkdir()


DAMAGE = {
    **{f"{name} gone": gone(name) for name in ("summary.json", *TABLES, "case.toml", "section.npz", manifest.NAME)},
    **{f"{name} empty": put(name, "") for name in ("summary.json", *TABLES, "case.toml", "section.npz", manifest.NAME)},
    **{f"{name} cut": cut(name, 0.6) for name in ("summary.json", *TABLES, "section.npz", manifest.NAME)},
    **{f"{name} binary": put(name, b"\x00\xff\xfe" * 50) for name in ("summary.json", *TABLES, "case.toml", manifest.NAME)},
    **{f"{name} a folder": swapped(name) for name in ("summary.json", "history.csv", "section.npz", manifest.NAME)},
    "table infinite": put("history.csv", "stage,travel_mm,push_force_N\npush,0,inf\n"),
    "table ragged": put("bore.csv", "z_mm,pressure_MPa\n1\n2,3,4\n"),
    "table without columns": put("cone.csv", "\n\n"),
    "table of another language": put("bore.csv", "z_mm;pressure_MPa\n1,5;2,5\n"),
    "simulation null": edited(lambda d: d.update(simulation=None)),
    "hand null": edited(lambda d: d.update(hand=None)),
    "case a list": edited(lambda d: d.update(case=[])),
    "verdicts a number": edited(lambda d: d.update(verdicts=3)),
    "verdict null": edited(lambda d: d.update(verdicts=[None])),
    "block inside null": edited(lambda d: d["simulation"].update(balance=None)),
    "not a number": edited(lambda d: d["simulation"]["at_end"].update(travel_mm=float("nan"))),
    "schema of before": edited(lambda d: d.update(schema=1)),
    "schema of later": edited(lambda d: d.update(schema=99)),
    "cells of no node": arrays(cells_ring=section_arrays()["cells_ring"] + 100_000),
    "corner null": edited(lambda d: d.update(corners=[None])),
    "clamp gone": edited(lambda d: d.pop("clamp")),
    "governing cells of no node": arrays(worst_cells_ring=section_arrays()["worst_cells_ring"] + 100_000),
    "governing stress of too few": arrays(worst_von_mises_ring=section_arrays()["worst_von_mises_ring"][:-1]),
    "governing nodes of too few": arrays(worst_displacement_ring=section_arrays()["worst_displacement_ring"][:-1]),
    "deep": put("summary.json", "[" * 100_000),
    "identity of another run": edited(lambda d: d.update(run_id="b" * 32)),
    "manifest a list": put(manifest.NAME, "[]"),
    "manifest without files": put(manifest.NAME, '{"written_by": "colletfea", "run": "0123"}'),
    "manifest deep": put(manifest.NAME, "[" * 100_000),
    "arrays of too few": arrays(displacement=np.zeros((1, 2))),
    "arrays not finite": arrays(nodes=np.full((3, 2), np.inf)),
    "arrays pickled": arrays(nodes=np.array([{"a": 1}], dtype=object)),
    "figures a file": figures_a_file,
    "page a folder": page_a_folder,
}

pytestmark = pytest.mark.usefixtures("blank_figures")


@pytest.fixture(scope="module")
def good(tmp_path_factory):
    folder = tmp_path_factory.mktemp("good") / "r"
    made.write(folder, arrays=section_arrays())
    return folder


def told(folder, capsys):
    """What `report` says of a folder that it must refuse."""
    before = sorted(folder.rglob("*"))
    assert cli.main(["report", str(folder)]) == 2
    out, err = capsys.readouterr()
    assert out == "" and err.count("\n") == 1 and str(folder) in err and len(err) < 400
    assert sorted(folder.rglob("*")) == before and [path.name for path in folder.parent.iterdir()] == [folder.name]
    return err


@pytest.mark.parametrize("name", DAMAGE)
def test_a_damaged_folder_is_refused_in_one_sentence(name, good, tmp_path, capsys):
    folder = shutil.copytree(good, tmp_path / "r")
    DAMAGE[name](folder)
    told(folder, capsys)


SUMMED = [n for n in DAMAGE if not n.startswith((manifest.NAME, "manifest", "identity", "figures", "page", "block inside"))]


@pytest.mark.parametrize("name", SUMMED)
def test_readers_know_damage_where_the_sums_do_not(name, good, tmp_path, capsys):
    """As if the file had been damaged before its sum was taken: still one sentence, or a report where nothing needed it."""
    folder = shutil.copytree(good, tmp_path / "r")
    DAMAGE[name](folder)
    if any(not (folder / file).is_file() for file in ("summary.json", *TABLES, "case.toml")):
        return
    manifest.write(folder, manifest.of(folder, made.summary()["run_id"]))
    code = cli.main(["report", str(folder)])
    out, err = capsys.readouterr()
    assert code in (0, 2), err
    assert (code == 2) == (err.count("\n") == 1) and (out == "") == (code == 2)


@pytest.mark.parametrize("name", ["history.csv", "bore.csv", "case.toml", "section.npz", manifest.NAME, "summary.json"])
def test_parts_of_two_runs_are_refused(name, good, tmp_path, capsys):
    folder = shutil.copytree(good, tmp_path / "r")
    other = made.result(made.summary(run_id="b" * 32), rows=made.history()[:-1], bore=made.pair(26, 71),
                        arrays=section_arrays(2)).save(tmp_path / "two" / "other").directory
    (other / "case.toml").write_text("another")
    shutil.copy(other / name, folder / name)
    shutil.rmtree(tmp_path / "two")
    assert "run" in told(folder, capsys)


def test_fields_of_an_older_run_beside_results_without_are_refused(tmp_path, good, capsys):
    made.write(tmp_path / "r")
    shutil.copy(good / "section.npz", tmp_path / "r" / "section.npz")
    assert "section.npz" in told(tmp_path / "r", capsys)


def test_a_full_disk_under_the_report_is_a_sentence(good, tmp_path, capsys, monkeypatch):
    import errno
    import os

    folder = shutil.copytree(good, tmp_path / "r")

    def full(path, fill):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), str(path))

    monkeypatch.setattr(store, "whole", full)
    assert cli.main(["report", str(folder)]) == 2
    assert "the report can't be written: No space left on device" in capsys.readouterr().err


def test_a_folder_of_an_older_version_says_what_to_do(good, tmp_path, capsys):
    folder = shutil.copytree(good, tmp_path / "r")
    edited(lambda d: d.update(schema=1))(folder)
    said = told(folder, capsys)
    assert "schema 1" in said and "older version" in said and "run the case again" in said
