"""Pushes of given force by hand: grip, travel, the force a duty needs, in corners of friction and clearance."""

import math

import pytest
from helpers.hand import closed_case, friction, slit_case
from pytest import approx

from colletfea.cases.hand import calculation, columns, covered, push
from colletfea.cases.hand.coupling import coupling
from colletfea.cases.hand.push import Friction
from colletfea.cases.hand.slit_model import Slits

STATICS = "Statics of a cone and of Coulomb friction, evaluated by hand"
DESIGNS = [closed_case(), slit_case(), slit_case(Slits("fingers", 6, 1.0, 16.0))]
NAMES = ["closed", "slit", "fingers"]


@pytest.mark.parametrize("case", DESIGNS, ids=NAMES)
def test_nominal_corner_is_the_clamp_force_of_the_columns(case):
    c, refined = coupling(case), calculation.hand(case)["refined"]
    nominal = Friction(c.cone_friction, c.cone_friction, c.bore_friction)
    force = push.needed_force(c, nominal)
    assert force == approx(refined["clamp_force_N"], rel=1e-12)
    assert push.travel_at(c, force, c.cone_friction) == approx(refined["clamp_travel_mm"], rel=1e-12)
    grip = push.grip_at(c, force, c.cone_friction)
    assert grip.bore_normal == approx(columns.grip_normal(c), rel=1e-12)
    assert push.usable_torque(c, force, nominal) == approx(1.5 * c.torque, rel=1e-12)


@pytest.mark.parametrize("case", DESIGNS, ids=NAMES)
def test_corner_takes_pulling_friction_to_pull_and_carrying_friction_to_carry(case):
    c = coupling(case)
    corner = Friction(0.13, 0.07, 0.09)
    force = push.needed_force(c, corner, 0.04)
    worst = calculation.at_friction(case, 0.13, 0.09, 0.04)["refined"]["clamp_force_N"]
    assert force == approx(worst, rel=1e-12)
    assert push.usable_torque(c, force, corner, 0.04) == approx(1.5 * c.torque, rel=1e-12)
    assert push.usable_torque(c, force, corner, 0.02) > 1.5 * c.torque  # a tighter fit


@pytest.mark.verification(source=STATICS)
def test_cone_normal_force_is_push_over_sine_and_friction():
    c = coupling(slit_case())
    alpha = math.radians(5)
    grip = push.grip_at(c, 20e3, 0.13)
    assert grip.cone_normal == approx(20e3 / (math.sin(alpha) + 0.13 * math.cos(alpha)), rel=1e-12)
    radial = 20e3 / math.tan(alpha + math.atan(0.13))
    assert grip.bore_normal == approx(radial - columns.refined_closing_normal(c), rel=1e-12)
    assert (grip.bore_radius, grip.cone_radius) == (11.0, approx(c.bore_radius + c.wall.thickness(14.0)))


def test_push_that_does_not_close_grips_nothing():
    c = coupling(closed_case())
    closing = calculation.hand(closed_case())["refined"]
    half = closing["closing_force_N"] / 2
    assert push.grip_at(c, half, c.cone_friction).bore_normal == 0.0
    assert push.travel_at(c, half, c.cone_friction) == approx(closing["closing_travel_mm"] / 2)
    assert push.usable_torque(c, half, Friction(0.08, 0.08, 0.12)) == 0.0


@pytest.mark.parametrize("case", DESIGNS, ids=NAMES)
@pytest.mark.parametrize("force", [0.0, 2e3, 30e3, 80e3])
def test_force_at_a_travel_is_travel_at_a_force_turned_round(case, force):
    c = coupling(case)
    assert push.force_at(c, push.travel_at(c, force, 0.1, 0.03), 0.1, 0.03) == approx(force, rel=1e-12, abs=1e-9)


def test_no_clearance_grips_at_once():
    c = coupling(slit_case(sleeve__clearance=0.0))
    assert push.travel_at(c, 0.0, 0.1) == 0.0
    assert push.grip_at(c, 1000.0, 0.1).bore_normal == approx(1000 / math.tan(math.radians(5) + math.atan(0.1)))


@pytest.mark.verification(source=STATICS)
def test_hub_on_the_ring_is_carried_by_the_cone_at_its_low_friction():
    """N = F/(sin a + mu cos a) made at 0.12, T = 0.05 N r: against the formula with the numbers put in."""
    c = coupling(slit_case(friction__bore=friction(0.25, 0.25, 0.25), duty__carried_by="ring", duty__torque=20.0))
    alpha, r = math.radians(5), c.bore_radius + c.wall.thickness(14.0)
    expected = 1.5 * 20e3 / (0.05 * r) * (math.sin(alpha) + 0.12 * math.cos(alpha))
    corner = Friction(0.12, 0.05, 0.25)
    assert push.needed_force(c, corner) == approx(expected, rel=1e-12)
    assert push.usable_torque(c, expected, corner) == approx(30e3, rel=1e-12)
    on_sleeve = c.changed(carried_by="sleeve")
    assert push.needed_force(on_sleeve, corner) < expected
    assert push.usable_torque(on_sleeve, expected, corner) > 30e3


@pytest.mark.verification(source=STATICS)
@pytest.mark.parametrize("thrust, more", [(1500.0, 1.5 * 1500.0), (-1500.0, 0.0)])
def test_thrust_that_draws_the_ring_off_comes_on_top_of_the_cone_s_push(thrust, more):
    c = coupling(slit_case(friction__bore=friction(0.25, 0.25, 0.25), duty__carried_by="ring", duty__torque=20.0))
    corner = Friction(0.12, 0.05, 0.25)
    plain = push.needed_force(c, corner)
    loaded = c.changed(thrust=thrust)
    force = push.needed_force(loaded, corner)
    assert force == approx(plain + more, rel=1e-12)
    assert push.usable_torque(loaded, force, corner) == approx(30e3, rel=1e-12)


def test_bore_shares_its_friction_with_thrust_of_either_sign():
    corner = Friction(0.13, 0.07, 0.09)
    forces = [push.needed_force(coupling(slit_case(duty__thrust=x)), corner) for x in (2000.0, -2000.0, 0.0)]
    assert forces[0] == forces[1] > forces[2]
    c = coupling(slit_case(duty__thrust=2000.0))
    assert push.usable_torque(c, forces[0], corner) == approx(90e3, rel=1e-12)
    assert push.usable_torque(c, forces[0] / 4, corner) == 0.0  # the thrust alone is too much


@pytest.mark.parametrize("carried_by", ["sleeve", "ring"])
def test_service_s_loss_is_pushed_on_top(carried_by):
    c = coupling(slit_case(duty__carried_by=carried_by))
    corner, lost = Friction(0.13, 0.05, 0.09), (5000.0, 7000.0)
    force = push.needed_force(c, corner, lost=lost)
    assert push.usable_torque(c, force, corner, lost=lost) == approx(90e3, rel=1e-12)
    assert force > push.needed_force(c, corner)
    assert push.needed_force(c, corner, lost=(-5000.0, -7000.0)) < push.needed_force(c, corner)


def test_what_cannot_be_said_is_none():
    corner = Friction(0.13, 0.07, 0.09)
    assert push.needed_force(coupling(closed_case(duty=None)), corner) is None
    c = coupling(slit_case())
    assert push.needed_force(c, Friction(0.13, 0.07, 0.0)) is None
    on_ring = c.changed(carried_by="ring")
    assert push.needed_force(on_ring, Friction(0.13, 0.0, 0.09)) is None
    shut = coupling(slit_case(Slits("through", 1, 0.05)))
    assert push.needed_force(shut, corner) is None and push.grip_at(shut, 1e4, 0.1) is None
    assert push.travel_at(shut, 1e4, 0.1) is None and push.force_at(shut, 0.3, 0.1) is None
    assert push.usable_torque(shut, 1e4, corner) is None


def test_thrust_alone_on_the_ring_needs_no_cone_friction():
    c = coupling(slit_case(duty__carried_by="ring", duty__torque=0.0, duty__thrust=-3000.0))
    force = push.needed_force(c, Friction(0.1, 0.0, 0.12))
    normal = 1.5 * 3000 / 0.12
    closing = columns.refined_closing_normal(c)
    assert force == approx((closing + covered.grip_share(c) * normal) * math.tan(math.radians(5) + math.atan(0.1)))
