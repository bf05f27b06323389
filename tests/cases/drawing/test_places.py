"""Slits keep clear of screws, jacking threads stand between them."""

from math import degrees, pi
from types import SimpleNamespace

import pytest

from colletfea.cases.drawing.places import DOWN, UP, places


def slits(pattern="through", count=1, cuts=True):
    return SimpleNamespace(pattern=pattern, count=count, cuts_flange=cuts)


def apart(a, b):
    return abs((a - b + pi) % (2 * pi) - pi)


@pytest.mark.parametrize("screws, jacking, least", [(6, 3, 30), (6, 6, 15), (4, 2, 45), (3, 1, 60), (1, 0, 180), (2, 4, 30)])
def test_a_slit_of_the_flange_stands_in_the_middle_of_the_widest_gap(screws, jacking, least):
    found = places(slits(), screws, jacking)
    assert found.slits == (pytest.approx(DOWN),)
    assert len(found.screws) == screws and len(found.jacking) == jacking
    nearest = min(apart(DOWN, hole) for hole in (*found.screws, *found.jacking))
    assert degrees(nearest) == pytest.approx(least)


def test_jacking_threads_stand_midway_between_screws():
    found = places(slits("none", 0), 6, 3)
    for thread in found.jacking:
        assert sorted(round(degrees(apart(thread, screw))) for screw in found.screws)[:2] == [30, 30]
    assert sorted(round(degrees(apart(found.jacking[0], other))) for other in found.jacking[1:]) == [120, 120]
    assert found.upper == pytest.approx(UP)


def test_slits_from_the_back_stand_between_those_from_the_nose():
    found = places(slits("alternating", 4, False), 0, 0)
    assert len(found.slits) == len(found.back_slits) == 4
    assert all(min(apart(back, slit) for slit in found.slits) == pytest.approx(pi / 4) for back in found.back_slits)
    assert found.lower == pytest.approx(DOWN)


def test_without_slits_the_lower_half_runs_through_a_jacking_thread():
    found = places(slits("none", 0), 4, 2)
    assert found.lower in found.jacking
    assert places(slits("none", 0), 0, 0).lower == DOWN
