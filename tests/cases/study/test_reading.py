"""What a page makes of the rows of a study that did not come to its end."""

import re
from itertools import pairwise
from pathlib import Path

import pytest

from colletfea.cases.casefile.case import Case
from colletfea.cases.report import html
from colletfea.cases.study import conduct, page, table
from helpers.study import TABLES

KEYS = ["sleeve.nose_wall", "ring.length"]
#: pairs of wall and ring that `--around` asks for, in its order, with a travel that follows the wall alone
CASES = [(1.4, 12, 1.0), (1.33, 12, 0.9), (1.47, 12, 1.2), (1.4, 11.4, 1.0), (1.4, 12.6, 1.0)]


@pytest.mark.parametrize("count, names", [
    (6, ["least", "middle", "greatest"]), (20, ["5 %", "25 %", "50 %", "75 %", "95 %"]), (100, ["1 %", "5 %", "25 %", "50 %", "75 %", "95 %", "99 %"]),
])  # fmt: skip
def test_the_ends_of_samples_are_percentiles_only_where_samples_lie_beyond_them(count, names):
    """A failed sample counts for none."""
    found = samples(count, {"exit_code": 3, "message": "x", "corners.sample.travel_mm": 9.0})
    head, row = next((a, b) for a, b in pairwise(page.lines(found, Path("x"))) if b.startswith("ring travel [mm]"))
    assert re.findall(r"\d+ %|[a-z]+", head) == names
    assert count > 6 or row.split()[-3:] == ["1.000", "3.500", "6.000"]


def samples(count, *more):
    study = conduct.question(Case.from_tables(TABLES, "x"), random=count + len(more))
    rows = table.Rows(None, study.count)
    for index, row in enumerate([*({"exit_code": 0, "message": None, "corners.sample.travel_mm": k + 1.0} for k in range(count)), *more]):
        rows.add(index, {**dict.fromkeys(study.keys, 0.1), **row})
    return page.Reading(conduct.Outcome(study, {"asked": study.asked, "case": {"title": "x"}, "count": study.count}, rows, ""))


def reading(indices):
    study = conduct.question(Case.from_tables(TABLES, "x"), around=KEYS)
    rows = table.Rows(None, study.count)
    for index in indices:
        wall, ring, travel = CASES[index]
        rows.add(index, {KEYS[0]: wall, KEYS[1]: ring, "exit_code": 0, "message": None, "at_end.travel_mm": travel})
    return page.Reading(conduct.Outcome(study, {"asked": study.asked, "case": {"title": "x"}, "count": study.count}, rows, ""))


@pytest.mark.parametrize(("there", "told"), [
    (range(5), ["−10.0", "+20.0", "0.0", "0.0"]),
    ((1, 2, 3, 4), ["–"] * 4),
    ((1, 3, 4), ["–"] * 4),
    ((0, 2, 3, 4), ["–", "+20.0", "0.0", "0.0"]),
])  # fmt: skip
def test_a_change_is_told_from_the_case_as_it_is_or_not_at_all(there, told):
    """Several workers that are interrupted may leave the case itself out: the row that is then the first is another one."""
    found = reading(there)
    line = next(line for line in page.lines(found, Path("x")) if line.startswith(found.quantities[0].words))
    assert re.findall(r"[−+]?\d+\.\d(?= %)|–", line) == told
    assert any(said.startswith("–: one of the two cases has no such number") for said in found.sentences()) == ("–" in told)
    assert bool(found.drawings()) == (told != ["–"] * 4)


def test_what_a_varied_number_replaces_is_told_on_screen_and_page():
    study = conduct.question(Case.from_tables(TABLES, "x").changed({"friction.cone": [0.06, 0.08, 0.1]}), {"friction.cone": [0.06, 0.1]})
    rows = table.Rows(None, study.count)
    rows.add(0, {"friction.cone": 0.06, "exit_code": 0, "message": None, "at_end.travel_mm": 1.0})
    found = page.Reading(conduct.Outcome(study, {"asked": study.asked, "case": {"title": "x"}, "count": 2}, rows, ""))
    said = "friction.cone is one number here; the case's scatter 0.06 to 0.1 does not enter."
    assert said in page.lines(found, Path("x")) and html.escape(said) in page.page(found, [])
