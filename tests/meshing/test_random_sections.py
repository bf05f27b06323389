"""Seeded random couplings at three sizes: sound shapes, exact areas, ring in touch."""

from math import cos, pi, sin, tan

import numpy as np
import pytest
from helpers.sections import random_section, vary

from colletfea.fea.elements.mesh import Mesh
from colletfea.fea.elements.shapes import gauss_quad
from colletfea.meshing.build import build
from colletfea.meshing.outlines import edge_names
from colletfea.meshing.quality import jacobians, quality
from colletfea.meshing.section import default_size

SEEDS = range(20)


def area(mesh: Mesh, body: str) -> float:
    return float((jacobians(mesh.nodes[mesh.cells[body]]) @ gauss_quad(3)[1]).sum())


def cut_corner(angle: float, radius: float) -> float:
    """Area between a corner of interior angle and the arc that rounds it: kite less sector."""
    return radius**2 * (1 / tan(angle / 2) - (pi - angle) / 2)


def closed_areas(s) -> dict[str, float]:
    """Areas [mm2] of the bodies from elementary geometry."""
    lead, trail = s.ring_bore()
    wall = s.nose_wall + s.length * tan(s.taper) / 2
    nose = sum(cut_corner(a, s.nose_radius) for a in (pi / 2, pi / 2 + s.taper))
    edges = sum(cut_corner(pi / 2 + sign * s.ring_taper, s.edge_radius) for sign in (1, -1))
    shaft_length = s.beyond_back + s.flange_thickness + s.length + s.beyond_front
    areas = {
        "shaft": (s.shaft_radius - s.shaft_bore) * shaft_length,
        "sleeve": wall * s.length - nose,
        "ring": s.ring_length * (s.ring_radius - (lead + trail) / 2) - edges,
    }
    if s.flange_thickness:
        areas["flange"] = (s.flange_radius - s.bore_radius) * s.flange_thickness
    return areas


def arc_error(radius: float) -> float:
    """Area [mm2] by which parabolas through three points miss four half arcs of at most 53 degrees.

    Each half arc has one element at least; one of angle t misses its segment by
    r^2 [(t - sin t)/2 - (4/3) sin(t/2) (1 - cos(t/2))].
    """
    t = (pi / 2 + 0.27) / 2
    segment, parabola = (t - sin(t)) / 2, 4 / 3 * sin(t / 2) * (1 - cos(t / 2))
    return 4 * radius**2 * abs(segment - parabola)


@pytest.mark.parametrize("seed", SEEDS)
def test_random_section_is_meshed_soundly(seed):
    section = random_section(seed)
    for factor in (1, 0.5, 2):
        sized = vary(section, size=factor * default_size(section))
        mesh, exact = build(sized), closed_areas(section)
        assert quality(mesh).smallest_scaled_jacobian > 0.2
        assert set(mesh.edges) == set(edge_names(section))
        assert set(mesh.cells) == set(exact)
        for body, value in exact.items():
            tolerance = 1e-9 * value + arc_error(
                {"sleeve": section.nose_radius, "ring": section.edge_radius}.get(body, 0)
            )
            assert area(mesh, body) == pytest.approx(value, abs=tolerance), body


@pytest.mark.parametrize("seed", SEEDS)
def test_neighbouring_elements_along_contacts_differ_little(seed):
    """Growth e^0.3 = 1.35, up to 1.65 where a short stretch takes a whole number of elements (150 seeds)."""
    mesh = build(random_section(seed))
    for name in ("shaft.seat", "sleeve.bore", "sleeve.cone", "ring.cone"):
        steps = np.hypot(*np.diff(mesh.nodes[mesh.edge_nodes(name)[::2]], axis=0).T)
        assert np.exp(abs(np.diff(np.log(steps)))).max() < 1.7, name


@pytest.mark.parametrize(
    "seed", [s for s in SEEDS if not (random_section(s).nose_radius or random_section(s).edge_radius)]
)
def test_ring_of_the_mesh_just_touches_the_sleeve(seed):
    """Smallest radial gap between the meshed, straight cones: at an end of the overlap, 0 to 1e-9 mm."""
    section = random_section(seed)
    mesh = build(section)
    sleeve, ring = (mesh.nodes[mesh.edge_nodes(name)] for name in ("sleeve.cone", "ring.cone"))
    sleeve, ring = (x[np.argsort(x[:, 1])] for x in (sleeve, ring))
    z = np.concatenate([sleeve[:, 1], ring[:, 1]])
    z = z[(z >= max(sleeve[0, 1], ring[0, 1])) & (z <= min(sleeve[-1, 1], ring[-1, 1]))]
    gap = np.interp(z, ring[:, 1], ring[:, 0]) - np.interp(z, sleeve[:, 1], sleeve[:, 0])
    assert gap.min() == pytest.approx(0, abs=1e-9)
