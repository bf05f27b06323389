"""Condensed bodies against the sparse stiffness they come from, solved by scipy."""

import numpy as np
import pytest
from helpers.contact import build, hold, small_cone, solve, touching
from scipy.linalg import block_diag
from scipy.sparse.linalg import spsolve

from colletfea.fea.algebra.sparse import assemble
from colletfea.fea.elements.grids import block, join, spread
from colletfea.fea.model.balance import Balance
from colletfea.fea.model.drives import Drive, Z
from colletfea.fea.solvers.condensation import Condensation


def small():
    model, drives = small_cone()
    return Balance.of(model, drives(lambda t: 0.3 * t))


def sleeved():
    """A sleeve that meets a ring outside and a shaft inside: two contact edges of one body."""
    parts = {"shaft": (1, 5, 4), "sleeve": (5, 7, 5), "ring": (7, 9, 3)}
    mesh = join({name: block(a, b, spread(0, 4, n), spread(0, 1, 2)) for name, (a, b, n) in parts.items()})
    pairs = touching("sleeve.inner", "shaft.outer", "bore"), touching("ring.inner", "sleeve.outer", "cone")
    return Balance.of(build(mesh, pairs), [hold(name, f"{name}.bottom", Z) for name in parts])


def stiffness(balance):
    n, solid = balance.numbering, balance.model.solid
    return assemble([(solid.dofs, solid.tangents(np.zeros(solid.size)))], n.number, n.free)


def test_one_stiffness_a_body():
    bodies = Condensation(small())
    assert len(bodies.stiffness) == 2 and sum(map(len, bodies.stiffness)) == len(bodies.surface)


@pytest.mark.parametrize("bodies", [small, sleeved], ids=["an edge a body", "two edges of one"])
def test_schur_complement_is_the_inverse_of_the_surface_compliance(bodies):
    balance = bodies()
    bodies = Condensation(balance)
    compliance = np.linalg.inv(stiffness(balance).toarray())[np.ix_(bodies.surface, bodies.surface)]
    np.testing.assert_allclose(block_diag(*bodies.stiffness) @ compliance, np.eye(len(compliance)), atol=1e-9)


def test_groups_are_the_bodies_edges_and_hold_the_whole_stiffness():
    """One group a contact edge, side by side in the surface; the tables between them make up each body's stiffness."""
    balance = small()
    bodies, contact = Condensation(balance, float), balance.model.contact
    np.testing.assert_array_equal(np.concatenate(bodies.groups), np.arange(len(bodies.surface)))
    number = balance.numbering.number
    for k, own in enumerate(bodies.groups):
        assert np.array_equal(bodies.surface[own[bodies.place[bodies.group == k]]], number[bodies.group == k]) and k in bodies.group
    assert not np.isin(number[bodies.group == len(bodies.groups)], bodies.surface).any()
    on_edges = [set(number[2 * np.unique(rows)]) for rows in (contact.follower, contact.leader)]
    for own in bodies.groups:  # radial unknowns tell the edge
        assert any(set(bodies.surface[own]) & edge for edge in on_edges)
        assert not all(set(bodies.surface[own]) & edge for edge in on_edges)
    whole = np.zeros((len(bodies.surface),) * 2)
    for (i, j), table in bodies.dense.items():
        whole[np.ix_(bodies.groups[i], bodies.groups[j])] += table
    np.testing.assert_array_equal(whole, block_diag(*bodies.stiffness))


def test_condense_and_spread_solve_the_whole_stiffness():
    balance = small()
    bodies, n = Condensation(balance), balance.numbering
    force = np.random.default_rng(3).standard_normal(n.count)
    surface, answer = bodies.condense(force)
    step = np.linalg.solve(block_diag(*bodies.stiffness), surface)
    np.testing.assert_allclose(bodies.hold(step), surface, atol=1e-9 * np.abs(surface).max())
    found = bodies.spread(step, answer)
    expected = spsolve(stiffness(balance), force[: n.free])
    np.testing.assert_allclose(found[: n.free], expected, atol=1e-10 * np.abs(expected).max())
    assert np.all(found[n.free :] == 0)


def test_body_without_any_contact_is_solved_like_full_newton():
    model = build(join({"tube": block(1, 2, spread(0, 1, 2), spread(0, 1, 2))}))
    drives = [hold("foot", "tube.bottom", Z), Drive("press", "tube.top", Z, displacement=lambda t: -1e-2 * t)]
    (fast,), (full,) = (solve(model, drives, condensed=condensed) for condensed in (True, False))
    assert full.totals["press"] < 0
    np.testing.assert_allclose(fast.u, full.u, atol=1e-9 * np.abs(full.u).max())
