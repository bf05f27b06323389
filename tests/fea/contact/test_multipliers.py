"""Multipliers as unknowns: what is eliminated is what central differences of forces and of misfits say."""

from dataclasses import replace

import numpy as np
import pytest
from helpers.barrels import REGIMES, barrels, scene
from helpers.contact import small_cone, solve

from colletfea.fea.contact.multipliers import EdgeMeans, least_softness

PAIRS = pytest.mark.parametrize("twist", [False, True], ids=["plane", "twist"])
TOUCHING = [name for name in REGIMES if name != "open"]


def edges_of(contact):
    """What adds 1 to the multiplier of one edge (n, k)."""
    return (contact.edge[:, None] == np.unique(contact.edge)).astype(float)


def seen(contact, u, old):
    """By central differences: forces by multipliers (size, k) [mm2], misfits by unknowns (k, size) [MPa/mm], at those that may move."""
    edges, step = edges_of(contact), 1e-4
    at = lambda change: contact.evaluate(u, old.carrying(old.multiplier + change))
    forces = [(at(step * e).force - at(-step * e).force) / (2 * step) for e in edges.T]
    move, first = 1e-9, contact.first
    moves = np.eye(contact.size)[np.unique(contact.dofs(np.arange(len(contact.edge)), contact.evaluate(u, old).foot.edge))]
    misfit = lambda du: contact.misfit(contact.evaluate(u + du, old))[first]
    opened = np.array([(misfit(move * m) - misfit(-move * m)) / (2 * move) for m in moves])
    return np.array(forces).T, opened.T @ moves


@PAIRS
@pytest.mark.parametrize("regime", TOUCHING)
def test_what_is_eliminated_is_what_differences_say(regime, twist):
    """Coupling, pushes and gains against d(force)/d(multiplier) / softness * d(misfit)/du: measured 1e-7 at worst, 1e-6 allowed.

    The misfit's own rounding over the step of 1e-9 mm is what is left.
    """
    contact, u, old = scene(regime, twist, mesh=barrels(count=12))
    old = old.carrying(contact.edge_means(old.multiplier) + 1.0)
    ev = contact.evaluate(u, old)
    means, misfit = EdgeMeans.of(contact, ev, 0.003), contact.misfit(ev)
    forces, opened = seen(contact, u, old)
    soft = means.softness[contact.first]
    row, column, values = means.coupling()
    told = np.zeros((contact.size, contact.size))
    np.add.at(told, (row, column), values)
    near = lambda a, b: np.max(np.abs(a - b)) < 1e-6 * np.max(np.abs(b))
    assert near(told, forces / soft @ opened)
    assert near(means.pressed(misfit), forces @ (misfit[contact.first] / soft))
    step = np.random.default_rng(2).normal(size=contact.size) * 1e-4
    gain = (misfit[contact.first] + opened @ step) / soft
    assert near(means.gained(misfit, step), gain[np.searchsorted(np.unique(contact.edge), contact.edge)])


def test_softness_is_what_a_multiplier_leaves_of_its_own_misfit():
    """1 - a by central differences, for an edge that touches in part, and the least one for an edge that touches all along."""
    contact, u, old = scene("stick", False, mesh=barrels(z_outer=(-0.1, 2.05), count=12))
    old = old.carrying(contact.edge_means(old.multiplier) + 1.0)
    at = lambda e: contact.misfit(contact.evaluate(u, old.carrying(old.multiplier + e)))[contact.first]
    seen = np.array([(at(-1e-6 * e)[k] - at(1e-6 * e)[k]) / 2e-6 for k, e in enumerate(edges_of(contact).T)])
    told = EdgeMeans.of(contact, contact.evaluate(u, old), 0.003).softness[contact.first]
    np.testing.assert_allclose(told, np.maximum(seen, 0.003), rtol=1e-6)
    assert told.min() == 0.003 and np.any((told > 0.01) & (told < 0.99))


def test_edges_are_as_soft_as_their_springs_while_what_touches_changes():
    contact, u, old = scene("mixed", False)
    apart = u.reshape(-1, 2) + np.where(np.isin(np.arange(len(u) // 2), contact.mesh.body_nodes("hub")), 2e-4, 0.0)[:, None] * [1, 0]
    now, then = contact.evaluate(u, old), contact.evaluate(apart.ravel(), old)
    assert 0 < len(then.closed.index) < len(now.closed.index)
    assert [least_softness(now, before) for before in (None, now, then)] == [0.003, 0.003, 1.0]
    assert np.all(EdgeMeans.of(contact, now, 1.0).softness == 1.0)


@PAIRS
def test_where_nothing_touches_multipliers_go(twist):
    contact, u, old = scene("open", twist)
    ev = contact.evaluate(u, old)
    ev = replace(ev, multiplier=np.ones(len(ev.pressure)))
    means, misfit = EdgeMeans.of(contact, ev, 0.003), contact.misfit(ev)
    assert [len(x) for x in means.coupling()] == [0, 0, 0] and not means.pressed(misfit).any()
    np.testing.assert_allclose(means.gained(misfit, np.ones(contact.size)), -1.0)


def test_what_multipliers_miss_counts_over_their_edges_on_a_leader_or_not():
    """1 MPa on one edge counts as much force as its undeformed ring area, also where the edge has no foot."""
    contact, u, old = scene("slip", False, fills=False, mesh=barrels(z_outer=(-0.9, 1.8)))
    ev = contact.evaluate(u, old)
    met = replace(ev, multiplier=contact.edge_means(ev.pressure))
    assert contact.unmet(met) < 1e-9
    areas = [contact.unmet(replace(met, multiplier=met.multiplier + e)) for e in edges_of(contact).T]
    nodes = contact.mesh.nodes[contact.mesh.edges["hub.inner"]]
    length, radius = np.linalg.norm(nodes[:, 1] - nodes[:, 0], axis=1), nodes.mean(axis=1)[:, 0]
    np.testing.assert_allclose(areas, 2 * np.pi * radius * length, rtol=0.02)
    off = [not ev.foot.inside[contact.edge == k].any() for k in range(len(areas))]
    assert any(off) and not all(off)


def test_multipliers_that_pull_are_none():
    _, _, old = scene("slip", False)
    assert list(old.carrying(np.array([-1.0, 2.0])).multiplier) == [0.0, 2.0]


@pytest.mark.parametrize("condensed", [False, True], ids=["full", "condensed"])
def test_multipliers_stay_where_nothing_is_augmented(condensed):
    model, drives = small_cone()
    (start,) = solve(model, drives(lambda t: 0.3 * t), (0.5,), condensed=condensed, residual=1e-8)
    assert np.any(start.history.multiplier > 0)
    (after,) = solve(model, drives(lambda t: 0.3 * t), (0.6,), start, condensed=condensed, residual=1e-8, augment=False)
    assert np.array_equal(after.history.multiplier, start.history.multiplier)
    assert not np.array_equal(after.contact.pressure, start.contact.pressure)
