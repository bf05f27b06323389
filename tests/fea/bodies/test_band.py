"""A band of metal that flows from one side of a body to the other."""

import numpy as np
import pytest
from helpers.contact import STEEL

from colletfea.fea.bodies.band import spans
from colletfea.fea.bodies.solid import Body, Solid
from colletfea.fea.elements.grids import block, join, spread


@pytest.fixture
def wall():
    """Four elements across, three along; flowing elements are named by (across, along)."""
    mesh = join({"wall": block(10, 14, spread(0, 3, 3), spread(0, 1, 4))})
    solid = Solid(mesh, {"wall": Body(STEEL)})
    middle = solid.points.mean(axis=1)

    def flows(*places):
        found = np.zeros(solid.radius.shape, bool)
        for across, along in places:
            found[np.hypot(middle[:, 0] - 10.5 - across, middle[:, 1] - 0.5 - along) < 1e-6] = True
        return found

    return lambda given: spans(solid, "wall", given, mesh.edge_nodes("wall.inner"), mesh.edge_nodes("wall.outer")), flows


def test_a_straight_and_a_slanting_band_span_the_wall(wall):
    band, flows = wall
    assert band(flows((0, 1), (1, 1), (2, 1), (3, 1)))
    assert band(flows((0, 0), (1, 1), (2, 2), (3, 1)))  # they share corners


@pytest.mark.parametrize("places", [(), [(0, 1), (1, 1), (3, 1)], [(0, 0), (0, 1), (0, 2)], [(0, 0), (1, 0), (2, 2), (3, 2)]])
def test_nothing_a_gap_and_a_layer_do_not(wall, places):
    band, flows = wall
    assert not band(flows(*places))


def test_an_element_flows_where_most_of_its_points_do(wall):
    band, flows = wall
    row = flows((0, 1), (1, 1), (2, 1), (3, 1))
    assert band(row & (np.arange(8) < 5)) and not band(row & (np.arange(8) < 4))
