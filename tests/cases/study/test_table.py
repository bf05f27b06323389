"""The table of a study: rows whole or absent, in the order of their numbers, and whose folder it is."""

import csv
import json
import os

import pytest

from colletfea.cases.stored.store import ResultsError
from colletfea.cases.study import table
from colletfea.cases.study.one import judged

ASKED = {"schema": 2, "version": "1", "case": {"title": "a"}, "asked": {"vary": {"sleeve.taper": [3, 4]}, "level": "quick"}, "count": 2}
LIMITS = {"clearance": [0.01, 0.04], "cone": [0.1, 0.1], "bore": [0.1, 0.2], "force": [1.0, 2.0]}


def row(taper, code=0, **more):
    return {"sleeve.taper": taper, **more, "exit_code": code, "seconds": 0.5, "message": None}


def test_rows_come_back_in_order_whatever_order_they_came_in(tmp_path):
    rows = table.Rows(tmp_path, 4)
    for index in (2, 0, 1):
        rows.add(index, row(index))
    assert [r["sleeve.taper"] for r in rows] == [0, 1, 2] == [r["sleeve.taper"] for r in table.Rows(tmp_path, 4)]


@pytest.mark.parametrize("keep", range(1, 40, 3))
def test_a_row_that_was_being_written_is_absent_and_the_rest_goes_on(tmp_path, keep):
    rows = table.Rows(tmp_path, 4)
    rows.add(0, row(3.0))
    whole = (tmp_path / table.JOURNAL).stat().st_size
    rows.add(1, row(4.0))
    path = tmp_path / table.JOURNAL
    path.write_bytes(path.read_bytes()[: whole + keep])
    again = table.Rows(tmp_path, 4)
    assert again.finished == {0}
    again.add(1, row(4.5))
    assert [r["sleeve.taper"] for r in table.Rows(tmp_path, 4)] == [3.0, 4.5]


def test_a_case_that_failed_unexpectedly_is_done_again_and_its_later_row_counts(tmp_path):
    rows = table.Rows(tmp_path, 4)
    for index, code in enumerate((0, 1, 2, 3)):
        rows.add(index, row(index, code))
    assert rows.finished == {0, 2, 3} and rows.failed == 3
    rows.add(1, row(9.0))
    again = table.Rows(tmp_path, 4)
    assert again.finished == {0, 1, 2, 3} and [r["sleeve.taper"] for r in again][1] == 9.0 and again.failed == 2


def test_columns_are_the_keys_then_blocks_together_then_the_end(tmp_path):
    rows = table.Rows(None, 2)
    rows.add(0, row(3.0, **{"clamp.least_N": 1.0, "verdicts.slip.ok": True, "corners.grip.travel_mm": None}))
    rows.add(1, row(4.0, **{"clamp.least_N": 2.0, "clamp.needed_N": 1.5}))
    with table.write_table(tmp_path, ("sleeve.taper",), rows).open(encoding="utf-8", newline="") as stream:
        head, first, second = csv.reader(stream)
    assert head == ["sleeve.taper", "clamp.least_N", "clamp.needed_N", "verdicts.slip.ok", "corners.grip.travel_mm", "exit_code", "seconds", "message"]
    assert first[:5] == ["3.0", "1.0", "", "true", ""] and second[:4] == ["4.0", "2.0", "1.5", ""]


def test_another_study_in_the_folder_is_refused_and_left_alone(tmp_path):
    table.begin(tmp_path, {**ASKED, "limits": LIMITS})
    assert table.take(tmp_path, ASKED) == {**ASKED, "limits": LIMITS}
    kept = (tmp_path / table.ASKED).read_bytes()
    other = {**ASKED, "asked": {"vary": {"sleeve.taper": [3, 5]}, "level": "quick"}}
    with pytest.raises(ResultsError, match="holds results of another study \\(another question\\); give another folder"):
        table.take(tmp_path, other)
    with pytest.raises(ResultsError, match="holds results of colletfea 1"):
        table.take(tmp_path, {**ASKED, "version": "2"})
    assert (tmp_path / table.ASKED).read_bytes() == kept


@pytest.mark.parametrize("text", [
    "", "[]", "{", json.dumps("x"), "[" * 100_000, "\xff", json.dumps({**ASKED, "limits": {**LIMITS, "cone": "x"}}),
])  # fmt: skip
def test_a_damaged_question_is_refused(tmp_path, text):
    table.begin(tmp_path, ASKED)
    (tmp_path / table.ASKED).write_text(text, encoding="latin-1")
    with pytest.raises(ResultsError, match="sweep.json: is damaged or changed, so the study there can't go on"):
        table.take(tmp_path, ASKED)


LINE = table.line_of(0, row(9.0))


@pytest.mark.parametrize("line", [
    b"[" * 100_000 + b"\n", b'["a", {"exit_code": 0}]\n', b'[0, {"exit_code": 0, "sleeve.taper": NaN}]\n', table.line_of(7, row(9.0)), b"\n",
    b"\xff\n", LINE.replace(b"9.0", b"8.0"), LINE[:-14] + b"]\n", LINE[:-3] + b"\n", LINE[:20] + LINE,
])  # fmt: skip
def test_a_line_that_cannot_be_used_is_counted_and_its_case_computed_anew(tmp_path, line):
    rows = table.Rows(tmp_path, 2)
    rows.add(1, row(4.0))
    with (tmp_path / table.JOURNAL).open("ab") as stream:
        stream.write(line)
    again = table.Rows(tmp_path, 2)
    assert (again.finished, again.damaged) == ({1}, 1)
    again.add(0, row(3.0))
    assert [r["sleeve.taper"] for r in again] == [3.0, 4.0] == [r["sleeve.taper"] for r in table.Rows(tmp_path, 2)]


@pytest.mark.parametrize("name", [table.ASKED, table.TABLE, table.JOURNAL, table.PAGE, "figures/sweep_push_force.png"])
@pytest.mark.parametrize("kind", ["pipe", "link", "mine"])
def test_what_is_no_file_of_the_study_is_refused_and_not_waited_for(tmp_path, name, kind):
    table.begin(tmp_path / "s", ASKED)
    path, mine = tmp_path / "s" / name, tmp_path / "mine"
    if kind == "mine" and name in (table.ASKED, table.JOURNAL):
        return  # listed from the beginning
    (tmp_path / "s" / "figures").mkdir()
    mine.write_text("mine")
    path.unlink(missing_ok=True)
    {"pipe": os.mkfifo, "link": lambda path: path.symlink_to(mine), "mine": lambda path: path.write_text("mine")}[kind](path)
    with pytest.raises(ResultsError, match=f"{name}: is (damaged or changed|no file as this program left it)"):
        table.take(tmp_path / "s", ASKED)
    assert mine.read_text() == "mine"


def test_linked_figures_are_refused(tmp_path):
    table.begin(tmp_path / "s", ASKED)
    (tmp_path / "album").mkdir()
    (tmp_path / "s" / "figures").symlink_to(tmp_path / "album")
    with pytest.raises(ResultsError, match="figures: must be a folder of its own"):
        table.take(tmp_path / "s", ASKED)


@pytest.mark.parametrize("name", [".sweep.json.1234.part", ".colletfea.json.1234.part"])
def test_a_study_killed_before_its_question_was_stored_goes_on(tmp_path, name):
    (tmp_path / name).write_text("{")
    assert table.take(tmp_path, ASKED) == ASKED


@pytest.mark.parametrize("name", [table.TABLE, table.JOURNAL, "summary.json"])
def test_a_folder_with_other_files_is_refused(tmp_path, name):
    (tmp_path / name).write_text("mine\n")
    with pytest.raises(ResultsError, match="no results folder of a study"):
        table.take(tmp_path, ASKED)


@pytest.mark.parametrize("stays, holds", [(True, True), (None, True), (False, False)])
def test_a_ring_that_is_driven_off_does_not_hold_and_one_that_is_not_judged_may(stays, holds):
    verdicts = [{"name": name, "value": 1.0, "limit": 1.0, "margin": 1.0, "ok": ok} for name, ok in (("slip", True), ("self_locking", stays))]
    assert judged(verdicts)["holds"] is holds
