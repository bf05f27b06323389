"""A piece of a mesh with smaller elements: where its nodes lie, what it carries over, where it was cut."""

import numpy as np
import pytest

from colletfea.fea.elements.mesh import Mesh, strip
from colletfea.fea.elements.shapes import quad8
from colletfea.meshing.quality import jacobians
from colletfea.meshing.zoom import Arc, zoomed

NONE = np.empty(0, int)


def two_bodies():
    """Bodies a (3 by 3 unequal elements, sides slanted) and b, which touch at r = 4 and share no node."""
    nodes, cells, sides = strip(np.array([1, 2, 3.5, 4.0]), np.array([0, 1, 2, 3.0]))
    other, more, outer = strip(np.array([4, 5.0]), np.array([0, 1.5, 3.0]))
    slanted = np.column_stack([nodes[:, 0], nodes[:, 1] + 0.1 * nodes[:, 0] * (nodes[:, 1] > 0)])
    edges = {"a.inner": sides["inner"], "a.outer": sides["outer"], "b.inner": outer["inner"] + len(nodes)}
    return Mesh.build(np.concatenate([slanted, other]), {"a": cells, "b": more + len(nodes)}, edges)


@pytest.fixture(scope="module")
def mesh():
    return two_bodies()


def whole(mesh, **marks):
    return {body: marks.get(body, np.ones(len(cells), bool)) for body, cells in mesh.cells.items()}


def area(mesh, body):
    return jacobians(mesh.nodes[mesh.cells[body]]).mean(axis=1).sum() * 4


def test_every_element_becomes_four_of_the_same_area(mesh):
    zoom = zoomed(mesh, whole(mesh), {"a", "b"}, NONE)
    assert {b: len(c) for b, c in zoom.mesh.cells.items()} == {"a": 36, "b": 8} and not len(zoom.cut)
    assert jacobians(zoom.mesh.nodes[zoom.mesh.cells["a"]]).min() > 0
    assert area(zoom.mesh, "a") == pytest.approx(area(mesh, "a")) and area(zoom.mesh, "b") == pytest.approx(area(mesh, "b"))
    Mesh.build(zoom.mesh.nodes, zoom.mesh.cells, zoom.mesh.edges)  # each edge is one chain on a boundary


def test_bodies_that_touch_keep_nodes_of_their_own(mesh):
    zoom = zoomed(mesh, whole(mesh), {"a", "b"}, NONE)
    assert not np.intersect1d(zoom.mesh.cells["a"], zoom.mesh.cells["b"]).size


def test_a_quadratic_field_is_carried_exactly():
    nodes, cells, _ = strip(np.array([1, 2, 3.5, 4.0]), np.array([0, 1, 2, 3.0]))
    mesh = Mesh.build(nodes, {"a": cells}, {})
    zoom = zoomed(mesh, whole(mesh), {"a"}, NONE)
    field = lambda x: np.column_stack([x[:, 0] ** 2 + x[:, 0] * x[:, 1], 3 * x[:, 1] ** 2 - x[:, 0]])
    np.testing.assert_allclose(zoom.carried(field(mesh.nodes)), field(zoom.mesh.nodes), atol=1e-12)


def test_new_elements_know_where_they_lie_in_the_old(mesh):
    zoom = zoomed(mesh, whole(mesh), {"a"}, NONE)
    for body in ("a", "b"):
        local = zoom.centre[body][:, None] + zoom.half[body][:, None] * np.array([[0.3, -0.7]])
        there = np.einsum("eqa,eak->eqk", quad8(local.reshape(-1, 2))[0].reshape(len(local), 1, 8), mesh.nodes[mesh.cells[body][zoom.origin[body]]])
        here = np.einsum("qa,eak->eqk", quad8(np.array([[0.3, -0.7]]))[0], zoom.mesh.nodes[zoom.mesh.cells[body]])
        np.testing.assert_allclose(there, here, atol=1e-12)


def test_a_body_may_stay_as_it_is(mesh):
    zoom = zoomed(mesh, whole(mesh), {"a"}, NONE)
    assert len(zoom.mesh.cells["b"]) == 2 and len(zoom.mesh.edges["b.inner"]) == 2
    assert zoom.rows["a.outer"].tolist() == [0, 0, 1, 1, 2, 2] and zoom.begins["a.outer"].tolist() == [0, 0.5] * 3
    assert zoom.rows["b.inner"].tolist() == [0, 1] and zoom.width["b.inner"].tolist() == [1, 1]


def test_rows_keep_the_old_chain_s_sense(mesh):
    zoom = zoomed(mesh, whole(mesh), {"a", "b"}, NONE)
    for name in mesh.edges:
        old, new = mesh.nodes[mesh.edge_nodes(name)], zoom.mesh.nodes[zoom.mesh.edge_nodes(name)]
        np.testing.assert_allclose(new[::2], old, atol=1e-12)


def test_the_cut_is_where_the_old_mesh_went_on(mesh):
    """Of a's lowest row the upper side, but not its boundary; what was cut before stays cut."""
    row = {"a": np.isin(np.arange(9), [0, 3, 6])}
    zoom = zoomed(mesh, row, {"a"}, NONE)
    assert set(zoom.mesh.cells) == {"a"} and "b.inner" not in zoom.mesh.edges
    upper = zoom.mesh.nodes[:, 1] > 0.999 + 0.1 * zoom.mesh.nodes[:, 0]
    assert set(zoom.cut) == set(np.flatnonzero(upper)) and len(zoom.cut) == 13
    low = mesh.nodes[:, 1] == 0
    again = zoomed(mesh, row, {"a"}, np.flatnonzero(low))
    assert set(again.cut) == set(np.flatnonzero(upper | (again.mesh.nodes[:, 1] == 0)))


def test_new_nodes_of_an_arc_lie_on_it():
    """A quarter ring of radius 1 in two elements: the parabolas miss the circle by 5e-4, its new nodes do not; straight sides stay."""
    nodes, cells, sides = strip(np.array([1, 2.0]), np.array([0, 1, 2.0]))
    angle = nodes[:, 1] * np.pi / 4
    mesh = Mesh.build(
        np.column_stack([5 + nodes[:, 0] * np.cos(angle), nodes[:, 0] * np.sin(angle)]), {"a": cells}, {"a.arc": sides["inner"], "a.low": sides["bottom"]}
    )
    centre = np.array([5.0, 0.0])
    arc = Arc(("a.arc", "a.low"), centre, 1.0, centre + np.array([[1, 0], [0, 1.0]]))
    off = lambda zoom: np.abs(np.hypot(*(zoom.mesh.nodes[zoom.mesh.edge_nodes("a.arc")] - centre).T) - 1).max()
    loose, fitted = (zoomed(mesh, whole(mesh), {"a"}, NONE, arcs) for arcs in ((), (arc,)))
    assert off(loose) > 4e-4 and off(fitted) < 1e-14
    np.testing.assert_array_equal(loose.mesh.nodes[loose.mesh.edge_nodes("a.low")], fitted.mesh.nodes[fitted.mesh.edge_nodes("a.low")])
