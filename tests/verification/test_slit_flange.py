"""Through slit in a sleeve with a flange, closed by a rigid cone: the simulation against 3D results.

F is the radial cone force for an advance d of the cone along its normal, k = F/(E d); flange held at its back only.
"""

import math

import numpy as np
import pytest
from helpers.contact import rigid, seat
from helpers.contact import solve as press
from helpers.slit_rings import TINY, filled, law, softened, stations
from helpers.slits import SOURCE, TABLES
from helpers.solids import hold
from pytest import approx

from colletfea.cases.hand.geometry import Flange, Wall
from colletfea.cases.hand.slit_model import Slits
from colletfea.fea.bodies.elastic import Elastic
from colletfea.fea.bodies.solid import Body
from colletfea.fea.contact.pair import Pair
from colletfea.fea.elements.grids import block, join, spread
from colletfea.fea.elements.mesh import Mesh
from colletfea.fea.model.drives import R, Z
from colletfea.fea.model.model import Model

pytestmark = pytest.mark.verification(source=SOURCE)
TABLE = TABLES["flange"]
LAW = Elastic(TABLE["young"], TABLE["poisson"])
CUTS = pytest.mark.parametrize("kind", ["cut", "uncut"])


def wall_of(geometry):
    return Wall(geometry["bore_radius"], geometry["nose_wall"], geometry["L"], geometry["tan_taper"])


def grids(geometry, wall, step):
    """Sleeve, flange and ring to 1 mm before the nose; sleeve and flange meet node by node at z = 0."""
    inner, outer, length = wall.bore_radius, lambda z: wall.bore_radius + wall.thickness(z), wall.length
    layers = spread(0, 1, 4)
    beyond = stations(outer(0.0), geometry["flange_radius"], (), 1.0)
    across = np.append(inner + layers * wall.thickness(0.0), beyond[1:]) - inner
    start, stop = geometry["start"], length - 1.0
    return {
        "sleeve": block(inner, outer, stations(0.0, length, (start, stop), step), layers),
        "flange": block(
            inner,
            inner + across[-1],
            stations(-geometry["flange_thickness"], 0.0, (), 1.0),
            across / across[-1],
        ),
        "ring": block(outer, lambda z: outer(z) + 2, stations(start, stop, (), step), spread(0, 1, 1)),
    }


def welded(bodies):
    """Mesh in which sleeve and flange share their nodes."""
    mesh = join(bodies)
    loose = sum(
        k * np.isin(np.arange(len(mesh.nodes)), mesh.cells.get(b, [])) for k, b in ((1, "ring"), (2, "shaft"))
    )
    key = np.column_stack([np.round(mesh.nodes * 1e7), loose])
    _, first, place = np.unique(key, axis=0, return_index=True, return_inverse=True)
    inside = {"sleeve.bottom", "flange.top"}
    place = place.ravel()
    edges = {name: place[rows] for name, rows in mesh.edges.items() if name not in inside}
    return Mesh.build(mesh.nodes[first], {name: place[rows] for name, rows in mesh.cells.items()}, edges)


def flanged(geometry, kind, step=0.6, clearance=None):
    """Model of sleeve, flange and rigid ring; with a clearance [mm] also of a rigid shaft, under the sleeve alone."""
    wall = wall_of(geometry)
    flange = Flange(geometry["flange_thickness"], geometry["flange_radius"])
    slits = law(wall, Slits("through", 1, geometry["w"], 0.0, kind == "cut"), flange, geometry["start"])
    bodies = {
        "sleeve": softened(slits, elastic=LAW),
        "flange": Body(
            LAW, lambda r, z: np.full(r.shape, slits.flange_ratio), lambda r, z: slits.flange_fill(r)
        ),
        "ring": Body(LAW),
    }
    parts = grids(geometry, wall, step)
    pairs = [Pair("cone", "ring.inner", "sleeve.outer", LAW.young, leader_fill=filled(slits))]
    if clearance is not None:
        seat_radius = wall.bore_radius - clearance
        along = stations(0.0, wall.length + 0.5, (), step)
        parts["shaft"] = block(seat_radius - 2, seat_radius, along, spread(0, 1, 1))
        bodies["shaft"] = Body(LAW)
        pairs.append(Pair("bore", "sleeve.inner", "shaft.outer", LAW.young, follower_fill=filled(slits)))
    return Model.build(welded(parts), bodies, pairs)


def advanced(model, geometry, distance, targets=(1.0,)):
    """States with the cone moved along its normal by targets times distance [mm]."""
    way, angle = np.full(len(model.mesh.body_nodes("ring")), -distance), math.atan(wall_of(geometry).slope)
    motion = {R: lambda t: way * t * math.cos(angle), Z: lambda t: way * t * math.sin(angle)}
    drives = [*rigid(model.mesh, "ring", motion), hold("flange.bottom", Z)]
    if "shaft" in model.mesh.cells:
        drives += rigid(model.mesh, "shaft")
    return press(model, drives, targets, condensed=True)


def closed(geometry, kind, step=0.6):
    """k [mm], and the bore's closing over d at its stations z [mm]."""
    model = flanged(geometry, kind, step)
    state, mesh = advanced(model, geometry, TINY)[-1], model.mesh
    bore = mesh.edge_nodes("sleeve.inner")
    bore = bore[np.argsort(mesh.nodes[bore, 1])]
    closing = -state.u.reshape(-1, 2)[bore, R] / TINY
    return seat(model, state, "cone")[1].radial_force / (LAW.young * TINY), mesh.nodes[bore, 1], closing


def within_limits(geometry):
    """Where the laws hold: mean wall t/r >= 0.15 and the cone's start at 0.3 r or before."""
    wall = wall_of(geometry)
    middle = wall.length / 2
    return wall.thickness(middle) >= 0.15 * wall.radius(middle) and geometry["start"] <= 0.3 * wall.radius(
        0.0
    )


@CUTS
@pytest.mark.parametrize(
    "row", [row for row in TABLE["geometries"] if within_limits(row["geometry"])], ids=lambda row: row["case"]
)
def test_closing_stiffness_with_a_flange(row, kind):
    """Cut 7 % (measured -3.9 to +4.9 %), uncut 12 % (measured -9.7 to 0 %; k of 3D is some 2 % high on its mesh)."""
    stiffness = closed(row["geometry"], kind)[0]
    assert stiffness == approx(row[f"k_{kind}"], rel=0.07 if kind == "cut" else 0.12)


@CUTS
def test_forces_that_close_the_example(kind):
    """Force at which the mean closing takes up 0.0135 mm at the first place, over half and over all of the length.

    Cut 3.5 % (measured +3.3, +2.1, +3.0 %), uncut 4 % (measured -1.8, -3.0, +0.4 %); 3D on its fine mesh.
    """
    stiffness, z, closing = closed(TABLE["geometries"][0]["geometry"], kind)
    evenly = np.interp(np.linspace(0, z[-1], 2001), z, closing)
    advances = TABLE["radial_clearance"] / np.array([evenly.max(), np.median(evenly), evenly.min()])
    target = next(row for row in TABLE["example"] if row["kind"] == kind)
    expected = [target[name] for name in ("mean_first_N", "half_length_N", "whole_length_N")]
    assert stiffness * LAW.young * advances == approx(expected, rel=0.035 if kind == "cut" else 0.04)


@CUTS
def test_bore_closing_along_the_example(kind):
    """Mean bore closing over d along z; 0.05 (measured 0.047 uncut; 0.038 cut: the law moves the flange along)."""
    profile = TABLE["example_profile"]
    _, z, closing = closed(TABLE["geometries"][0]["geometry"], kind)
    assert np.interp(profile["z"], z, closing) == approx(profile[kind], abs=0.05)


@CUTS
def test_forces_with_cone_and_shaft_in_contact(kind):
    """Example, cone advanced by 1.1 to 2 clearances: cone and bore force within 10 % of 3D cut (measured -10.0 to -7.4 %), 6 %
    uncut (measured -5.8 to -3.3 %), and within 0.02 of the errors that the study found with the same law (measured 0.013;
    its nodal contact reaches half an element over the cone's ends)."""
    geometry = TABLE["geometries"][0]["geometry"]
    rows = [row for row in TABLE["both_in_contact"] if row["advance_over_clearance"] >= 1.1]
    model = flanged(geometry, kind, clearance=TINY)
    advances = [row["advance_over_clearance"] * TINY for row in rows]
    targets = [0.5, *(advance / advances[-1] for advance in advances)]
    states = advanced(model, geometry, advances[-1], targets)
    for row, state in zip(rows, states[1:], strict=True):
        forces = [seat(model, state, name)[1].radial_force for name in ("cone", "bore")]
        target = np.array(row[kind]["cone_bore_N"]) * TINY / TABLE["radial_clearance"]
        assert forces == approx(target, rel=0.10 if kind == "cut" else 0.06)
        assert np.array(forces) / target - 1 == approx(np.array(row[kind][f"{kind}_law"]), abs=0.02)
