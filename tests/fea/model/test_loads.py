"""Follower pressure and nodal forces."""

import numpy as np
import pytest
from helpers.solids import dense, difference

from colletfea.fea.elements.grids import join, mapped, spread
from colletfea.fea.model.loads import Pressure

MESH = join(
    {"a": mapped(lambda s, t: (2 + s + 0.2 * np.sin(t), t + 0.3 * s**2), spread(0, 1, 2), spread(0, 3, 3))}
)
PRESSURE = Pressure("a.outer", lambda t: 40.0 * t)


def state(unknowns):
    return np.random.default_rng(4).uniform(-0.1, 0.1, len(MESH.nodes) * unknowns)


@pytest.mark.parametrize("unknowns", [2, 3])
def test_pressure_tangent_matches_central_differences(unknowns):
    """The load is cubic in u, so the quotient is off by order step^2 only; 1e-9 measured."""
    u = state(unknowns)

    def force(v):
        return PRESSURE.evaluate(MESH, v, unknowns, 0.5)[0]

    _, dofs, slopes = PRESSURE.evaluate(MESH, u, unknowns, 0.5)
    tangent = dense(dofs, slopes, u.size)
    for direction in np.random.default_rng(6).standard_normal((6, u.size)):
        quotient = difference(force, u, direction, 1e-4)
        np.testing.assert_allclose(-tangent @ direction, quotient, atol=1e-7 * np.abs(quotient).max())


@pytest.mark.parametrize("unknowns", [2, 3])
def test_axial_resultant_is_pressure_times_the_projected_current_area(unknowns):
    """Any surface of revolution between two radii: p pi (r1^2 - r0^2), exact for 3-point Gauss."""
    u = state(unknowns)
    force = PRESSURE.evaluate(MESH, u, unknowns, 1.0)[0].reshape(-1, unknowns)
    first, last = (MESH.nodes + u.reshape(-1, unknowns)[:, :2])[MESH.edge_nodes("a.outer")[[0, -1]], 0]
    assert force[:, 1].sum() == pytest.approx(40 * np.pi * (last**2 - first**2), rel=1e-12)


def test_positive_pressure_pushes_inward_and_scales_with_the_parameter():
    radial = PRESSURE.evaluate(MESH, np.zeros(2 * len(MESH.nodes)), 2, 1.0)[0][::2]
    assert radial.sum() < 0
    half = PRESSURE.evaluate(MESH, np.zeros(2 * len(MESH.nodes)), 2, 0.5)[0][::2]
    np.testing.assert_allclose(half, radial / 2)


def test_pressure_all_round_does_no_work_on_an_axial_shift():
    loads = [Pressure(f"a.{side}", lambda t: 3.0) for side in ("inner", "outer", "bottom", "top")]
    u = state(2)
    total = sum(load.evaluate(MESH, u, 2, 1.0)[0] for load in loads)
    assert abs(total[1::2].sum()) < 1e-12 * np.abs(total).sum()
