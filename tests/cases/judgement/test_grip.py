"""Grip of the bore and the cone: values, limits and margins of real pushes in corners, and when the ring stays on its own."""

from dataclasses import replace
from math import atan, degrees, sqrt

import pytest
from helpers.push import case_of, run, verdicts
from pytest import approx

from colletfea.cases.judgement.grip import self_locking, slip
from colletfea.cases.stored import names

BAND = {"friction__cone": [0.06, 0.08, 0.10], "friction__bore": [0.09, 0.12, 0.15]}
DUTY = {"torque": 40, "slip_safety": 1.7, "yield_safety": 1.1}


def grip(**changes):
    """Pushed with high friction on both seats, carrying with low."""
    return run(corner="grip", **BAND, **changes)


def test_slip_is_judged_at_low_friction_against_torque_times_slip_safety():
    """Value mu r N with r = T_cap/(mu N) of the pushed state, mu = 0.15 there; limit 1.7 times 40 N m; margin value over limit."""
    found = grip(duty=DUTY)
    slip = verdicts(found)["slip"]
    assert slip.limit == approx(68) and slip.unit == "N m"
    assert slip.value == approx(found.bore.torque_capacity / 1e3 * 0.09 / 0.15)
    assert slip.value == approx(0.09 * 10 * found.bore.normal_force / 1e3, rel=1e-3)
    assert slip.margin == approx(slip.value / 68) and slip.ok is (slip.value > 68)
    assert slip.corner == "grip" and "0.1 and 0.15 while pulled, 0.06 and 0.09 while it carries" in slip.because


@pytest.mark.parametrize("thrust", [500.0, -500.0])
def test_thrust_takes_its_share_of_the_grip(thrust):
    """sqrt((mu N)^2 - (S X)^2) on the arm of the pressure, the thrust times slip safety as well."""
    found = grip(duty={**DUTY, "thrust": thrust})
    slip = verdicts(found)["slip"]
    arm = found.bore.torque_capacity / (0.15 * found.bore.normal_force)
    assert slip.value == approx(arm * sqrt((0.09 * found.bore.normal_force) ** 2 - (1.7 * thrust) ** 2) / 1e3)
    assert "beside the thrust" in slip.because


def test_beside_a_great_thrust_the_margin_is_that_of_the_grip():
    """A torque's margin says nothing where the thrust takes nearly all: N mu over the root of torque and thrust, 0.1 % above 1."""
    plain = grip(duty=DUTY)
    held = 0.09 * plain.bore.normal_force
    found = verdicts(grip(duty={"torque": 0.1, "thrust": held / 1.7 / 1.001, "slip_safety": 1.7}))["slip"]
    assert found.ok and found.value / found.limit > 10 and found.margin == approx(1.001, abs=2e-4)
    assert "What presses the seat is 1 times what is needed" in found.because


def test_a_thrust_alone_is_judged_in_newtons():
    """0.09 N against 1.7 times 900 N."""
    found = grip(duty={"thrust": 900, "slip_safety": 1.7})
    slip = verdicts(found)["slip"]
    assert slip.unit == "N" and slip.limit == approx(1530) and slip.value == approx(0.09 * found.bore.normal_force)


def test_a_push_landed_on_its_duty_is_just_enough():
    """Single friction values: what the push was stopped at is what is judged."""
    slip = verdicts(run(duty=DUTY, drop=("push",)))["slip"]
    assert slip.ok and slip.margin == approx(1, abs=1e-3) and slip.margin >= 1


def test_the_corner_that_carries_least_is_the_one_judged():
    """Same travel: nominal carries with 0.12, grip with 0.09; the seat is 0.09 % looser where the cone rubs more."""
    nominal, worst = run(duty=DUTY, **BAND), grip(duty=DUTY)
    both = verdicts(nominal, worst)["slip"]
    assert both == verdicts(worst, nominal)["slip"] == verdicts(worst)["slip"]
    assert both.value == approx(0.75 * verdicts(nominal)["slip"].value, rel=2e-3)


def test_cone_is_judged_where_the_hub_sits_on_the_ring():
    found = grip(duty={**DUTY, "carried_by": "ring"})
    cone = verdicts(found)["cone_slip"]
    assert cone.value == approx(found.cone.torque_capacity / 1e3 * 0.06 / 0.10) and cone.limit == approx(68)
    assert "cone_slip" not in verdicts(grip(duty=DUTY))


def test_thrust_that_draws_the_ring_off_is_taken_from_the_cones_push():
    """The cone counts as in a push of the force less 1.7 times the thrust, pushed apart: 1e-4, measured 7e-6."""
    kept = {"duty": {**DUTY, "carried_by": "ring", "thrust": 800}, "drop": ("push.travel",)}
    found, less = grip(**kept, push__force=9000.0), grip(**kept, push__force=9000.0 - 1.7 * 800)
    cone = verdicts(found)["cone_slip"]
    assert cone.value == approx(less.cone.torque_capacity / 1e3 * 0.06 / 0.10, rel=1e-4) and "after the thrust" in cone.because
    assert cone.value < 0.9 * found.cone.torque_capacity / 1e3 * 0.06 / 0.10
    pressed_on = grip(**{**kept, "duty": {**kept["duty"], "thrust": -800}}, push__force=9000.0)
    assert verdicts(pressed_on)["cone_slip"].value == approx(found.cone.torque_capacity / 1e3 * 0.06 / 0.10, rel=1e-4)


def test_what_service_takes_goes_off_the_normal_force():
    found = grip(duty=DUTY)
    whole, lost = slip(found.case, found.reached, 0.0), slip(found.case, found.reached, 0.25 * found.bore.normal_force)
    assert lost.value == approx(0.75 * whole.value) and "taken" in lost.because and "taken" not in whole.because


@pytest.mark.parametrize("reason", [names.NOT_CONVERGED, names.INTERRUPTED, names.SHUT, names.YIELD])
def test_a_push_that_ended_early_is_not_judged_at_the_force_it_did_not_reach(reason):
    found = grip(duty=DUTY)
    early = slip(found.case, replace(found.reached, reason=reason), 0.0)
    assert early.ok is None and early.margin is None and names.REASONS[reason] in early.because


@pytest.mark.parametrize("low, high, locks, words", [
    (0.08, 0.10, True, "pushed off with jacking screws"), (0.06, 0.08, None, "can let go"), (0.05, 0.06, None, "the ring lets go"),
])  # fmt: skip
def test_ring_stays_where_the_taper_is_below_the_friction_angle(low, high, locks, words):
    """4 degrees: tan is 0.0699. Without a clamp force a ring that lets go is not judged."""
    found = self_locking(case_of(friction__cone=[low, (low + high) / 2, high]), None)
    assert found.value == 4 and found.limit == approx(degrees(atan(low))) and found.ok is locks and words in found.because
    assert found.margin == approx(degrees(atan(low)) / 4)


def test_ring_that_lets_go_is_judged_by_the_clamp_force_that_keeps_it():
    """sin 4 deg = 0.0697565, cos 0.9975641: at friction 0.06 a pull of 8000 N makes N = 61 723.5 N, which drives the ring off
    with N (0.0697565 - 0.0598538) = 611.23 N; above the friction angle nothing drives it off, and the taper is judged."""
    case = case_of(friction__cone=[0.06, 0.08, 0.10])
    found = self_locking(case, 8000.0)
    assert found.unit == "N" and found.value == approx(611.23, abs=0.01) and found.limit == 8000 and found.ok
    assert found.margin == approx(8000 / 611.23, rel=1e-4) and "can let go" in found.because and "611.2 of 8000 N" in found.because
    assert self_locking(case, 23000.0).because.endswith("1757 of 23000 N")
    locks = self_locking(case_of(friction__cone=[0.08, 0.09, 0.10]), 8000.0)
    assert locks.unit == "deg" and locks.ok


@pytest.mark.parametrize("low, cone", [(0.06, 611.23), (0.08, 0.0)])
def test_thrust_that_draws_the_ring_off_comes_on_top_of_what_the_cone_drives_it_off_with(low, cone):
    """Case of the test above, and 1.7 times 2000 N; a lock is not counted on against it, and a hub on the sleeve leaves the ring alone."""
    on_ring = {**DUTY, "carried_by": "ring", "thrust": 2000}
    case = case_of(friction__cone=[low, 0.09, 0.10], duty=on_ring)
    found = self_locking(case, 8000.0)
    assert found.value == approx(cone + 3400, abs=0.01) and found.limit == 8000 and found.unit == "N" and found.ok
    assert "3400 N of it the thrust with its slip safety" in found.because and "no fault" not in found.because
    assert self_locking(case, 3300.0).ok is False and self_locking(case, None).ok is None
    for other in ({**on_ring, "thrust": -2000}, {**on_ring, "carried_by": "sleeve"}):
        spared = self_locking(case_of(friction__cone=[low, 0.09, 0.10], duty=other), 8000.0)
        assert spared.ok and "thrust" not in spared.because and spared.value == approx(cone or 4, abs=0.01)
