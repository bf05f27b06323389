"""Quality measures on single elements of known shape."""

from math import radians, sin

import numpy as np
import pytest

from colletfea.fea.elements.mesh import Mesh
from colletfea.fea.elements.shapes import NODES
from colletfea.meshing.quality import jacobians, quality


def one_element(corner_map):
    """Mesh of the reference square [-1, 1]^2 under a linear map (2, 2)."""
    return Mesh(NODES @ np.asarray(corner_map, float).T, {"body": np.arange(8)[None]}, {})


def test_rectangle_is_perfect_and_its_aspect_is_its_sides():
    q = quality(one_element([[3, 0], [0, 0.5]]))
    assert q.smallest_scaled_jacobian == pytest.approx(1)
    assert q.largest_aspect_ratio == pytest.approx(6)
    assert (q.nodes, q.elements, q.unknowns) == (8, 1, 16)


def test_scaled_jacobian_of_a_parallelogram_is_the_sine_of_its_angle():
    angle = radians(40)
    q = quality(one_element([[1, np.cos(angle)], [0, sin(angle)]]))
    assert q.smallest_scaled_jacobian == pytest.approx(sin(angle))


def test_a_corner_of_half_a_turn_has_no_quality():
    mesh = one_element(np.eye(2))
    mesh.nodes[[2, 5, 6]] = [[0, 0], [0.5, -0.5], [-0.5, 0.5]]
    assert quality(mesh).smallest_scaled_jacobian == pytest.approx(0, abs=1e-12)


def test_mirrored_element_has_negative_jacobians():
    mesh = one_element([[-1, 0], [0, 1]])
    assert jacobians(mesh.nodes[mesh.cells["body"]]) == pytest.approx(-1)
