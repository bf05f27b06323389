"""Slit sleeves pressed between a rigid cone and a rigid shaft: total contact forces of 3D, with the slit law kept.

The cone moves along its normal by the clearance and a squeeze; everything is scaled to small displacements. The table
gives mean pressures on the land, whose slot flanks are radial planes with the slot's width at the mean radius; for
fingers it is the land of the slotted part.
"""

import math

import numpy as np
import pytest
from helpers.contact import rigid
from helpers.contact import solve as press
from helpers.slit_rings import filled, law, sleeve, softened, stations, tapered
from helpers.slits import SOURCE, rows
from helpers.solids import STEEL, hold
from pytest import approx

from colletfea.cases.hand.slit_model import Slits
from colletfea.fea.bodies.solid import Body
from colletfea.fea.contact.pair import Pair
from colletfea.fea.contact.resultants import pair_points
from colletfea.fea.elements.grids import block, join, spread
from colletfea.fea.model.drives import R, Z
from colletfea.fea.model.model import Model

pytestmark = pytest.mark.verification(source=SOURCE)
SCALE, LENGTH, SLOTTED = 0.01, 20.0, {"through": 20.0, "fingers": 14.0, "alternating": 16.0}


def groups():
    """Rows of one sleeve and clearance together, by growing squeeze."""
    found = {}
    for row in rows("pressed"):
        key = tuple(row[name] for name in ("pattern", "n", "wall_base", "wall_nose", "c"))
        found.setdefault(key, []).append(row)
    return [pytest.param(group, id="-".join(map(str, key))) for key, group in found.items()]


def between_cone_and_shaft(wall, model, clearance):
    """Sleeve, a rigid ring that touches its cone, and a rigid shaft a clearance away; both longer than the sleeve."""
    along = stations(-0.5, LENGTH + 0.5, (), 0.5)
    cone = lambda z: wall.bore_radius + wall.thickness(z)
    seat = wall.bore_radius - clearance
    grids = {
        "sleeve": sleeve(wall, 0.5, model.breakpoints()),
        "ring": block(cone, lambda z: cone(z) + 2, along, spread(0, 1, 1)),
        "shaft": block(seat - 2, seat, along, spread(0, 1, 1)),
    }
    radius = wall.radius(LENGTH / 2)
    fill = filled(model, radius)
    pairs = [
        Pair("cone", "sleeve.outer", "ring.inner", STEEL.young, follower_fill=fill),
        Pair("bore", "sleeve.inner", "shaft.outer", STEEL.young, follower_fill=fill),
    ]
    mesh = join(grids)
    bodies = {"sleeve": softened(model, radius), "ring": Body(STEEL), "shaft": Body(STEEL)}
    return Model.build(mesh, bodies, pairs)


def advances(model, wall, distance):
    """Drives that move the ring by distance * t [mm] along the cone's normal."""
    way, angle = np.full(len(model.mesh.body_nodes("ring")), -distance), math.atan(wall.slope)
    motion = {R: lambda t: way * t * math.cos(angle), Z: lambda t: way * t * math.sin(angle)}
    return [*rigid(model.mesh, "ring", motion), *rigid(model.mesh, "shaft"), hold("sleeve.bottom", Z)]


def land_pressure(model, state, name, start):
    """Mean pressure [MPa] of a pair on the land beyond z = start."""
    part, ev = pair_points(model.contact, name), state.contact
    area = np.where(ev.position[part, 1] > start, ev.area[part], 0.0)
    return np.sum(ev.pressure[part] * area) / np.sum(area)


@pytest.mark.parametrize("group", groups())
def test_total_forces_between_cone_and_shaft(group):
    """Measured: through slit +0.2 to +2.3 % where q/p < 1, beyond to +4.4 % in the wall 3 to 1 and, in 5 to 2, +6.1 %
    on the cone and +6.4 % on the bore; fingers +0.5 to +3.4 %; alternating -5.1 to +0.3 %. q = E t c/r^2 is what the
    clearance takes up, p the cone's pressure. A slit sleeve on its shaft carries no mean hoop force any more; the law,
    which keeps eta, still does."""
    pattern, clearance = group[0]["pattern"], group[0]["c"] * SCALE
    wall = tapered(group[0])
    slits = law(wall, Slits(pattern, group[0]["n"], 1.0, SLOTTED[pattern]))
    model = between_cone_and_shaft(wall, slits, clearance)
    furthest = group[-1]["c"] + group[-1]["s"]
    drives = advances(model, wall, furthest * SCALE)
    targets = [0.5, *((row["c"] + row["s"]) / furthest for row in group)]
    states = press(model, drives, targets, condensed=True)
    start = LENGTH - SLOTTED[pattern] if pattern == "fingers" else -1.0
    for row, state in zip(group, states[1:], strict=True):
        for side in ("cone", "bore"):
            mean = land_pressure(model, state, side, start) / SCALE
            assert mean == approx(row[f"p_{side}"], rel=tolerance(row, side))


def tolerance(row, side):
    """Relative. Where the clearance takes up more than the squeeze: 6 % and the rounding of the printed cone pressure;
    the bore, of which the study states no error, as measured and rounded up."""
    if row["pattern"] == "through" and row["q_over_p_cone"] >= 1:
        return 0.06 + 0.05 / row["p_cone"] if side == "cone" else 0.065
    if row["pattern"] == "through":
        return 0.03
    return 0.05 if row["pattern"] == "fingers" else 0.06
