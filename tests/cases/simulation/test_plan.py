"""Travels that increments are planned to: a geometric row, so that forces which differ little are planned alike; and no way at all."""

import pytest
from helpers.push import case_of, push_corner

from colletfea.cases.hand.calculation import hand
from colletfea.cases.hand.corners import Clamp
from colletfea.cases.hand.geometry import sizes
from colletfea.cases.judgement.strength import Added
from colletfea.cases.judgement.verdicts import judge
from colletfea.cases.simulation.plan import plan
from colletfea.cases.stored.names import TRAVEL

#: the least overlap that a case may have, a twentieth of the sleeve: all that a push without another end may leave of it
BARELY = {"ring__length": 18.0, "ring__start": -17.0, "sleeve__length": 20.0, "drop": ("push.travel",)}


def planned(force):
    case = case_of(push__force=force, drop=("push.travel",), duty={"torque": 20})
    return plan(case, hand(case), "quick")


def test_forces_that_differ_little_are_planned_alike():
    """A decade of forces takes twice the travel: four steps of the row, of a quarter each."""
    expected = [planned(2000 * 1.02**k).expected for k in range(116)]
    steps = sorted(set(expected))
    assert len(steps) == 4 and expected == sorted(expected)
    assert [b / a for a, b in zip(steps, steps[1:])] == pytest.approx([1.25] * 3)
    assert planned(8000) == planned(8010)


def test_a_force_that_is_never_reached_does_not_shoot_past_the_touch():
    """However far the end is expected, the first increment is the way to the touch; up to a nearer end it is as it was."""
    near, far, farther = planned(3000), planned(300_000), planned(3e6)
    assert near.steps.first == pytest.approx(0.2 * near.expected)
    assert far.steps.first == farther.steps.first < 0.1 * far.expected < 0.1 * farther.expected


def test_a_travel_that_is_given_is_planned_as_it_is():
    case = case_of(push__travel=0.4321)
    assert plan(case, hand(case), "quick").expected == 0.4321


def test_a_ring_that_has_no_way_left_ends_where_it_is():
    case = case_of(**BARELY, duty={"torque": 5})
    assert sizes(case).travel_limit == 0 and plan(case, hand(case), "quick").expected == 0
    done, reached = push_corner(case, "quick")
    assert done.reason == TRAVEL and reached.travel == 0 and len(done.states) == 1
    (slip,) = [v for v in judge(case, hand(case), Clamp(None, 0.0, 0.0, 1.0, ""), [reached], {}, Added()) if v.name == "slip"]
    assert slip.ok is False and slip.value == 0 and slip.limit == pytest.approx(5 * case.duty.slip_safety)
