"""Edges come out as ordered chains with the body on the left, or as one clear error."""

import numpy as np
import pytest

from colletfea.fea.elements.grids import block, join, spread
from colletfea.fea.elements.mesh import Mesh, strip
from colletfea.fea.errors import MeshError

GRID = block(4.0, 7.0, spread(0, 6, 4), spread(0, 1, 3))


def build(**edges):
    return Mesh.build(GRID.nodes, {"ring": GRID.cells}, edges)


def test_rows_in_any_order_and_sense_give_the_same_chain():
    rows = GRID.sides["outer"]
    scrambled = rows[[2, 0, 3, 1]]
    scrambled[::2] = scrambled[::2][:, [1, 0, 2]]
    np.testing.assert_array_equal(build(seat=scrambled).edges["seat"], build(seat=rows).edges["seat"])


def test_outward_normal_is_the_tangent_turned_by_minus_90_degrees():
    mesh = build(**GRID.sides)
    for side, outward in {"inner": (-1, 0), "outer": (1, 0), "bottom": (0, -1), "top": (0, 1)}.items():
        rows = mesh.edges[side]
        tangent = mesh.nodes[rows[:, 1]] - mesh.nodes[rows[:, 0]]
        normal = np.column_stack([tangent[:, 1], -tangent[:, 0]]) / np.linalg.norm(tangent, axis=1)[:, None]
        np.testing.assert_allclose(normal, [outward] * len(rows), atol=1e-14)
        np.testing.assert_array_equal(rows[1:, 0], rows[:-1, 1])
        np.testing.assert_allclose(mesh.nodes[rows[:, 2]], mesh.nodes[rows[:, :2]].mean(axis=1), atol=1e-14)


def test_nodes_of_an_edge_follow_its_chain():
    mesh = build(seat=GRID.sides["outer"])
    np.testing.assert_allclose(mesh.nodes[mesh.edge_nodes("seat"), 1], np.linspace(0, 6, 9))


def test_edge_may_turn_corners():
    mesh = build(wrap=np.vstack([GRID.sides["inner"], GRID.sides["top"], GRID.sides["bottom"]]))
    nodes = mesh.nodes[mesh.edge_nodes("wrap")]
    np.testing.assert_allclose(nodes[[0, -1]], [[7, 6], [7, 0]])


def test_body_nodes_are_sorted_and_without_repeats():
    mesh = join({"a": GRID, "b": block(8, 9, spread(0, 6, 1), spread(0, 1, 1))})
    np.testing.assert_array_equal(mesh.body_nodes("a"), np.arange(len(GRID.nodes)))
    np.testing.assert_array_equal(mesh.body_nodes("b", "a"), np.arange(len(mesh.nodes)))


@pytest.mark.parametrize(
    "rows, message",
    [
        (GRID.cells[:1, [1, 2, 5]], "node [0-9]+ is not the middle of a boundary side"),
        (GRID.sides["outer"][[0, 2]], "not one open chain"),
        (np.vstack(list(GRID.sides.values())), "not one open chain"),
        (GRID.sides["outer"][[0, 1, 1]], "not one open chain"),
    ],
    ids=["interior side", "two pieces", "closed loop", "row twice"],
)
def test_unusable_edge_is_refused_by_name(rows, message):
    with pytest.raises(MeshError, match=f"edge seat.*{message}"):
        build(seat=rows)


def test_missing_edges_are_listed_with_those_present():
    mesh = build(seat=GRID.sides["outer"], bore=GRID.sides["inner"])
    mesh.require_edges("seat", "bore")
    with pytest.raises(MeshError, match="lacks the edges cone, face; it has bore, seat"):
        mesh.require_edges("cone", "bore", "face")


def test_strip_is_a_structured_grid_with_its_four_sides():
    nodes, cells, sides = strip(np.array([2.0, 3.0, 5.0]), np.array([0.0, 4.0]))
    assert nodes.shape == (13, 2) and cells.shape == (2, 8)
    np.testing.assert_array_equal(nodes[cells[1]], [[3, 0], [5, 0], [5, 4], [3, 4], [4, 0], [5, 2], [4, 4], [3, 2]])
    np.testing.assert_array_equal(nodes[sides["bottom"]], [[[2, 0], [3, 0], [2.5, 0]], [[3, 0], [5, 0], [4, 0]]])
    np.testing.assert_array_equal(nodes[sides["outer"]], [[[5, 0], [5, 4], [5, 2]]])
    mesh = Mesh.build(nodes, {"ring": cells}, sides)
    assert sorted(mesh.edges) == ["bottom", "inner", "outer", "top"]
