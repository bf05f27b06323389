"""Sizes in mm and rad against values worked out beside them, and the two closed forms of the cone."""

import math

import pytest
from helpers.hand import closed_case

from colletfea.cases.hand.geometry import Flange, Ring, Sizes, Wall, largest_fillet, push_over_radial_force, sizes

WALL = Wall(11.0135, 2.2, 26.0, 0.1)
SAME = math.atan(0.1)


def sized(start=3.0, length=22.0, taper=SAME):
    return Sizes(11.0, 0.0, 0.0135, SAME, WALL, Flange(), Ring(length, 23.0, start, taper))


def test_wall_at_a_height():
    """2.2 + 16 x 0.1 = 3.8 at z = 10; area from 0 to 10 by its mean wall 4.3."""
    assert WALL.thickness(10) == pytest.approx(3.8)
    assert WALL.radius(10) == pytest.approx(11.0135 + 1.9)
    assert WALL.outside(10) == pytest.approx(11.0135 + 3.8)
    assert WALL.area(0, 10) == pytest.approx(43.0)


def test_sizes_of_a_case_are_radii_and_radians():
    case = closed_case(sleeve__flange_thickness=3, sleeve__flange_diameter=40, ring__taper=3.1)
    found = sizes(case)
    assert found.shaft_radius == case.shaft.diameter / 2 and found.shaft_bore == case.shaft.bore / 2
    assert found.clearance == case.sleeve.clearance / 2
    assert found.taper == pytest.approx(case.sleeve.taper * math.pi / 180)
    assert found.wall.slope == pytest.approx(math.tan(case.sleeve.taper * math.pi / 180))
    assert found.wall.bore_radius == pytest.approx(found.shaft_radius + found.clearance)
    assert found.flange == Flange(case.sleeve.flange_thickness, case.sleeve.flange_diameter / 2)
    assert found.ring.taper == pytest.approx(case.ring.taper * math.pi / 180)
    assert (found.ring.radius, found.ring.end) == (case.ring.outer_diameter / 2, case.ring.start + case.ring.length)


@pytest.mark.verification(source="20 H8/f7 at 3 degrees: 10 and 37 micrometres radial are 0.19081 and 0.70600 mm of travel")
@pytest.mark.parametrize(("clearance", "travel"), [(0.010, 0.19081), (0.037, 0.70600)])
def test_bare_travel(clearance, travel):
    slope = math.tan(math.radians(3))
    found = Sizes(10, 0, clearance, math.radians(3), Wall(10 + clearance, 2, 20, slope), Flange(), Ring(15, 20, 2, 0.05))
    assert found.bare_travel == pytest.approx(travel, abs=5e-6)


def test_a_ring_of_the_same_taper_lies_on_the_cone():
    assert sized().ring_bore(3) == pytest.approx(WALL.outside(3))
    assert sized().ring_bore(25) == pytest.approx(WALL.outside(25))
    assert sized().overlap == 22 and sized(start=-2).overlap == 20 and sized(start=27).overlap == -1


def test_a_wider_ring_touches_at_its_trailing_face_and_a_flatter_one_at_its_leading_one():
    wide, flat = sized(taper=math.atan(0.12)), sized(taper=math.atan(0.08))
    assert wide.ring_bore(25) == pytest.approx(WALL.outside(25)) and wide.ring_bore(3) > WALL.outside(3)
    assert flat.ring_bore(3) == pytest.approx(WALL.outside(3)) and flat.ring_bore(25) > WALL.outside(25)


def test_a_ring_past_the_back_face_touches_where_the_sleeve_begins():
    flat = sized(start=-2, taper=math.atan(0.08))
    assert flat.ring_bore(0) == pytest.approx(WALL.outside(0))


@pytest.mark.verification(source="statics of the wedge, tan(alpha + phi), printed to six digits")
@pytest.mark.parametrize(("degrees", "friction", "ratio"), [
    (1.5, 0.10, 0.126517), (1.5, 0.15, 0.176881), (3, 0.10, 0.153211), (3, 0.15, 0.204012), (5, 0.10, 0.189143),
    (8, 0.10, 0.243970), (8, 0.15, 0.296798), (10, 0.10, 0.281287),
])
def test_push_over_radial_force(degrees, friction, ratio):
    assert push_over_radial_force(math.radians(degrees), friction) == pytest.approx(ratio, abs=6e-7)


def test_largest_fillet_leaves_a_tenth_of_the_face_or_three_quarters_of_the_depth():
    """Corners of 60 and 120 degrees take r (1/tan 30 + 1/tan 60) = 4 r / sqrt(3) of the face."""
    radius = largest_fillet(2.0, 100.0, (math.pi / 3, 2 * math.pi / 3))
    assert radius * 4 / math.sqrt(3) == pytest.approx(0.9 * 2.0)
    assert largest_fillet(2.0, 2.0, (math.pi / 3, 2 * math.pi / 3)) == 0.5
