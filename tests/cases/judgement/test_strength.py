"""The sleeve's neck: stress and limit against values worked out here from the geometry, factor by factor."""

from math import pi, radians, sqrt, tan

import pytest
from helpers.push import CLOSED, case_of
from pytest import approx

from colletfea.cases.hand.corners import NOMINAL, Reached, Seat, table
from colletfea.cases.judgement.strength import neck

# d = 20, clearance 0.03, nose wall 2, L = 20, taper 4 deg, ring from 5 on, 0.5 travelled: 4.5 mm are free. The wall at the
# ring's leading face, 15.5 mm behind the nose: 2 + 15.5 tan 4 deg = 3.08387 mm, mean radius (20.03 + 3.08387)/2 = 11.55693 mm.
FREE, WALL, RADIUS = 4.5, 3.08387, 11.55693
TORQUE = 1.5 * 40e3  # N mm, times slip safety
KEPT = {"ring__start": 5, "duty": {"torque": 40, "yield_safety": 1.3}, "sleeve__material": {"young": 2e5, "poisson": 0.3, "yield": 390}}
FINGERS = {"pattern": "fingers", "count": 6, "width": 1.5, "depth": 17}


def judged(travel=0.5, **changes):
    case = case_of(**{**KEPT, **changes})
    nominal = next(corner for corner in table(case) if corner.name == NOMINAL)
    return neck(case, Reached(nominal, 5000.0, travel, "travel", Seat(), Seat(), Seat(), {}, 0.0))


def test_the_numbers_above():
    assert WALL == approx(2 + 15.5 * tan(radians(4)), abs=1e-5) and RADIUS == approx((20.03 + WALL) / 2, abs=1e-5)


def test_closed_tube():
    """tau = T/(2 pi r^2 t) = 60000/(2 pi 133.5626 3.08387) = 23.184 MPa; limit 390/(sqrt 3 1.3) = 173.21 MPa."""
    found = judged(**CLOSED)
    assert found.value == approx(23.184, abs=2e-3) and found.limit == approx(173.205, abs=1e-3)
    assert found.margin == approx(173.205 / 23.184, rel=1e-4) and found.ok
    assert "shear of the closed tube over the free length of 4.5 mm between back face and ring" in found.because


def test_slit_tube():
    """tau = 3 T/(2 pi r t^2) = 180000/(2 pi 11.55693 9.51026) = 260.65 MPa: above the 173.21 that shear may reach."""
    found = judged()
    assert found.value == approx(260.65, abs=0.02) and found.limit == approx(173.205, abs=1e-3)
    assert found.ok is False and found.margin == approx(0.66452, abs=1e-4) and "shear of the slit tube" in found.because


def test_fingers():
    """Slots to 17 mm from the nose, 3 mm from the back face: 1.5 of the 4.5 mm bend. Each finger is 2 pi 11.55693/6 - 1.5 =
    10.60238 mm wide; sigma = 6 T l/(n r t b^2) = 540000/(6 11.55693 3.08387 112.4104) = 22.465 MPa; limit 390/1.3 = 300."""
    found = judged(sleeve__slits=FINGERS)
    assert 2 * pi * RADIUS / 6 - 1.5 == approx(10.60238, abs=1e-5)
    assert found.value == approx(22.465, abs=3e-3) and found.limit == approx(300) and "bending of the fingers" in found.because


def test_fingers_under_the_ring_leave_a_closed_neck():
    """Slots that end under the ring: the neck is the closed base."""
    found = judged(sleeve__slits={**FINGERS, "depth": 15})
    assert found.value == approx(23.184, abs=2e-3) and "closed tube" in found.because


def test_neck_beside_a_flange_is_said_to_be():
    found = judged(**CLOSED, sleeve__flange_thickness=4, sleeve__flange_diameter=40)
    assert "between flange and ring" in found.because and found.value == approx(23.184, abs=2e-3)


def test_nothing_to_judge():
    alternating = judged(sleeve__slits={"pattern": "alternating", "count": 3, "width": 1, "depth": 14})
    assert alternating.ok is None and alternating.value is None and "no simple formula" in alternating.because
    soft = judged(sleeve__material={"young": 2e5, "poisson": 0.3})
    assert soft.ok is None and soft.value == approx(260.65, abs=0.02) and "sleeve.material has no yield stress" in soft.because
    assert judged(travel=5.0) is None and judged(travel=6.0) is None
    assert judged(duty={"torque": 40, "carried_by": "ring"}) is None


@pytest.mark.parametrize("torque, safety", [(80, 1.5), (40, 3.0)])
def test_stress_goes_as_torque_times_slip_safety(torque, safety):
    assert judged(duty={"torque": torque, "slip_safety": safety}).value == approx(2 * judged().value)


def test_shear_limit_is_von_mises():
    """A third of the squared yield stress."""
    assert judged(duty={"torque": 1, "yield_safety": 1.0}).limit == approx(390 / sqrt(3))
