"""Grip of the bore and the cone: values, limits and margins of real pushes, and when the ring stays on its own."""

from math import atan, degrees, sqrt

import pytest
from helpers.push import case_of, run
from pytest import approx

from colletfea.cases.judgement.grip import self_locking, slip
from colletfea.cases.judgement.verdicts import judge

BAND = {"friction__cone": [0.06, 0.08, 0.10], "friction__bore": [0.09, 0.12, 0.15]}
DUTY = {"torque": 40, "slip_safety": 1.7, "yield_safety": 1.1}


def verdicts(found):
    return {v.name: v for v in judge(found.case, found.hand, None, found.push)}


def test_slip_is_judged_at_low_friction_against_torque_times_slip_safety():
    """Value mu r N with r = T_cap/(mu_nominal N) of the pushed state; limit 1.7 times 40 N m; margin value over limit."""
    found = run(duty=DUTY, **BAND)
    slip = verdicts(found)["slip"]
    assert slip.limit == approx(68) and slip.unit == "N m"
    assert slip.value == approx(found.bore.torque_capacity / 1e3 * 0.09 / 0.12)
    assert slip.value == approx(0.09 * 10 * found.bore.normal_force / 1e3, rel=1e-3)
    assert slip.margin == approx(slip.value / 68) and slip.ok is (slip.value > 68)


def test_thrust_takes_its_share_of_the_grip():
    """sqrt((mu N)^2 - (S X)^2) on the arm of the pressure, the thrust times slip safety as well."""
    thrust = 500.0
    found = run(duty={**DUTY, "thrust": thrust}, **BAND)
    slip = verdicts(found)["slip"]
    arm = found.bore.torque_capacity / (0.12 * found.bore.normal_force)
    assert slip.value == approx(arm * sqrt((0.09 * found.bore.normal_force) ** 2 - (1.7 * thrust) ** 2) / 1e3)
    assert "beside the thrust" in slip.because


def test_a_push_landed_on_its_duty_is_just_enough():
    """Single friction values: what the push was stopped at is what is judged."""
    slip = verdicts(run(duty=DUTY, drop=("push",)))["slip"]
    assert slip.ok and slip.margin == approx(1, abs=1e-3) and slip.margin >= 1


@pytest.mark.parametrize("torque, words", [(1.05, "is enough"), (1.5, "is not enough either")])
def test_what_nominal_friction_holds_is_told_in_newton_metres(torque, words):
    """Between the low end's capacity, 0.75 of the nominal one, and the nominal one it is enough; above it is not."""
    capacity = run(duty=DUTY, **BAND).bore.torque_capacity / 1e3
    duty = {**DUTY, "torque": 0.75 * torque * capacity / 1.7}
    slip = verdicts(run(duty=duty, **BAND))["slip"]
    assert slip.ok is False and f"At nominal friction it holds {capacity:.4g} N·m, which {words}" in slip.because
    assert slip.margin == approx(1 / torque, rel=1e-4)  # another duty is landed on elsewhere: 2e-6


def test_cone_is_judged_where_the_hub_sits_on_the_ring():
    found = run(duty={**DUTY, "carried_by": "ring"}, **BAND)
    cone = verdicts(found)["cone_slip"]
    assert cone.value == approx(found.cone.torque_capacity / 1e3 * 0.06 / 0.08) and cone.limit == approx(68)
    assert "cone_slip" not in verdicts(run(duty=DUTY, **BAND))


def test_any_friction_can_be_asked_of_a_push():
    """The same pressures with another friction while carrying: in proportion to it, without thrust."""
    found = run(duty=DUTY, **BAND)
    low, high = (slip(found.case, found.push, "bore", mu) for mu in (0.05, 0.2))
    assert high.value == approx(4 * low.value) and "friction 0.05" in low.because
    assert slip(found.case, found.push, "bore", 0.2, left=0.25).value == approx(low.value)


@pytest.mark.parametrize("low, high, locks, words", [
    (0.08, 0.10, True, "pushed off with jacking screws"), (0.06, 0.08, None, "can let go"), (0.05, 0.06, None, "the ring lets go"),
])  # fmt: skip
def test_ring_stays_where_the_taper_is_below_the_friction_angle(low, high, locks, words):
    """4 degrees: tan is 0.0699."""
    found = self_locking(case_of(), low, high)
    assert found.value == 4 and found.limit == approx(degrees(atan(low))) and found.ok is locks and words in found.because
    assert found.margin == approx(degrees(atan(low)) / 4)
