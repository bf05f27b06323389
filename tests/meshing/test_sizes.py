"""Element sizes and room checks by number: what each of them comes to on a section worked out by hand."""

from math import radians, tan

import numpy as np
import pytest
from helpers.sections import PLAIN, ROUNDED, vary

from colletfea.meshing.build import build
from colletfea.meshing.outlines import across_ring, elements
from colletfea.meshing.section import default_size, faults


def sides(mesh, name):
    """Middle (k, 2) and length (k,) of an edge's element sides."""
    x = mesh.nodes[mesh.edge_nodes(name)[::2]]
    return (x[1:] + x[:-1]) / 2, np.hypot(*np.diff(x, axis=0).T)


def test_default_size_is_a_fifth_of_the_mean_wall_within_bounds():
    """PLAIN's mean wall is 1.4 + 6 tan 3 degrees; a 110th and a 20th of the length bound it."""
    assert default_size(PLAIN) == pytest.approx((1.4 + 6 * tan(radians(3))) / 5, rel=1e-12)
    assert default_size(vary(length=150.0, nose_wall=0.5, taper=0.0)) == pytest.approx(150 / 110)
    assert default_size(vary(nose_wall=5.0)) == pytest.approx(12 / 20)


@pytest.mark.parametrize("section", [PLAIN, ROUNDED, vary(flange_thickness=3.0, flange_radius=14.0, size=0.3)])
def test_elements_are_counted_before_they_are_made(section):
    assert elements(section) == sum(len(cells) for cells in build(section).cells.values())


def test_shaft_is_fine_on_both_sides_of_the_sleeves_ends():
    """A quarter of the size over a quarter of it either way, to 10 % as a stretch takes whole elements."""
    mesh = build(PLAIN)
    quarter = default_size(PLAIN) / 4
    middle, length = sides(mesh, "shaft.seat")
    for end, ways in ((0.0, (-1, 1)), (PLAIN.length, (-1, 1))):
        for way in ways:
            beside = (way * (middle[:, 1] - end) > 0) & (np.abs(middle[:, 1] - end) < quarter)
            assert np.any(beside) and np.max(length[beside]) < 1.1 * quarter, (end, way)


def test_ring_is_half_the_size_thick_at_its_bore():
    mesh = build(PLAIN)
    middle, length = sides(mesh, "ring.leading")
    at_bore = length[np.argmin(middle[:, 0])]
    assert at_bore == pytest.approx(default_size(PLAIN) / 2, rel=0.25)


@pytest.mark.parametrize(
    "key, section",
    [("shaft_radius", vary(shaft_radius=0.0)), ("beyond_back", vary(beyond_back=-0.1)), ("beyond_front", vary(beyond_front=-0.1))],
)
def test_numbers_of_the_shaft_are_checked(key, section):
    assert any(fault.startswith(f"{key} = ") for fault in faults(section))


def test_ring_keeps_three_edge_radii_of_room_outside_its_bore():
    leading = PLAIN.ring_bore()[0]
    small, enough = (vary(edge_radius=0.3, ring_radius=leading + room * 0.3) for room in (2.95, 3.05))
    assert faults(small)[0].startswith("ring_radius = ") and faults(enough) == []


@pytest.mark.parametrize("changes, largest", [({}, 0.9 * 1.4 / (1 + 1 / tan(radians(46.5)))), ({"length": 2.0}, 0.5)])
def test_nose_radius_takes_nine_tenths_of_the_wall_or_a_quarter_of_the_length(changes, largest):
    assert faults(vary(ROUNDED, edge_radius=0.0, nose_radius=0.99 * largest, **changes)) == []
    assert faults(vary(ROUNDED, edge_radius=0.0, nose_radius=1.01 * largest, **changes))[0].startswith("nose_radius")


THIN = vary(ring_radius=9.8, size=1.5)  # the ring's wall is 0.77 mm at its leading face


@pytest.mark.parametrize("least, found", [(1, 1), (2, 2), (3, 3)])
def test_a_thin_ring_has_as_many_elements_across_its_wall_as_are_asked_for(least, found):
    mesh = build(vary(THIN, least=least))
    assert [len(sides(mesh, name)[1]) for name in ("ring.leading", "ring.trailing")] == [found, found]
    assert across_ring(vary(THIN, least=least)) == 1


def test_a_thick_ring_is_left_as_it_is_and_a_rounded_one_has_enough():
    assert across_ring(PLAIN) > 3
    counts = [len(sides(build(vary(PLAIN, least=least)), "ring.leading")[1]) for least in (1, 2)]
    assert counts == [across_ring(PLAIN)] * 2
    rounded = vary(THIN, edge_radius=0.05)
    assert len(sides(build(rounded), "ring.leading")[1]) >= across_ring(rounded) == 3


@pytest.mark.parametrize("name", ["shaft.back", "sleeve.nose"])
def test_every_other_wall_has_three_elements_however_coarse_the_mesh(name):
    assert len(sides(build(vary(size=30.0)), name)[1]) >= 3


def test_small_roundings_cost_few_rows():
    """0.02 nose walls: 5.4 and 2.6 times the elements of the sharp parts, 9.1 and 3.8 if elements grew as slowly everywhere."""
    sharp, rounded = build(PLAIN), build(vary(nose_radius=0.028, edge_radius=0.028))
    for body, most in (("sleeve", 6.5), ("ring", 3.2)):
        assert len(rounded.cells[body]) < most * len(sharp.cells[body]), body
