"""Recovered against raw stress, where the true error is known by Lamé."""

import numpy as np
import pytest
from helpers.contact import STEEL, hold, solve

from colletfea.fea.bodies import recovery
from colletfea.fea.bodies.elastic import Elastic
from colletfea.fea.bodies.solid import Body
from colletfea.fea.bodies.stress import cauchy
from colletfea.fea.elements.grids import block, join, mapped, spread
from colletfea.fea.model.drives import Z
from colletfea.fea.model.loads import Pressure
from colletfea.fea.model.model import Model

STIFF = Elastic(1e9, 0.3)  # small strain
RING = [(2, 1.27), (4, 1.20), (8, 1.11), (16, 1.05)]
SPHERE = [(2, 1.23), (4, 1.17), (8, 1.07)]


def ring(elements):
    """Thick ring 10/20 under 100 MPa inside."""
    return join({"ring": block(10, 20, spread(0, 5, max(1, elements // 2)), spread(0, 1, elements))})


def sphere(elements):
    """Quarter of a hollow sphere 10/20."""
    return join({"ring": mapped(lambda s, t: (s * np.cos(t), s * np.sin(t)), spread(10, 20, elements), spread(0, np.pi / 2, 2 * elements))})


def exact_ring(x):
    even, falling = 100 / 3, 40000 / 3 / x[..., 0] ** 2
    return even - falling, even + falling, np.zeros_like(falling), np.zeros_like(falling)


def exact_sphere(x):
    r, z = np.moveaxis(x, -1, 0)
    rho = np.hypot(r, z)
    out, round_ = (100 / 7 * (1 + k * 8e3 / rho**3) for k in (-1, 0.5))
    c, s = r / rho, z / rho
    return out * c**2 + round_ * s**2, round_, out * s**2 + round_ * c**2, (out - round_) * c * s


def effectivity(mesh, exact):
    """Estimated over true error of the stress, root mean squares."""
    model = Model.build(mesh, {"ring": Body(STIFF)}, loads=[Pressure("ring.inner", lambda t: 100 * t)])
    (state,) = solve(model, [hold("base", "ring.bottom", Z)])
    raw = cauchy(model.solid, state.u)
    true = np.zeros_like(raw)
    for (i, j), values in zip(((0, 0), (1, 1), (2, 2), (0, 2)), exact(model.solid.points)):
        true[..., i, j] = true[..., j, i] = values
    of = lambda error: recovery.share(error, recovery.size(true), model.solid.volume)
    return of(recovery.misfit(model.solid, mesh, raw)) / of(recovery.size(raw - true))


@pytest.mark.verification(source="Lamé; Timoshenko & Goodier, Theory of Elasticity (from memory)")
@pytest.mark.parametrize("mesh, exact, elements, wanted", [(ring, exact_ring, *row) for row in RING] + [(sphere, exact_sphere, *row) for row in SPHERE])
def test_estimate_over_true_error(mesh, exact, elements, wanted):
    """As the module states it, to a hundredth: never below the true error, and nearer to it on finer meshes."""
    assert effectivity(mesh(elements), exact) == pytest.approx(wanted, abs=0.012)


def test_an_even_stress_has_no_error():
    mesh = ring(4)
    model = Model.build(mesh, {"ring": Body(STEEL)})
    even = np.broadcast_to(np.array([[3.0, 0, 1], [0, -2, 0], [1, 0, 5]]), (*model.solid.radius.shape, 3, 3))
    assert recovery.misfit(model.solid, mesh, even).max() < 1e-12
    assert recovery.size(even) == pytest.approx(np.sqrt(9 + 4 + 25 + 2))
    assert recovery.share(np.zeros(3), np.zeros(3), np.ones(3)) == 0.0


def test_a_jump_between_two_bodies_is_no_error():
    grids = {"in": block(5, 10, spread(0, 2, 2), spread(0, 1, 2)), "out": block(10, 15, spread(0, 2, 2), spread(0, 1, 2))}
    mesh = join(grids)
    model = Model.build(mesh, dict.fromkeys(grids, Body(STEEL)))
    stress = np.zeros((*model.solid.radius.shape, 3, 3))
    stress[model.solid.slices["in"], :, 0, 0] = 7.0
    assert recovery.misfit(model.solid, mesh, stress).max() < 1e-12
