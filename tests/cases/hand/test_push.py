"""Pushes of given force by hand: grip, travel, the force a duty needs, in corners of friction and clearance."""

import math

import pytest
from helpers.hand import closed_case, friction, slit_case
from pytest import approx

from colletfea.cases.hand import calculation, columns, covered, push
from colletfea.cases.hand.coupling import coupling
from colletfea.cases.hand.corners import GREATEST, LEAST, Rub, Seat, drawn_off, pressed_on
from colletfea.cases.hand.slit_model import Slits

STATICS = "Statics of a cone and of Coulomb friction, evaluated by hand"
DESIGNS = [closed_case(), slit_case(), slit_case(Slits("fingers", 6, 1.0, 16.0))]
NAMES = ["closed", "slit", "fingers"]
ON_RING = [slit_case(duty__carried_by="ring", duty__torque=20.0, duty__thrust=x, friction__cone=friction(0.05, 0.05, 0.05)) for x in (0.0, 3000.0, -3000.0)]


def usable(c, force, pulling, carrying, clearance=None, lost=(0.0, 0.0)):
    """Torque [N mm] that the pair that governs carries beside the thrust, as the corners judge it."""
    bore, _ = push.grip_at(c, force, pulling.cone, clearance)
    torque = bore.usable(carrying.bore, c.slip_safety * c.thrust, lost[0])
    if c.carried_by == "ring":
        torque = min(torque, push.cone_carrying(c, force, pulling.cone, clearance).usable(carrying.cone, 0.0, lost[1]))
    return torque


@pytest.mark.parametrize("case", DESIGNS + ON_RING, ids=[*NAMES, "on the ring", "drawn off", "pressed on"])
def test_nominal_corner_is_the_clamp_force_of_the_columns(case):
    c, refined = coupling(case), calculation.hand(case)["refined"]
    nominal = (Rub(c.cone_friction, 0.2), Rub(c.cone_friction, c.bore_friction))
    force = push.needed_force(c, *nominal)
    assert force == approx(refined["clamp_force_N"], rel=1e-12)  # one rule for corners and columns, wherever the hub sits
    assert push.travel_at(c, force, c.cone_friction) == approx(refined["clamp_travel_mm"], rel=1e-12)
    bore, _ = push.grip_at(c, force, c.cone_friction)
    assert bore.normal == bore.radial == approx(columns.grip_normal(c), rel=1e-12)
    assert usable(c, force, *nominal) == approx(1.5 * c.torque, rel=1e-12)


@pytest.mark.parametrize("case", DESIGNS, ids=NAMES)
def test_corner_takes_pulling_friction_to_pull_and_carrying_friction_to_carry(case):
    c = coupling(case)
    corner = Rub(0.13, 0.2), Rub(0.07, 0.09)
    force = push.needed_force(c, *corner, 0.04)
    worst = calculation.at_friction(case, 0.13, 0.09, 0.04)["refined"]["clamp_force_N"]
    assert force == approx(worst, rel=1e-12)
    assert usable(c, force, *corner, 0.04) == approx(1.5 * c.torque, rel=1e-12)
    assert usable(c, force, *corner, 0.02) > 1.5 * c.torque  # a tighter fit


@pytest.mark.verification(source=STATICS)
def test_cone_normal_force_is_push_over_sine_and_friction():
    c = coupling(slit_case())
    alpha = math.radians(5)
    bore, cone = push.grip_at(c, 20e3, 0.13)
    assert cone.normal == approx(20e3 / (math.sin(alpha) + 0.13 * math.cos(alpha)), rel=1e-12)
    radial = 20e3 / math.tan(alpha + math.atan(0.13))
    assert cone.radial == approx(radial, rel=1e-12)
    assert bore.normal == approx(radial - columns.refined_closing_normal(c), rel=1e-12)
    arm = c.bore_radius + c.wall.thickness(14.0)
    assert (bore.moment, cone.moment) == (approx(11 * bore.normal), approx(arm * cone.normal))
    assert (bore.stretch, cone.stretch) == ((0.0, 26.0), (3.0, 25.0))
    assert bore.mean_pressure == approx(bore.normal / (math.pi * 22 * 26 * c.fill_fraction))
    assert cone.mean_pressure == approx(cone.normal * math.cos(alpha) / (2 * math.pi * arm * 22 * c.fill_fraction))


def test_push_that_does_not_close_grips_nothing():
    c = coupling(closed_case())
    closing = calculation.hand(closed_case())["refined"]
    half = closing["closing_force_N"] / 2
    assert push.grip_at(c, half, c.cone_friction)[0] == Seat()
    assert push.travel_at(c, half, c.cone_friction) == approx(closing["closing_travel_mm"] / 2)
    assert usable(c, half, Rub(0.08, 0.2), Rub(0.08, 0.12)) == 0.0


@pytest.mark.parametrize("case", DESIGNS, ids=NAMES)
@pytest.mark.parametrize("force", [0.0, 2e3, 30e3, 80e3])
def test_force_at_a_travel_is_travel_at_a_force_turned_round(case, force):
    c = coupling(case)
    assert push.force_at(c, push.travel_at(c, force, 0.1, 0.03), 0.1, 0.03) == approx(force, rel=1e-12, abs=1e-9)


def test_no_clearance_grips_at_once():
    c = coupling(slit_case(sleeve__clearance=0.0))
    assert push.travel_at(c, 0.0, 0.1) == 0.0
    assert push.grip_at(c, 1000.0, 0.1)[0].normal == approx(1000 / math.tan(math.radians(5) + math.atan(0.1)))


@pytest.mark.verification(source=STATICS)
def test_hub_on_the_ring_is_carried_by_the_cone_at_its_low_friction():
    """N = F/(sin a + mu cos a) made at 0.12, T = 0.05 N r: against the formula with the numbers put in."""
    c = coupling(slit_case(friction__bore=friction(0.25, 0.25, 0.25), duty__carried_by="ring", duty__torque=20.0))
    alpha, r = math.radians(5), c.bore_radius + c.wall.thickness(14.0)
    expected = 1.5 * 20e3 / (0.05 * r) * (math.sin(alpha) + 0.12 * math.cos(alpha))
    corner = Rub(0.12, 0.2), Rub(0.05, 0.25)
    assert push.needed_force(c, *corner) == approx(expected, rel=1e-12)
    assert usable(c, expected, *corner) == approx(30e3, rel=1e-12)
    on_sleeve = c.changed(carried_by="sleeve")
    assert push.needed_force(on_sleeve, *corner) < expected
    assert usable(on_sleeve, expected, *corner) > 30e3


@pytest.mark.verification(source=STATICS)
@pytest.mark.parametrize("thrust, more", [(1500.0, 1.5 * 1500.0), (-1500.0, 0.0)])
def test_thrust_that_draws_the_ring_off_comes_on_top_of_the_cone_s_push(thrust, more):
    c = coupling(slit_case(friction__bore=friction(0.25, 0.25, 0.25), duty__carried_by="ring", duty__torque=20.0))
    corner = Rub(0.12, 0.2), Rub(0.05, 0.25)
    plain = push.needed_force(c, *corner)
    loaded = c.changed(thrust=thrust)
    force = push.needed_force(loaded, *corner)
    assert force == approx(plain + more, rel=1e-12)
    assert usable(loaded, force, *corner) == approx(30e3, rel=1e-12)


@pytest.mark.parametrize("thrust, carried_by, off, on", [(1500.0, "ring", 2250.0, 0.0), (-1500.0, "ring", 0.0, 1500.0), (1500.0, "sleeve", 0.0, 0.0), (-1500.0, "sleeve", 0.0, 0.0)])
def test_a_thrust_draws_off_with_its_safety_or_presses_on_as_it_stands_where_the_ring_carries_the_hub(thrust, carried_by, off, on):
    case = slit_case(duty__carried_by=carried_by, duty__thrust=thrust)
    for load in (case.duty, coupling(case)):
        assert (drawn_off(load), pressed_on(load, GREATEST), pressed_on(load, LEAST)) == (off, on, 0.0)


def test_bore_shares_its_friction_with_thrust_of_either_sign():
    corner = Rub(0.13, 0.2), Rub(0.07, 0.09)
    forces = [push.needed_force(coupling(slit_case(duty__thrust=x)), *corner) for x in (2000.0, -2000.0, 0.0)]
    assert forces[0] == forces[1] > forces[2]
    c = coupling(slit_case(duty__thrust=2000.0))
    assert usable(c, forces[0], *corner) == approx(90e3, rel=1e-12)
    assert usable(c, forces[0] / 4, *corner) < 0.0  # the thrust alone is too much


@pytest.mark.parametrize("carried_by", ["sleeve", "ring"])
def test_service_s_loss_is_pushed_on_top(carried_by):
    c = coupling(slit_case(duty__carried_by=carried_by))
    corner, lost = (Rub(0.13, 0.2), Rub(0.05, 0.09)), (5000.0, 7000.0)
    force = push.needed_force(c, *corner, lost=lost)
    assert usable(c, force, *corner, lost=lost) == approx(90e3, rel=1e-12)
    assert force > push.needed_force(c, *corner)
    assert push.needed_force(c, *corner, lost=(-5000.0, -7000.0)) < push.needed_force(c, *corner)


def test_what_cannot_be_said_is_none():
    corner = Rub(0.13, 0.2), Rub(0.07, 0.09)
    assert push.needed_force(coupling(closed_case(duty=None)), *corner) is None
    c = coupling(slit_case())
    assert push.needed_force(c, Rub(0.13, 0.2), Rub(0.07, 0.0)) is None
    on_ring = c.changed(carried_by="ring")
    assert push.needed_force(on_ring, Rub(0.13, 0.2), Rub(0.0, 0.09)) is None
    shut = coupling(slit_case(Slits("through", 1, 0.05)))
    assert push.needed_force(shut, *corner) is None and push.grip_at(shut, 1e4, 0.1) is None
    assert push.travel_at(shut, 1e4, 0.1) is None and push.force_at(shut, 0.3, 0.1) is None
    assert push.cone_carrying(shut, 1e4, 0.1) is None


def test_thrust_alone_on_the_ring_needs_no_cone_friction():
    c = coupling(slit_case(duty__carried_by="ring", duty__torque=0.0, duty__thrust=-3000.0))
    force = push.needed_force(c, Rub(0.1, 0.2), Rub(0.0, 0.12))
    normal = 1.5 * 3000 / 0.12
    closing = columns.refined_closing_normal(c)
    assert force == approx((closing + covered.grip_share(c) * normal) * math.tan(math.radians(5) + math.atan(0.1)))
    drawn_off = c.changed(thrust=3000.0)  # a good bore would hold at less than what draws the ring off
    assert push.needed_force(drawn_off, Rub(0.1, 0.2), Rub(0.0, 0.9)) == 1.5 * 3000
