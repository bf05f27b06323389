"""Meshes of single sections: edges where they belong, arcs on the arc, refinement where it is wanted."""

from math import tan

import numpy as np
import pytest
from helpers.sections import FLANGED, PLAIN, ROUNDED, vary

from colletfea.fea.elements.mesh import Mesh
from colletfea.fea.errors import MeshError
from colletfea.meshing import build as build_module
from colletfea.meshing.build import build
from colletfea.meshing.outlines import edge_names
from colletfea.meshing.section import default_size


def corners(mesh, name):
    """Corner nodes (k+1, 2) of an edge, along its chain."""
    return mesh.nodes[mesh.edge_nodes(name)[::2]]


def steps(mesh, name, low, high):
    """Lengths of the edge's element sides that reach into low < z < high."""
    x = corners(mesh, name)
    z = np.sort(np.column_stack([x[1:, 1], x[:-1, 1]]), axis=1)
    return np.hypot(*np.diff(x, axis=0).T)[(z[:, 1] > low + 1e-9) & (z[:, 0] < high - 1e-9)]


@pytest.mark.parametrize("section", [PLAIN, FLANGED, ROUNDED], ids=["plain", "flanged", "rounded"])
def test_edges_lie_where_they_are_named(section):
    mesh = build(section)
    assert set(mesh.edges) == set(edge_names(section))
    low, high = -section.flange_thickness - section.beyond_back, section.length + section.beyond_front
    places = {
        "shaft.seat": (0, section.shaft_radius),
        "shaft.back": (1, low),
        "shaft.front": (1, high),
        "sleeve.back": (1, -section.flange_thickness),
        "ring.outside": (0, section.ring_radius),
    }
    for name, (axis, value) in places.items():
        assert corners(mesh, name)[:, axis] == pytest.approx(value, abs=1e-12), name


@pytest.mark.parametrize("beyond", [0.0, 0.3, 20.0])
def test_seat_reaches_past_the_sleeve_as_far_as_the_shaft_does(beyond):
    """To the next element boundary: elements grow by 0.3 of their distance from the sleeve, from a quarter of the size."""
    section = vary(beyond_back=beyond, beyond_front=beyond)
    mesh = build(section)
    z = corners(mesh, "shaft.seat")[:, 1]
    past = min(beyond, 0.15 * section.length)
    longest = 1.1 * (default_size(section) / 4 + 0.3 * past)
    for reach in (-z.min(), z.max() - section.length):
        assert past - 1e-9 <= reach <= min(beyond, past + longest) + 1e-9


def test_flange_shares_nodes_with_the_sleeve_and_keeps_its_bore_out_of_the_seat():
    mesh = build(FLANGED)
    shared = np.intersect1d(mesh.body_nodes("flange"), mesh.body_nodes("sleeve"))
    assert mesh.nodes[shared, 1] == pytest.approx(0, abs=1e-12)
    assert len(shared) >= 7
    z = corners(mesh, "sleeve.bore")[:, 1]
    assert (z.min(), z.max()) == (0, FLANGED.length)
    r = corners(mesh, "flange.front")[:, 0]
    assert r.min() == pytest.approx(FLANGED.root_radius) and r.max() == pytest.approx(FLANGED.flange_radius)


def test_each_edge_takes_its_half_of_the_arc():
    """Every node off the straight faces lies on the arc; bore and nose meet at 45 degrees on it."""
    mesh = build(ROUNDED)
    radius, nose = ROUNDED.nose_radius, ROUNDED.length
    centre = ROUNDED.bore_radius + radius, nose - radius
    x = mesh.nodes[mesh.edge_nodes("sleeve.bore")]
    arc = x[x[:, 1] > centre[1] + 1e-9]
    assert len(arc) == 2  # one element a half arc
    assert np.hypot(*(arc - centre).T) == pytest.approx(radius, rel=1e-9)
    end = arc[np.argmax(arc[:, 1])]
    assert end == pytest.approx(np.array(centre) + radius * np.array([-1, 1]) / np.sqrt(2), abs=1e-9)
    assert np.intersect1d(mesh.edge_nodes("sleeve.bore"), mesh.edge_nodes("sleeve.nose")).size == 1
    assert np.intersect1d(mesh.edge_nodes("ring.cone"), mesh.edge_nodes("ring.leading")).size == 1


def test_stations_are_element_boundaries_through_the_whole_wall():
    section = vary(ROUNDED, stations=(4.0, 5.5), flange_thickness=2.0, flange_radius=12.0)
    mesh = build(section)
    for z in section.stations:
        for name in ("sleeve.bore", "sleeve.cone"):
            assert np.min(abs(corners(mesh, name)[:, 1] - z)) < 1e-9
        on = mesh.body_nodes("sleeve")[abs(mesh.nodes[mesh.body_nodes("sleeve"), 1] - z) < 1e-9]
        wall = section.nose_wall + (section.length - z) * tan(section.taper)
        assert np.ptp(mesh.nodes[on, 0]) == pytest.approx(wall) and len(on) >= 7


def test_contact_ends_are_graded_to_a_quarter_of_the_size():
    size, mesh = default_size(PLAIN), build(PLAIN)
    ends = {
        "sleeve.bore": (0, PLAIN.length),
        "sleeve.cone": (0, PLAIN.length),
        "shaft.seat": (0, PLAIN.length),
        "ring.cone": (PLAIN.ring_start, PLAIN.ring_end),
    }
    for name, places in ends.items():
        for z in places:
            assert steps(mesh, name, z - 1e-6, z + 1e-6).max() < 0.35 * size, name


def test_swept_stretches_are_refined_and_contacts_keep_their_size():
    size, mesh = default_size(PLAIN), build(PLAIN)
    assert steps(mesh, "ring.cone", PLAIN.length, PLAIN.length + PLAIN.travel).max() < size / 2
    assert steps(mesh, "sleeve.cone", PLAIN.ring_start - PLAIN.travel, PLAIN.ring_start).max() < size / 2
    for name in ("sleeve.cone", "sleeve.bore", "shaft.seat", "ring.cone"):
        assert steps(mesh, name, 0, PLAIN.length).max() < 1.1 * size, name
    on = mesh.nodes[mesh.body_nodes("shaft")]
    outside = np.sort(on[np.isclose(on[:, 0], PLAIN.shaft_radius), 1])[::2]
    assert np.diff(outside)[outside[1:] <= 0].max() > 3 * size


@pytest.mark.parametrize("section", [PLAIN, FLANGED])
def test_shaft_is_as_fine_as_the_sleeve_that_lies_on_it(section):
    """Under the middle of every sleeve element: 1.07 times its length at most (measured), for numbers are whole."""
    mesh = build(section)
    shaft, sleeve = (np.sort(mesh.nodes[mesh.edge_nodes(name), 1])[::2] for name in ("shaft.seat", "sleeve.bore"))
    under = np.searchsorted(shaft, (sleeve[:-1] + sleeve[1:]) / 2)
    assert np.max((shaft[under] - shaft[under - 1]) / np.diff(sleeve)) < 1.15


def test_half_the_size_halves_the_elements_at_contact_ends_and_between():
    """To 25 %: a stretch takes a whole number of elements."""
    coarse, fine = (build(vary(size=default_size(PLAIN) / n)) for n in (2, 4))
    for low, high in ((0, 1e-6), (6, 7), (PLAIN.length - 1e-6, PLAIN.length)):
        ratio = steps(coarse, "sleeve.bore", low, high).mean() / steps(fine, "sleeve.bore", low, high).mean()
        assert ratio == pytest.approx(2, rel=0.25)


def test_unsound_meshes_are_refused():
    mesh = build(PLAIN)
    turned = dict(mesh.cells, ring=mesh.cells["ring"][:, [0, 3, 2, 1, 7, 6, 5, 4]])
    with pytest.raises(MeshError, match="elements of the ring are inverted"):
        build_module.require_sound(Mesh(mesh.nodes, turned, mesh.edges), [{"shaft"}])
    split = mesh.cells["ring"].copy()
    shared = np.bincount(split.ravel()).argmax()
    nodes = np.vstack([mesh.nodes, mesh.nodes[shared] + 1e-12])
    split[tuple(np.argwhere(split == shared)[0])] = len(mesh.nodes)
    with pytest.raises(MeshError, match="1 pairs of nodes of the ring coincide"):
        build_module.require_sound(Mesh(nodes, {"ring": split}, mesh.edges), [{"ring"}])
