"""Stresses at points and nodes."""

import numpy as np
import pytest
from helpers.grid import distorted, quadrilateral

from colletfea.fea.bodies.elastic import Elastic
from colletfea.fea.bodies.solid import Body, Solid
from colletfea.fea.bodies.stress import cauchy, to_nodes, von_mises
from colletfea.fea.elements.grids import block, join, spread
from colletfea.fea.elements.mesh import Mesh

LAW = Elastic(1000.0, 0.3)


@pytest.mark.parametrize("order", [None, 2, 3])
def test_values_linear_in_space_reach_the_nodes_exactly(order):
    corners = [(2, 0), (5, 1), (6, 4), (3, 3)]  # parallelogram: linear in space is linear in the element
    mesh = join({"a": quadrilateral(corners, spread(0, 1, 3, 2.0), spread(0, 1, 2))})
    solid = Solid(mesh, {"a": Body(LAW)}, order=order)
    values = 3 + solid.points @ [2.0, -1.0]
    np.testing.assert_allclose(
        to_nodes(solid, mesh, values), 3 + mesh.nodes[solid.nodes_of] @ [2.0, -1.0], rtol=1e-13
    )


def test_nodal_values_are_averaged_in_a_body_and_never_across_bodies():
    """Four cells in a column; the two bodies share the nodes of the line between them."""
    grid = block(1, 2, spread(0, 4, 4), [0, 1])
    mesh = Mesh.build(grid.nodes, {"low": grid.cells[:2], "high": grid.cells[2:]}, {})
    solid = Solid(mesh, {"low": Body(LAW), "high": Body(LAW)})
    nodal = to_nodes(solid, mesh, np.repeat([[1.0], [3.0], [10.0], [20.0]], 4, axis=1))
    of_own_body = np.array(
        [[1.0, 1.0, 2.0, 2.0], [2.0, 2.0, 3.0, 3.0], [10.0, 10.0, 15.0, 15.0], [15.0, 15.0, 20.0, 20.0]]
    )
    middle = np.array(
        [[1.0, 1.0, 2.0, 1.0], [2.0, 3.0, 3.0, 3.0], [10.0, 10.0, 15.0, 10.0], [15.0, 20.0, 20.0, 20.0]]
    )
    expected = np.hstack([of_own_body, middle])
    np.testing.assert_allclose(nodal, expected, rtol=1e-13)


def test_cauchy_stress_turns_with_the_body_about_the_axis():
    """A stretched ring turned by 90 degrees shows the same stress in (r, theta, z)."""
    mesh = join({"a": distorted(block(2, 4, spread(0, 2, 2), spread(0, 1, 2)), 0.2)})
    solid = Solid(mesh, {"a": Body(LAW)}, twist=True)
    r, z = mesh.nodes.T
    still = np.column_stack([0.1 * r, 0.2 * z, 0 * r])
    turned = still + [0, 5.0, np.pi / 2]
    np.testing.assert_allclose(cauchy(solid, turned.ravel()), cauchy(solid, still.ravel()), atol=1e-10)


def test_cauchy_stress_is_force_over_current_area():
    """Finite uniform stretch: sigma_zz = lambda_z S_zz / (lambda_r^2), E_zz = (lambda_z^2 - 1)/2."""
    mesh = join({"a": block(2, 4, spread(0, 2, 1), spread(0, 1, 1))})
    solid = Solid(mesh, {"a": Body(LAW)})
    r, z = mesh.nodes.T
    stress = cauchy(solid, np.column_stack([-0.1 * r, 0.3 * z]).ravel())
    strain = np.array([(0.9**2 - 1) / 2, (1.3**2 - 1) / 2])
    lame, shear = 1000 * 0.3 / 1.3 / 0.4, 1000 / 2.6
    axial = (lame * (2 * strain[0] + strain[1]) + 2 * shear * strain[1]) * 1.3 / 0.9**2
    radial = (lame * (2 * strain[0] + strain[1]) + 2 * shear * strain[0]) / 1.3
    np.testing.assert_allclose(
        stress, np.broadcast_to(np.diag([radial, radial, axial]), stress.shape), atol=1e-10
    )


@pytest.mark.parametrize(
    "tensor, expected",
    [
        (np.diag([100.0, 0, 0]), 100),
        (np.diag([70.0, 70, 70]), 0),
        ([[0, 50, 0], [50, 0, 0], [0, 0, 0]], 50 * 3**0.5),
        (np.diag([200.0, -100, 0]), 264.5751311),
    ],
    ids=["uniaxial", "hydrostatic", "shear", "plane"],
)
def test_von_mises_of_textbook_states(tensor, expected):
    assert von_mises(np.array(tensor, float)[None])[0] == pytest.approx(expected, abs=1e-7)
