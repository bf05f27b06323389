"""Structured grids: area, sides, straightness, conditions."""

import numpy as np
import pytest

from colletfea.fea.elements import shapes
from colletfea.fea.elements.grids import block, graded, join, mapped, spread
from helpers.grid import distorted, quadrilateral


def area(mesh):
    """Area of all cells by 3x3 Gauss, exact for quadratic sides."""
    local, weight = shapes.gauss_quad(3)
    cells = np.concatenate(list(mesh.cells.values()))
    jacobian = np.einsum("qia,eak->eqik", shapes.quad8(local)[1], mesh.nodes[cells])
    determinant = np.linalg.det(jacobian)
    assert np.all(determinant > 0)
    return float(np.sum(determinant * weight))


def test_stations_grow_geometrically():
    steps = np.diff(spread(2.0, 8.0, 5, ratio=4.0))
    assert steps[-1] / steps[0] == pytest.approx(4.0)
    np.testing.assert_allclose(steps[1:] / steps[:-1], 4.0 ** (1 / 4))
    assert steps.sum() == pytest.approx(6.0)


def test_pieces_in_a_row_share_their_ends_once():
    np.testing.assert_allclose(graded((0, 2, 2, 1.0), (2, 8, 2, 2.0)), [0, 1, 2, 4, 8])


def test_block_between_a_cylinder_and_a_cone():
    mesh = join({"sleeve": block(10.0, lambda z: 14 - 0.1 * z, spread(0, 20, 6), spread(0, 1, 3))})
    assert area(mesh) == pytest.approx(20 * (4 + 2) / 2)
    np.testing.assert_allclose(mesh.nodes[mesh.edge_nodes("sleeve.outer")] @ [1, 0.1], 14.0)


def test_each_side_is_oriented_with_the_body_on_the_left():
    mesh = join({"hub": quadrilateral([(5, 0), (9, 1), (8, 6), (4, 5)], spread(0, 1, 3), spread(0, 1, 4))})
    for side, outward in {"inner": (-1, 0), "outer": (1, 0), "bottom": (0, -1), "top": (0, 1)}.items():
        run = np.diff(mesh.nodes[mesh.edge_nodes(f"hub.{side}")[[0, -1]]], axis=0)[0]
        assert np.dot((run[1], -run[0]), outward) > 0, side


def test_distorted_grid_keeps_its_boundary_and_area_and_has_straight_sides():
    plain = block(3.0, 9.0, spread(0, 6, 5), spread(0, 1, 5))
    moved = distorted(plain, 0.25, seed=3)
    boundary = np.unique(np.concatenate(list(plain.sides.values())))
    np.testing.assert_allclose(moved.nodes[boundary], plain.nodes[boundary])
    assert np.max(np.abs(moved.nodes - plain.nodes)) > 0.1
    assert area(join({"a": moved})) == pytest.approx(36.0)


def test_curved_grid_has_the_area_of_its_quarter_ring():
    """A parabola for a circle over the half angle a loses a^4/30 = 3.1e-6 of the sector at a = pi/32."""
    quarter = mapped(lambda s, t: (s * np.cos(t), s * np.sin(t)), spread(10, 20, 2), spread(0, np.pi / 2, 8))
    assert area(join({"ball": quarter})) == pytest.approx(np.pi / 4 * 300, rel=4e-6)


def test_joined_bodies_keep_their_own_nodes_and_edges_by_condition():
    bodies = {
        "lower": block(0, 10, spread(0, 5, 3), spread(0, 1, 7)),
        "upper": block(0, 10, spread(5, 10, 3), spread(0, 1, 4)),
    }
    mesh = join(bodies, {"upper.disc": lambda r, z: (z == 5) & (r <= 5)})
    assert not np.intersect1d(mesh.body_nodes("lower"), mesh.body_nodes("upper")).size
    np.testing.assert_allclose(
        mesh.nodes[mesh.edge_nodes("upper.disc")], [(r, 5.0) for r in np.arange(0, 5.01, 1.25)]
    )
