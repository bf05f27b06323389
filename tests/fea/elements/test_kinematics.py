"""Strains of a turning, stretching ring, held to a mapping of space differenced in Cartesian axes."""

import numpy as np
import pytest
from helpers.grid import distorted, quadrilateral

from colletfea.fea.bodies.elastic import Elastic
from colletfea.fea.bodies.solid import Body, Solid
from colletfea.fea.elements import kinematics
from colletfea.fea.elements.grids import join, spread

RNG = np.random.default_rng(7)
RADIUS = RNG.uniform(0.5, 3.0, 6)


def fields(r, z, twist):
    """Finite displacements (u, w, phi) of a point (R, Z)."""
    phi = 0.3 * r * z - 0.2 * z + 0.1 * r**2 if twist else 0 * r
    return 0.2 * r * z - 0.1 * r, 0.3 * r**2 - 0.2 * z * r + 0.1 * z, phi


def place(point, twist):
    """Current Cartesian position of a Cartesian reference point."""
    x, y, z = point
    r, theta = np.hypot(x, y), np.arctan2(y, x)
    u, w, phi = fields(r, z, twist)
    return np.array([(r + u) * np.cos(theta + phi), (r + u) * np.sin(theta + phi), z + w])


def local_gradients(r, z, twist, step=1e-5):
    def slope(k):
        return [
            (fields(r + step, z, True)[k] - fields(r - step, z, True)[k]) / (2 * step),
            (fields(r, z + step, True)[k] - fields(r, z - step, True)[k]) / (2 * step),
        ]

    g = [*slope(0), *slope(1), fields(r, z, twist)[0] / r]
    return np.array(g + slope(2) if twist else g)


@pytest.mark.parametrize("twist", [False, True])
@pytest.mark.parametrize("r, z", [(1.2, 0.7), (0.4, -0.5), (2.0, 0.1)])
def test_strain_is_that_of_the_mapping_of_space(twist, r, z):
    """Right Cauchy-Green from differences in Cartesian axes: E = (F^T F - 1)/2. Error 1e-10 measured."""
    step = 1e-5
    f = np.column_stack(
        [(place((r, 0, z) + h, twist) - place((r, 0, z) - h, twist)) / (2 * step) for h in np.eye(3) * step]
    )
    e = (f.T @ f - np.eye(3)) / 2
    expected = [e[0, 0], e[2, 2], e[1, 1], 2 * e[0, 2], 2 * e[0, 1], 2 * e[1, 2]]
    g = local_gradients(r, z, twist)
    np.testing.assert_allclose(kinematics.strain(g, np.array(r)), expected[: 6 if twist else 4], atol=1e-8)


def whole(entries):
    """Matrices (n, 3, 3) from the entries that can differ from 0."""
    found = np.zeros((len(RADIUS), 3, 3))
    for place, values in entries.items():
        found[:, *place] = values
    return found


@pytest.mark.parametrize("size", [5, 7])
def test_volume_ratio_is_the_determinant(size):
    f = kinematics.deformation_gradient(RNG.uniform(-0.3, 0.3, (6, size)), RADIUS)
    np.testing.assert_allclose(kinematics.volume_ratio(f), np.linalg.det(whole(f)), rtol=1e-13)


@pytest.mark.parametrize("size", [5, 7])
def test_deformation_gradient_gives_the_same_strain(size):
    g = RNG.uniform(-0.3, 0.3, (6, size))
    f = whole(kinematics.deformation_gradient(g, RADIUS))
    e = (np.swapaxes(f, -1, -2) @ f - np.eye(3)) / 2
    expected = [e[:, 0, 0], e[:, 2, 2], e[:, 1, 1], 2 * e[:, 0, 2], 2 * e[:, 0, 1], 2 * e[:, 1, 2]]
    expected = np.stack(expected[: 4 if size == 5 else 6], axis=-1)
    np.testing.assert_allclose(kinematics.strain(g, RADIUS), expected, atol=1e-15)


@pytest.mark.parametrize("size", [5, 7])
def test_strain_slope_matches_central_differences(size):
    g, step = RNG.uniform(-0.3, 0.3, (6, size)), 1e-5
    slope = kinematics.strain_slope(g, RADIUS)
    for k, h in enumerate(np.eye(size) * step):
        quotient = (kinematics.strain(g + h, RADIUS) - kinematics.strain(g - h, RADIUS)) / (2 * step)
        np.testing.assert_allclose(slope[..., k], quotient, atol=1e-9)


@pytest.mark.parametrize("size, components", [(5, 4), (7, 6)])
def test_flux_is_the_strain_s_slope_against_a_stress(size, components):
    g, stress = RNG.uniform(-0.3, 0.3, (6, size)), RNG.uniform(-1, 1, (6, components))
    expected = np.einsum("pcm,pc->pm", kinematics.strain_slope(g, RADIUS), stress)
    np.testing.assert_allclose(kinematics.flux(g, RADIUS, stress), expected, atol=1e-15)


@pytest.mark.parametrize("size, components", [(5, 4), (7, 6)])
def test_strain_curvature_matches_central_differences(size, components):
    g, stress, step = RNG.uniform(-0.3, 0.3, (6, size)), RNG.uniform(-1, 1, (6, components)), 1e-5
    curvature = kinematics.strain_curvature(g, RADIUS, stress)
    np.testing.assert_array_equal(curvature, np.swapaxes(curvature, -1, -2))
    for k, h in enumerate(np.eye(size) * step):
        change = kinematics.strain_slope(g + h, RADIUS) - kinematics.strain_slope(g - h, RADIUS)
        quotient = np.einsum("pc,pcm->pm", stress, change) / (2 * step)
        np.testing.assert_allclose(curvature[..., k], quotient, atol=1e-9)


def test_nodal_values_of_a_linear_field_give_its_gradients_anywhere():
    corners = [(1, 0), (4, 0.5), (3.5, 3), (1.2, 2.5)]
    mesh = join({"a": distorted(quadrilateral(corners, spread(0, 1, 3), spread(0, 1, 3)), 0.2)})
    solid = Solid(mesh, {"a": Body(Elastic(1.0, 0.3))}, twist=True)
    r, z = mesh.nodes.T
    u = np.column_stack([0.3 * r, 0.1 * r - 0.2 * z, 0.4 * z - 0.1 * r]).ravel()
    expected = np.broadcast_to([0.3, 0, 0.1, -0.2, 0.3, -0.1, 0.4], (*solid.radius.shape, 7))
    np.testing.assert_allclose(solid.gradients(u), expected, atol=1e-13)
