"""Outlines, cuts and hatching against areas known in closed form."""

from math import hypot, pi

import pytest

from colletfea.cases.drawing.curves import between, hatch, points

SQUARE = ((10, 0, 0), (20, 0, 0), (20, 10, 2), (10, 10, 2))


def area(outline):
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(outline, outline[1:] + outline[:1]))) / 2


def test_rounded_corners_take_what_a_quarter_circle_leaves_of_its_square():
    assert area(points(SQUARE)) == pytest.approx(100 - 2 * (1 - pi / 4) * 4, abs=0.03)
    arc = [p for p in points(SQUARE) if p[1] > 8.001 and p[0] > 18.001]
    assert len(arc) > 8 and all(hypot(r - 18, z - 8) == pytest.approx(2) for r, z in arc)


def test_what_lies_between_two_heights():
    cone = [(10, 0), (20, 0), (14, 30), (10, 30)]
    assert area(between(cone, 0, 30)) == pytest.approx(area(cone))
    assert area(between(cone, 10, 20)) == pytest.approx(10 * (18 + 16 - 20) / 2)
    assert between(cone, 31, 40) == []


@pytest.mark.parametrize("rising", [True, False])
def test_hatching_covers_the_area_and_spares_the_hole(rising):
    outline, hole = points(SQUARE), [(12, 2), (17, 2), (17, 7), (12, 7)]
    lines = hatch([outline, hole], 0.02, rising)
    length = sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in lines)
    assert 0.02 * length == pytest.approx(area(outline) - 25, rel=5e-3)
    slopes = {round((b[1] - a[1]) / (b[0] - a[0]), 6) for a, b in lines}
    assert slopes == {-1.0 if rising else 1.0} or slopes == {1.0 if rising else -1.0}
    assert not [1 for a, b in lines if 12.1 < (a[0] + b[0]) / 2 < 16.9 and 2.1 < (a[1] + b[1]) / 2 < 6.9]
