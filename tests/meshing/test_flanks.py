"""The ring's seat at travel 0, against distances worked out here from points and offset lines."""

from math import cos, hypot, radians, sin, tan

import numpy as np
import pytest
from helpers.sections import PLAIN, vary

MINUTES = radians(5 / 60)


def ring_bore_radius(s):
    return s.ring_bore()[0]


def cone_radius(s, z):
    return s.bore_radius + s.nose_wall + (s.length - z) * tan(s.taper)


def fillet_centre(vertex, first, second, radius):
    """Centre (r, z) of the arc between two lines given by inward unit normals through the vertex."""
    return np.linalg.solve(np.array([first, second]), np.array([first, second]) @ vertex + radius)


def ring_leading_centre(s, bore):
    return fillet_centre(
        np.array([bore, s.ring_start]), (cos(s.ring_taper), sin(s.ring_taper)), (0, 1), s.edge_radius
    )


def nose_centre(s):
    vertex = np.array([s.bore_radius + s.nose_wall, s.length])
    return fillet_centre(vertex, (-cos(s.taper), -sin(s.taper)), (0, -1), s.nose_radius)


def distance_to_line(point, through, half_angle):
    """Distance from a line that falls by half_angle with z, > 0 outside it (r, z)."""
    return (point[0] - through[0]) * cos(half_angle) + (point[1] - through[1]) * sin(half_angle)


@pytest.mark.parametrize("mismatch", [0.0, MINUTES, -MINUTES, radians(2), -radians(1)])
@pytest.mark.parametrize("start, length", [(1.5, 12.0), (1.5, 6.0), (0.0, 12.0), (-3.0, 10.0), (-3.0, 20.0)])
def test_straight_flanks_touch_at_an_end_of_their_overlap(mismatch, start, length):
    """A linear gap is smallest at an end of the overlap, and 0 there."""
    s = vary(ring_start=start, ring_length=length, ring_taper=PLAIN.taper + mismatch)
    bore = ring_bore_radius(s)
    ends = max(0, start), min(s.length, start + length)
    gaps = [bore - (z - start) * tan(s.ring_taper) - cone_radius(s, z) for z in ends]
    assert min(gaps) == pytest.approx(0, abs=1e-12)
    touching = 0 if mismatch < 0 else 1
    assert gaps[touching] == pytest.approx(0, abs=1e-12)


def test_a_flatter_rounded_ring_touches_with_its_leading_arc():
    s = vary(edge_radius=0.4, ring_taper=PLAIN.taper - MINUTES)
    centre = ring_leading_centre(s, ring_bore_radius(s))
    assert distance_to_line(centre, (cone_radius(s, 0), 0), s.taper) == pytest.approx(0.4, abs=1e-12)


def test_a_steeper_ring_touches_the_rounded_nose():
    s = vary(nose_radius=0.3, edge_radius=0.4, ring_taper=PLAIN.taper + MINUTES)
    line = (ring_bore_radius(s), s.ring_start)
    assert -distance_to_line(nose_centre(s), line, s.ring_taper) == pytest.approx(0.3, abs=1e-12)


def test_arcs_that_alone_overlap_touch_each_other():
    s = vary(nose_radius=0.3, edge_radius=0.5, ring_start=PLAIN.length - 0.05)
    centre = ring_leading_centre(s, ring_bore_radius(s))
    assert hypot(*(centre - nose_centre(s))) == pytest.approx(0.8, abs=1e-12)


def test_equal_tapers_touch_over_the_straight_overlap_whatever_the_radii():
    s = vary(nose_radius=0.3, edge_radius=0.5)
    assert ring_bore_radius(s) == pytest.approx(cone_radius(s, s.ring_start), abs=1e-12)
