"""Forces that the corners of a decision by hand are pushed to, added up here."""

import pytest
from helpers.push import case_of
from pytest import approx

from colletfea.cases.hand.calculation import hand
from colletfea.cases.judgement.by_hand import decision

BAND = {"cone": [0.06, 0.08, 0.10], "bore": [0.09, 0.12, 0.15]}


@pytest.mark.parametrize("thrust, carried_by, greatest", [(-800, "ring", 14_300), (800, "ring", 13_500), (-800, "sleeve", 13_500), (0, "ring", 13_500)])
def test_a_thrust_that_presses_the_ring_on_adds_to_the_greatest_force_alone(thrust, carried_by, greatest):
    """9000 N with a scatter of 1.5 are up to 13 500 N; a hub on the ring presses with its 800 N on top, as they are: slip safety is for
    what may slip."""
    duty = {"torque": 40, "slip_safety": 1.5, "thrust": thrust, "carried_by": carried_by}
    case = case_of(push={"force": 9000, "scatter": 1.5}, duty=duty, friction=BAND)
    found = {corner["name"]: corner["push_force_N"] for corner in decision(case, hand(case))["corners"]}
    assert found == approx({"nominal": 9000.0, "grip": 9000.0, "tight": greatest})
