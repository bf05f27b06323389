"""Solids that may flow: force, tangent, energy and history belong together."""

from dataclasses import fields, replace

import numpy as np
import pytest
from helpers.grid import distorted, quadrilateral
from helpers.plastic import metal
from helpers.solids import dense, difference
from pytest import approx

from colletfea.fea.bodies.elastic import Elastic
from colletfea.fea.bodies.law import Flow
from colletfea.fea.bodies.measures import flowed
from colletfea.fea.bodies.solid import Body, Solid
from colletfea.fea.bodies.stress import cauchy
from colletfea.fea.elements import kinematics
from colletfea.fea.elements.grids import join, spread

GRIDS = {
    name: distorted(quadrilateral([(r, 0), (r + 3, 0.3), (r + 2.5, 2.4), (r, 2)], spread(0, 1, 2), spread(0, 1, 2)), 0.2)
    for name, r in (("soft", 4), ("hard", 8))
}
MESH = join(GRIDS)
BODIES = {
    "soft": Body(metal(300, 2000), hoop_ratio=lambda r, z: 0.1 + 0.3 * z / 2.4, fill=lambda r, z: 1 - 0.01 * r),
    "hard": Body(Elastic(210_000.0, 0.3)),
}


class Own:
    """A law of another class, that answers as one of ours does."""

    def __init__(self, law):
        self.moduli, self.respond = law.moduli, law.respond


def test_any_law_with_history_is_asked():
    """Whoever gives `respond` may flow, whatever its class: stresses are those of the same law of ours."""
    ours, own = (Solid(MESH, {**BODIES, "soft": replace(BODIES["soft"], law=law)}) for law in (BODIES["soft"].law, Own(BODIES["soft"].law)))
    u = 0.01 * np.sin(np.arange(ours.size))
    assert list(own.yielding) == ["soft"] and np.any(own.advance(u, own.start()).alpha > 0)
    np.testing.assert_array_equal(own.stress(u, own.start()), ours.stress(u, ours.start()))


def at(twist, amplitude=0.001, seed=5):
    """A solid, positions in which about half of the points flow, and the flow of other ones before."""
    solid = Solid(MESH, BODIES, twist)
    rng = np.random.default_rng(seed)
    before, now = (rng.uniform(-amplitude, amplitude, (len(MESH.nodes), solid.unknowns)) for _ in range(2))
    if twist:
        before[:, 2] /= 5
        now[:, 2] /= 5
    return solid, now.ravel(), solid.advance(before.ravel(), solid.start())


def test_about_half_of_the_points_flow():
    for twist in (False, True):
        solid, u, flow = at(twist)
        part = solid.slices["soft"]
        share = np.mean(solid.advance(u, flow).alpha[part] > flow.alpha[part])
        assert 0.2 < share < 0.95 and 0.2 < np.mean(flow.alpha[part] > 0)


@pytest.mark.parametrize("twist", [False, True])
def test_tangent_is_the_slope_of_the_force_and_symmetric(twist):
    """Differences along random directions, of steps of 1e-9 mm; largest error measured 3e-7 of the largest entry."""
    solid, u, flow = at(twist)
    tangent = dense(solid.dofs, solid.tangents(u, flow), solid.size)
    np.testing.assert_allclose(tangent, tangent.T, atol=1e-11 * np.abs(tangent).max())
    for direction in np.random.default_rng(3).standard_normal((10, solid.size)):
        quotient = difference(lambda v: solid.force(v, flow), u, direction, 1e-9)
        np.testing.assert_allclose(tangent @ direction, quotient, atol=2e-6 * np.abs(quotient).max())


@pytest.mark.parametrize("twist", [False, True])
def test_work_of_a_step_is_what_is_stored_and_what_flows(twist):
    """Mean of old and new stress over the strain's step, exactly: no error of the increment's size."""
    solid, u, flow = at(twist)
    v = u + np.random.default_rng(8).uniform(-1e-3, 1e-3, u.shape)
    first = solid.advance(u, flow)
    second = solid.advance(v, first)
    strain = [kinematics.strain(solid.gradients(x), solid.radius) for x in (u, v)]
    given = np.einsum("eqi,eqi,eq->", (first.stress + second.stress) / 2, strain[1] - strain[0], solid.volume)
    stored = solid.energy(v, second) - solid.energy(u, first)
    lost = np.sum((second.work - first.work) * solid.volume)
    assert given == approx(stored + lost, rel=1e-11) and lost > 0.01 * abs(stored)


def test_accepted_points_lie_on_or_below_yield_and_their_stress_is_kept():
    solid, u, flow = at(True)
    new = solid.advance(u, flow)
    np.testing.assert_allclose(solid.stress(u, new), new.stress, atol=1e-8)
    again = solid.advance(u, new)
    assert np.array_equal(again.alpha, new.alpha) and np.array_equal(again.work, new.work)


def test_from_an_accepted_state_the_tangent_is_the_elastic_one():
    """A step back does not flow: what predicts it must not follow the flow that led there."""
    solid, u, flow = at(False)
    new = solid.advance(u, flow)
    forward, back = solid.tangents(u, flow), solid.tangents(u, new)
    v = np.random.default_rng(2).standard_normal((len(solid.dofs), solid.dofs.shape[1]))
    stiffness = [np.einsum("en,enm,em->e", v, k, v)[solid.slices["soft"]] for k in (forward, back)]
    assert np.all(stiffness[0] < stiffness[1])


def test_nothing_changes_the_history_that_goes_in():
    solid, u, flow = at(False)
    kept = {f.name: getattr(flow, f.name).copy() for f in fields(flow)}
    solid.force(u, flow), solid.tangents(u, flow), solid.energy(u, flow), solid.advance(u, flow), cauchy(solid, u, flow)
    assert all(np.array_equal(getattr(flow, name), values) for name, values in kept.items())
    with pytest.raises(ValueError, match="read-only"):
        flow.alpha[0, 0] = 1.0


def test_history_is_asked_for_where_bodies_may_flow_and_only_there():
    solid, u, _ = at(False)
    for ask in (solid.stress, solid.force, solid.tangents, solid.energy, lambda v: cauchy(solid, v)):
        with pytest.raises(ValueError, match="flow of the last accepted state"):
            ask(u)
    elastic = Solid(MESH, dict.fromkeys(MESH.cells, BODIES["hard"]))
    assert elastic.start() is None and elastic.advance(u, None) is None and not elastic.yielding


def test_below_yield_forces_and_tangents_are_the_elastic_ones():
    solid, u, _ = at(False, amplitude=3e-5)
    soft = replace(BODIES["soft"], law=Elastic(210_000.0, 0.3))
    elastic = Solid(MESH, {**BODIES, "soft": soft})
    np.testing.assert_allclose(solid.force(u, solid.start()), elastic.force(u), atol=1e-13 * np.abs(elastic.force(u)).max())
    assert np.array_equal(solid.rest_tangents, elastic.rest_tangents)


def test_history_with_twist_is_the_one_without_and_no_shear_around():
    solid, u, flow = at(False)
    whole = Solid(MESH, BODIES, True)
    v = np.column_stack([u.reshape(-1, 2), np.zeros(len(MESH.nodes))]).ravel()
    assert isinstance(flow.with_twist(), Flow)
    force = whole.force(v, flow.with_twist()).reshape(-1, 3)
    np.testing.assert_allclose(force[:, :2].ravel(), solid.force(u, flow), atol=1e-9)
    np.testing.assert_allclose(force[:, 2], 0, atol=1e-12)
    assert whole.energy(v, flow.with_twist()) == approx(solid.energy(u, flow), rel=1e-12)


def test_what_flowed_is_told_by_body_with_the_place_of_the_largest():
    solid, u, flow = at(False)
    found = flowed(solid, flow)
    assert set(found) == {"soft"}
    part = solid.slices["soft"]
    soft, alpha, volume = found["soft"], flow.alpha[part], solid.volume[part]
    assert soft.strain_integral == approx(np.sum(alpha * volume)) and soft.work == approx(np.sum(flow.work[part] * volume))
    assert soft.share == approx(np.sum(volume * (alpha > 0)) / volume.sum()) and 0 < soft.share < 1
    e, q = np.unravel_index(alpha.argmax(), alpha.shape)
    assert (soft.r, soft.z) == tuple(solid.points[part][e, q]) and soft.largest == alpha.max()
    keep = np.ones(flow.alpha.shape, bool)
    keep[part][e, q] = False
    assert flowed(solid, flow, keep)["soft"].largest == np.sort(alpha.ravel())[-2]
