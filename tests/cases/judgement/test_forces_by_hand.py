"""Forces that the corners of a decision by hand are pushed to, added up here."""

import math

import pytest
from helpers.push import case_of
from pytest import approx

from colletfea.cases.casefile import fits
from colletfea.cases.hand.calculation import hand
from colletfea.cases.judgement.by_hand import decision
from colletfea.cases.stored.names import DUTY, FORCE

BAND = {"cone": [0.06, 0.08, 0.10], "bore": [0.09, 0.12, 0.15]}


@pytest.mark.parametrize("thrust, carried_by, greatest", [(-800, "ring", 14_300), (800, "ring", 13_500), (-800, "sleeve", 13_500), (0, "ring", 13_500)])
def test_a_thrust_that_presses_the_ring_on_adds_to_the_greatest_force_alone(thrust, carried_by, greatest):
    """9000 N with a scatter of 1.5 are up to 13 500 N; a hub on the ring presses with its 800 N on top, as they are: slip safety is for
    what may slip."""
    duty = {"torque": 40, "slip_safety": 1.5, "thrust": thrust, "carried_by": carried_by}
    case = case_of(push={"force": 9000, "scatter": 1.5}, duty=duty, friction=BAND)
    found = {corner["name"]: corner["push_force_N"] for corner in decision(case, hand(case))["corners"]}
    assert found == approx({"nominal": 9000.0, "grip": 9000.0, "tight": greatest})


def test_a_travel_is_counted_with_both_ends_of_the_cones_friction():
    """What the cone presses belongs to the travel: the tightest fit is pulled at the low end, 0.06, and takes most at the high one."""
    case = case_of(push={"travel": 0.35}, duty={"torque": 40}, friction=BAND, sleeve__fit="H8/h7", drop=("sleeve.clearance",))
    found = decision(case, hand(case, fits.of(case)), fits.of(case))
    pulls = {low: math.tan(math.radians(4) + math.atan(low)) for low in (0.06, 0.08, 0.10)}
    pressed = [corner["push_force_N"] / pulls[corner["pulling"]["cone"]] for corner in found["corners"]]
    assert len(pressed) == 4 and found["clamp"]["least_N"] == approx(min(pressed) * pulls[0.06])
    assert found["clamp"]["greatest_N"] == approx(max(pressed) * pulls[0.10])
    assert found["clamp"]["greatest_N"] > 1.2 * max(corner["push_force_N"] for corner in found["corners"])
    assert "both ends of the cone's friction" in found["clamp"]["because"]


@pytest.mark.parametrize("thrust, ended", [(800, FORCE), (-800, DUTY)])
def test_a_single_corner_ends_as_a_run_of_it_does(thrust, ended):
    """Where its duty is carried, unrounded; a ring that the thrust draws off is pushed to the clamp force, whose cone less the thrust is judged."""
    duty = {"torque": 40, "thrust": thrust, "carried_by": "ring"}
    case = case_of(push={"scatter": 1}, duty=duty)
    found = decision(case, hand(case))
    (corner,), clamp = found["corners"], found["clamp"]
    assert corner["stop_reason"] == ended and corner["push_force_N"] == clamp["least_N" if ended == FORCE else "needed_N"]
    assert clamp["least_N"] > clamp["needed_N"]
