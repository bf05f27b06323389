"""Energy, force and tangent of the bodies belong together, with and without twist."""

import numpy as np
import pytest
from helpers.grid import distorted, quadrilateral
from helpers.solids import dense, difference

from colletfea.fea.bodies.elastic import Elastic
from colletfea.fea.bodies.solid import Body, Solid
from colletfea.fea.elements import kinematics
from colletfea.fea.elements.grids import join, spread

CORNERS = [(0, 0), (3, 0.3), (2.5, 2.4), (0, 2)]  # touches the axis
MESH = join({"a": distorted(quadrilateral(CORNERS, spread(0, 1, 3), spread(0, 1, 3)), 0.2)})
BODY = Body(Elastic(1000.0, 0.3), hoop_ratio=lambda r, z: 0.2 + 0.3 * z / 2.4, fill=lambda r, z: 1 - 0.1 * r)


def solid_and_state(twist, order=None):
    """A solid and a finite random state with u_r = 0 on the axis."""
    solid = Solid(MESH, {"a": BODY}, twist, order)
    u = np.random.default_rng(5).uniform(-0.1, 0.1, (len(MESH.nodes), solid.unknowns))
    u[MESH.nodes[:, 0] == 0, 0] = 0
    return solid, u.ravel()


@pytest.mark.parametrize("order", [None, 2, 3])
@pytest.mark.parametrize("twist", [False, True])
def test_force_is_the_slope_of_the_energy(twist, order):
    """Largest error measured 1e-9 of the force along ten random directions."""
    solid, u = solid_and_state(twist, order)
    force = solid.force(u)
    for direction in np.random.default_rng(2).standard_normal((10, solid.size)):
        quotient = difference(solid.energy, u, direction, 1e-5)
        assert force @ direction == pytest.approx(quotient, abs=1e-7 * np.linalg.norm(force))


@pytest.mark.parametrize("order", [None, 2, 3])
@pytest.mark.parametrize("twist", [False, True])
def test_tangent_is_the_slope_of_the_force_and_symmetric(twist, order):
    solid, u = solid_and_state(twist, order)
    tangent = dense(solid.dofs, solid.tangents(u), solid.size)
    np.testing.assert_allclose(tangent, tangent.T, atol=1e-11 * np.abs(tangent).max())
    for direction in np.random.default_rng(3).standard_normal((10, solid.size)):
        quotient = difference(solid.force, u, direction, 1e-5)
        np.testing.assert_allclose(tangent @ direction, quotient, atol=1e-7 * np.abs(quotient).max())


@pytest.mark.parametrize("twist", [False, True])
def test_gradients_and_forces_are_the_operator_of_the_tangents(twist):
    """Both leave its zeros out: forces hold the stress that the tangents differentiate, at rest and away from it."""
    solid, u = solid_and_state(twist)
    e, q, m, n = solid.operator.shape
    g = np.einsum("eqmn,en->eqm", solid.operator, u[solid.dofs])
    np.testing.assert_allclose(solid.gradients(u), g, atol=1e-15)
    flux = np.random.default_rng(8).standard_normal((e, q, m))
    local = kinematics.nodal_forces(flux, solid.value, solid.gradient, solid.radius)
    np.testing.assert_allclose(local.reshape(e, n), np.einsum("eqmn,eqm->en", solid.operator, flux), atol=1e-13)


def test_model_without_twist_is_the_one_with_it_at_rest_round_the_axis():
    """Also away from rest: one element, two choices of unknowns."""
    plane, u = solid_and_state(False)
    whole = Solid(MESH, {"a": BODY}, True)
    v = np.column_stack([u.reshape(-1, 2), np.zeros(len(MESH.nodes))]).ravel()
    assert whole.energy(v) == pytest.approx(plane.energy(u), rel=1e-13)
    np.testing.assert_allclose(whole.force(v).reshape(-1, 3)[:, :2].ravel(), plane.force(u), atol=1e-10)
    np.testing.assert_allclose(whole.force(v).reshape(-1, 3)[:, 2], 0, atol=1e-12)


def test_volume_is_that_of_the_whole_ring_times_fill():
    """Pappus: area times 2 pi times the centroid's radius."""
    plain = join({"a": quadrilateral([(2, 0), (5, 0), (5, 4), (2, 4)], spread(0, 1, 2), spread(0, 1, 3))})
    law = Elastic(1.0, 0.0)
    assert Solid(plain, {"a": Body(law)}).volume.sum() == pytest.approx(2 * np.pi * 3.5 * 12, rel=1e-13)
    filled = Solid(plain, {"a": Body(law, fill=lambda r, z: 1 - 0.5 / r)})
    assert filled.volume.sum() == pytest.approx(2 * np.pi * (3.5 - 0.5) * 12, rel=1e-13)


def test_each_body_keeps_its_own_law():
    grids = {
        name: quadrilateral([(1, z), (2, z), (2, z + 1), (1, z + 1)], [0, 1], [0, 1])
        for name, z in (("x", 0), ("y", 1))
    }
    mesh = join(grids)
    solid = Solid(mesh, {"y": Body(Elastic(7.0, 0.0)), "x": Body(Elastic(3.0, 0.0))})
    axial = 0.001 * mesh.nodes[:, 1]
    stress = solid.stress(np.column_stack([0 * axial, axial]).ravel())[..., 1]
    strain = 0.001 + 0.001**2 / 2
    np.testing.assert_allclose(stress[solid.slices["x"]], 3 * strain, rtol=1e-12)
    np.testing.assert_allclose(stress[solid.slices["y"]], 7 * strain, rtol=1e-12)


def test_axial_shift_and_turn_about_the_axis_cost_nothing():
    solid, _ = solid_and_state(True)
    u = np.tile([0.0, 100.0, np.pi / 2], len(MESH.nodes))
    assert np.abs(solid.stress(u)).max() < 1e-9 * 1000
