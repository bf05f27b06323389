"""The worst of one verdict's values over the corners, and a corner in words."""

import pytest
from helpers.push import case_of

from colletfea.cases.casefile import fits
from colletfea.cases.hand.corners import Reached, Seat, table
from colletfea.cases.judgement.corner import where, worst
from colletfea.cases.stored.names import FITS
from colletfea.cases.stored.verdict import Verdict


def verdict(margin, ok):
    return Verdict("slip", 1.0, 1.0, "N m", margin, ok, "")


FAILS, FAILS_MORE, HOLDS, HOLDS_WELL = (verdict(*given) for given in ((0.9, False), (0.5, False), (1.1, True), (3.0, True)))
UNKNOWN, UNJUDGED = verdict(None, None), verdict(0.2, None)


@pytest.mark.parametrize("worse, better", [
    (FAILS, UNKNOWN), (FAILS, UNJUDGED), (FAILS, HOLDS), (UNKNOWN, HOLDS), (UNJUDGED, HOLDS), (FAILS_MORE, FAILS), (HOLDS, HOLDS_WELL), (UNJUDGED, UNKNOWN),
])  # fmt: skip
def test_not_ok_comes_first_then_not_judged_then_the_smallest_margin(worse, better):
    """One that is not judged may be any, so that it can't be left out for one that holds."""
    assert worst([worse, better]) is worst([None, better, worse]) is worse


def test_none_of_none():
    assert worst([None, None]) is worst([]) is None


def said(**keys):
    """Each corner of a case in words, at 9 kN."""
    case = case_of(friction={"cone": [0.06, 0.08, 0.10], "bore": [0.09, 0.12, 0.15]}, **keys)
    corners = table(case, fits.of(case))
    return {c.name: where(case, Reached(c, 9000.0, 0.35, "force", Seat(), Seat(), Seat(), {}, 0.0)) for c in corners}


def test_each_corner_says_its_clearance_and_friction():
    """20 H7/h6: 0 to 21 µm over 0 to 13 below, so 0, 17 and 34 µm (ISO 286-2)."""
    found = said(drop=("sleeve.clearance",), sleeve__fit="H7/h6")
    assert found == {
        "nominal": "at 9 kN (clearance 17 µm, middle fit; friction of cone and bore 0.08 and 0.12 while pulled, 0.08 and 0.12 while it carries)",
        "grip": "at 9 kN (clearance 34 µm, loosest fit; friction of cone and bore 0.1 and 0.15 while pulled, 0.06 and 0.09 while it carries)",
        "tight": "at 9 kN (clearance 0 µm, tightest fit; friction of cone and bore 0.06 and 0.09 while pulled, 0.08 and 0.12 while it carries)",
        "loose": "at 9 kN (clearance 34 µm, loosest fit; friction of cone and bore 0.06 and 0.09 while pulled, 0.08 and 0.12 while it carries)",
    }
    assert set(found) == set(FITS)


def test_one_clearance_belongs_to_no_fit():
    assert all("(clearance 30 µm; friction" in words for words in said().values())
