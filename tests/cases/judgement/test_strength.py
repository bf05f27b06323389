"""The sleeve's neck: stress and limit against values worked out here from the geometry, factor by factor."""

from math import pi, radians, tan

import pytest
from helpers.push import CLOSED, case_of
from pytest import approx

from colletfea.cases.hand.corners import NOMINAL, Reached, Seat, Served, table
from colletfea.cases.judgement.strength import neck

# d = 20, clearance 0.03, nose wall 2, L = 20, taper 4 deg, ring from 5 on, 0.5 travelled: 4.5 mm are free. The wall at the
# ring's leading face, 15.5 mm behind the nose: 2 + 15.5 tan 4 deg = 3.08387 mm, mean radius (20.03 + 3.08387)/2 = 11.55693 mm.
FREE, WALL, RADIUS = 4.5, 3.08387, 11.55693
TORQUE = 1.5 * 40e3  # N mm, times slip safety
KEPT = {"ring__start": 5, "duty": {"torque": 40, "yield_safety": 1.3}, "sleeve__material": {"young": 2e5, "poisson": 0.3, "yield": 390}}
FINGERS = {"pattern": "fingers", "count": 6, "width": 1.5, "depth": 17}


def judged(travel=0.5, force=5000.0, served=None, reason="travel", **changes):
    case = case_of(**{**KEPT, **changes})
    nominal = next(corner for corner in table(case) if corner.name == NOMINAL)
    return neck(case, Reached(nominal, force, travel, reason, Seat(), Seat(), Seat(), {}, 0.0, served=served))


def test_the_numbers_above():
    assert WALL == approx(2 + 15.5 * tan(radians(4)), abs=1e-5) and RADIUS == approx((20.03 + WALL) / 2, abs=1e-5)


def test_closed_tube():
    """tau = T/(2 pi r^2 t) = 60000/(2 pi 133.5626 3.08387) = 23.184 MPa, push 5000/(2 pi 11.55693 3.08387) = 22.328 MPa: together
    (22.328^2 + 3 23.184^2)^1/2 = 45.946 MPa; limit 390/1.3 = 300."""
    found = judged(**CLOSED)
    assert found.value == approx(45.946, abs=2e-3) and found.limit == approx(300)
    assert found.margin == approx(300 / 45.946, rel=1e-4) and found.ok
    assert "shear of the closed tube under torque times slip safety, 23.2 MPa, and the push that runs through it, 22.3 MPa" in found.because
    assert "over the free length of 4.5 mm between back face and ring" in found.because


def test_slit_tube():
    """tau = 3 T/(2 pi r t^2) = 180000/(2 pi 11.55693 9.51026) = 260.65 MPa; the push on 2 pi 11.55693 - 1 = 71.614 mm of wall:
    22.640 MPa; together 452.03 MPa, above the 300 permitted."""
    found = judged()
    assert found.value == approx(452.03, abs=0.03) and found.limit == approx(300)
    assert found.ok is False and found.margin == approx(0.66368, abs=1e-4) and "shear of the slit tube" in found.because


def test_what_a_push_adds_can_break_a_neck_that_bears_the_torque():
    """The torque alone makes sqrt 3 23.184 = 40.156 MPa, 1000 N more 4.466 MPa each: 300 are passed from 66 581 N on."""
    assert judged(**CLOSED, force=66_500.0).ok and judged(**CLOSED, force=66_700.0).ok is False
    warm = Served({}, 0.0, 0.0, {}, 66_700.0)
    assert judged(**CLOSED, served=warm).ok is False


@pytest.mark.parametrize("reason", ["interrupted", "yield"])
def test_a_neck_is_not_judged_at_an_early_end(reason):
    """At the force that was not reached it bears more."""
    found = judged(**CLOSED, reason=reason)
    assert found.ok is None and found.value == approx(45.946, abs=2e-3) and "before the force or travel it was meant to reach" in found.because


def test_a_thrust_toward_the_hub_runs_through_the_neck_as_the_push_does():
    """1000 N times 1.5 on top of 5000 N: 22.328 MPa times 1.3 = 29.027; (29.027^2 + 3 23.184^2)^1/2 = 49.548 MPa. One away from it relieves."""
    pressed = judged(**CLOSED, duty={"torque": 40, "thrust": 1000, "yield_safety": 1.3})
    assert pressed.value == approx(49.548, abs=2e-3) and "the push and the thrust that runs through it, 29 MPa" in pressed.because
    assert judged(**CLOSED, duty={"torque": 40, "thrust": -1000, "yield_safety": 1.3}).value == approx(45.946, abs=2e-3)


def test_fingers():
    """Slots to 17 mm from the nose, 3 mm from the back face: 1.5 of the 4.5 mm bend. Each finger is 2 pi 11.55693/6 - 1.5 =
    10.60238 mm wide; sigma = 6 T l/(n r t b^2) = 540000/(6 11.55693 3.08387 112.4104) = 22.465 MPa; the push on their six
    sections 5000/(6 10.60238 3.08387) = 25.487 MPa, at the same edge."""
    found = judged(sleeve__slits=FINGERS)
    assert 2 * pi * RADIUS / 6 - 1.5 == approx(10.60238, abs=1e-5)
    assert found.value == approx(47.952, abs=3e-3) and found.limit == approx(300) and "bending of the fingers" in found.because


def test_fingers_under_the_ring_leave_a_closed_neck():
    """Slots that end under the ring: the neck is the closed base."""
    found = judged(sleeve__slits={**FINGERS, "depth": 15})
    assert found.value == approx(45.946, abs=2e-3) and "closed tube" in found.because


def test_neck_beside_a_flange_is_said_to_be():
    found = judged(**CLOSED, sleeve__flange_thickness=4, sleeve__flange_diameter=40)
    assert "between flange and ring" in found.because and found.value == approx(45.946, abs=2e-3)


def test_nothing_to_judge():
    alternating = judged(sleeve__slits={"pattern": "alternating", "count": 3, "width": 1, "depth": 14})
    assert alternating.ok is None and alternating.value is None and "no simple formula" in alternating.because
    soft = judged(sleeve__material={"young": 2e5, "poisson": 0.3})
    assert soft.ok is None and soft.value == approx(452.03, abs=0.03) and "sleeve.material has no yield stress" in soft.because
    assert judged(travel=5.0) is None and judged(travel=6.0) is None
    assert judged(duty={"torque": 40, "carried_by": "ring"}) is None


@pytest.mark.parametrize("torque, safety", [(80, 1.5), (40, 3.0)])
def test_stress_goes_as_torque_times_slip_safety(torque, safety):
    assert judged(force=0.0, duty={"torque": torque, "slip_safety": safety}).value == approx(2 * judged(force=0.0).value)
