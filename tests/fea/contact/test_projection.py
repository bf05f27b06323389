"""Closest points on chains of curved edge lines: feet, ends, kinks, frozen edges."""

import numpy as np
import pytest

from colletfea.fea.contact import projection
from colletfea.fea.contact.projection import Projection, project
from colletfea.fea.elements import shapes


def arc(radius=10.0, count=6, span=1.2):
    """Chain (k, 3, 2) of parabolas through points of a circle about the origin."""
    angle = np.linspace(0, span, 2 * count + 1)
    x = radius * np.column_stack([np.cos(angle), np.sin(angle)])
    return np.stack([x[:-2:2], x[2::2], x[1::2]], axis=1)


def corner():
    """Two straight edges that meet at (1, 0) in a right angle: along +x, then along +y."""
    return np.array([[(0, 0), (1, 0), (0.5, 0)], [(1, 0), (1, 1), (1, 0.5)]], dtype=float)


def foot(chain, result):
    value, slope, _ = shapes.line3(result.xi)
    edges = chain[result.edge]
    return np.einsum("na,nai->ni", value, edges), np.einsum("na,nai->ni", slope, edges)


def test_offset_is_normal_to_a_curved_edge():
    """(x - foot) . tangent = 0 to round-off, on both sides, at points up to a tenth of the radius off."""
    rng, chain = np.random.default_rng(0), arc()
    angle, radius = rng.uniform(0.01, 1.19, 200), rng.uniform(9, 11, 200)
    points = radius[:, None] * np.column_stack([np.cos(angle), np.sin(angle)])
    result = project(points, chain)
    place, slope = foot(chain, result)
    assert result.inside.all() and np.all(np.abs(result.xi) <= 1 + 1e-3)
    normal = np.abs(np.sum((points - place) * slope, axis=1)) / np.linalg.norm(slope, axis=1)
    assert normal.max() < 1e-13


def test_foot_is_the_closest_of_a_dense_sample():
    """No sampled point of the whole chain is nearer than the foot."""
    rng, chain = np.random.default_rng(2), arc()
    angle, radius = rng.uniform(0.05, 1.15, 50), rng.uniform(9.5, 10.5, 50)
    points = radius[:, None] * np.column_stack([np.cos(angle), np.sin(angle)])
    place, _ = foot(chain, project(points, chain))
    value, _, _ = shapes.line3(np.linspace(-1, 1, 401))
    sample = np.einsum("qa,kai->kqi", value, chain).reshape(-1, 2)
    nearest = np.min(np.linalg.norm(points[:, None] - sample, axis=2), axis=1)
    assert np.all(np.linalg.norm(points - place, axis=1) <= nearest + 1e-6)


def test_points_off_the_chain_do_not_keep_the_search_going(monkeypatch):
    """Their coordinate is held at an end, and Newton would step on to its limit of 8 on every edge they come by."""
    steps, edges, clip, closest = [], [], np.clip, projection._closest
    monkeypatch.setattr(projection.np, "clip", lambda *given: steps.append(1) or clip(*given))
    monkeypatch.setattr(projection, "_closest", lambda *given: edges.append(1) or closest(*given))
    off = project(np.array([[10.0, -30.0], [8.0, 6.0], [-30.0, 10.0]]), arc())
    assert list(off.inside) == [False, True, False] and len(steps) <= 4 * len(edges)


@pytest.mark.parametrize("shift", [0.0, 0.02, -0.4, 6.0])
def test_points_are_found_from_a_projection_nearby(shift):
    """As from nothing, whichever way and however many edges they went; the arc's edges are 2 long, ends at 0 and 12."""
    rng, chain = np.random.default_rng(6), arc()
    angle, radius = rng.uniform(-0.1, 1.3, 200), rng.uniform(9, 11, 200)
    before, now = (
        radius[:, None] * np.column_stack([np.cos(angle + turn), np.sin(angle + turn)]) for turn in (0.0, shift / 10)
    )
    near, told = project(before, chain), project(now, chain)
    found = project(now, chain, near=near)
    np.testing.assert_array_equal(found.inside, told.inside)
    np.testing.assert_array_equal(found.edge[told.inside], told.edge[told.inside])
    np.testing.assert_allclose(found.xi[told.inside], told.xi[told.inside], atol=1e-9)
    assert 0 < told.inside.sum() < 200 and np.any(near.edge != told.edge) == (shift != 0)


def test_walk_passes_edges_far_shorter_than_the_way():
    """A foot is held at 3 of a half edge: past many short edges it stands still and must go on all the same."""
    ends = np.concatenate([[0.0, 2.0], np.linspace(2, 2.2, 41)[1:], [4.0]])
    chain = np.array([[(a, 0), (b, 0), ((a + b) / 2, 0)] for a, b in zip(ends, ends[1:])])
    start, point = (np.array([[x, 0.1]]) for x in (0.5, 3.9))
    for here, there in ((start, point), (point, start)):
        found = project(there, chain, near=project(here, chain))
        np.testing.assert_array_equal(found.edge, project(there, chain).edge)
        np.testing.assert_allclose(foot(chain, found)[0][:, 0], there[:, 0], atol=1e-12)


def test_nearest_node_is_found_among_stretches():
    """Against every distance, on a chain that turns back on itself, points anywhere."""
    rng = np.random.default_rng(8)
    along = np.linspace(0, 3, 161)
    x = np.column_stack([np.sin(29 * along), along]) * [3, 1]
    chain = np.stack([x[:-2:2], x[2::2], x[1::2]], axis=1)
    points = rng.uniform([-4, -1], [4, 4], (3000, 2))
    away = np.linalg.norm(points[:, None] - x, axis=2)
    told = np.minimum(np.argmin(away, axis=1) // 2, len(chain) - 1)
    np.testing.assert_array_equal(projection._nearest_edges(points, chain), told)


def test_chains_projected_together_know_nothing_of_each_other():
    """Two arcs that start at one place: each point stays with its own chain, ends are each chain's own."""
    rng, chains = np.random.default_rng(4), (arc(), arc(radius=10.5, count=4, span=0.7))
    points = [np.column_stack([rng.uniform(4, 11, n), rng.uniform(-1, 8, n)]) for n in (40, 30)]
    alone = [project(p, c) for p, c in zip(points, chains)]
    parts = [(slice(0, 40), slice(0, 6)), (slice(40, 70), slice(6, 10))]
    together = project(np.concatenate(points), np.concatenate(chains), parts=parts)
    np.testing.assert_array_equal(together.edge, np.concatenate([alone[0].edge, alone[1].edge + 6]))
    np.testing.assert_allclose(together.xi, np.concatenate([a.xi for a in alone]), atol=1e-13)
    np.testing.assert_array_equal(together.inside, np.concatenate([a.inside for a in alone]))
    assert 0 < together.inside.sum() < 70


@pytest.mark.parametrize("beyond, inside", [(-1e-3, False), (0.0, True), (0.4, True), (1.0, True), (1.001, False)])
def test_points_off_the_ends_do_not_project(beyond, inside):
    chain = np.array([[(0, 0), (0.5, 0), (0.25, 0)], [(0.5, 0), (1, 0), (0.75, 0)]])
    result = project(np.array([[beyond, 0.2]]), chain)
    assert result.inside[0] == inside


def test_point_at_the_end_keeps_projecting_through_round_off():
    chain = np.array([[(0, 0), (1, 0), (0.5, 0)]])
    assert project(np.array([[1 + 1e-13, 0.3], [-1e-13, 0.3]]), chain).inside.all()


def test_point_in_the_wedge_of_a_kink_lands_on_an_edge_and_is_inside():
    """Outside a convex corner no foot is normal: the point still counts, near the corner of one edge."""
    points = np.array([[1.1, -0.02], [1.02, -0.1]])
    result = project(points, corner())
    assert result.inside.all()
    place, _ = foot(corner(), result)
    assert np.all(np.linalg.norm(place - [1, 0], axis=1) < 0.11)


@pytest.mark.parametrize("edge", [0, 1, None], ids=["from before", "from behind", "searched"])
def test_point_in_the_wedge_takes_the_edge_it_lies_less_past(edge):
    """Past the end of the first by 0.2 and of the second by 0.04 (local coordinates), and the other way round."""
    points = np.array([[1.1, -0.02], [1.02, -0.1]])
    near = None if edge is None else Projection(np.full(2, edge), np.zeros(2), np.ones(2, bool))
    result = project(points, corner(), near=near)
    np.testing.assert_array_equal(result.edge, [1, 0])
    np.testing.assert_allclose(result.xi, [-1.04, 1.04], atol=1e-12)


def test_each_side_of_a_kink_takes_its_own_edge():
    result = project(np.array([[0.8, -0.05], [1.05, 0.3], [0.7, 0.1], [0.9, 0.4]]), corner())
    np.testing.assert_array_equal(result.edge, [0, 1, 0, 1])
    np.testing.assert_allclose(result.xi, [0.6, -0.4, 0.4, -0.2], atol=1e-12)


def test_frozen_points_keep_their_edge_and_membership():
    chain = corner()
    kept = Projection(np.array([0, 0]), np.array([0.6, 0.6]), np.array([True, False]))
    result = project(np.array([[1.05, 0.3], [0.5, 0.1]]), chain, kept)
    np.testing.assert_array_equal(result.edge, [0, 0])
    np.testing.assert_array_equal(result.inside, [True, False])
    np.testing.assert_allclose(result.xi, [1.1, 0.0], atol=1e-12)


def test_no_points_give_empty_arrays():
    result = project(np.empty((0, 2)), arc())
    assert [len(column) for column in result] == [0, 0, 0]
