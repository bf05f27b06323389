"""Fingers clamped at their root against the bending of beams whose section is an arc of a ring, inner radius 10, outer 12.

A finger moves in its own direction, its points on the whole in radius by sin(g)/g of that, g half its angle, and of a
radial load the same share bends it. So does the ring model's mean closing compare.
"""

import math

import numpy as np
import pytest
from helpers.beam import arc_section
from helpers.solids import STEEL, hold, solve
from pytest import approx

from colletfea.cases.hand.slit_formulas import finger_ratio
from colletfea.fea.bodies.solid import Body
from colletfea.fea.elements.grids import block, join, spread
from colletfea.fea.model.drives import Drive, R, Z
from colletfea.fea.model.loads import Pressure

pytestmark = pytest.mark.verification(source="Roark, properties of sections (from memory); beam theory")
INNER, OUTER, LENGTH, TINY = 10.0, 12.0, 30.0, 1e-4


@pytest.mark.parametrize(
    "degrees, moment, thin", [(22.5, 6.54422, 1.08081), (30, 11.4975, 4.47700), (45, 41.9451, 32.3662), (60, 138.813, 127.286)]
)
def test_second_moment_of_an_arc(degrees, moment, thin):
    """Printed to six figures; the thin arc's is useless for narrow fingers."""
    angle = math.radians(degrees)
    assert arc_section(angle, INNER, OUTER)[2] == approx(moment, rel=1e-5)
    bare = 11**3 * 2 * (angle + math.sin(angle) * math.cos(angle) - 2 * math.sin(angle) ** 2 / angle)
    assert bare == approx(thin, rel=1e-5)


def test_deflections_of_a_finger():
    """Half angle 30 degrees: area and centroid; 100 N at the tip; 1 MPa outside; the force for 0.05 mm."""
    area, centroid, moment = arc_section(math.radians(30), INNER, OUTER)
    assert (area, centroid) == (approx(23.0383, rel=1e-5), approx(10.5332, rel=1e-5))
    tip, pressed = beam(math.radians(30), moment)
    assert (100 * tip, pressed, 0.05 / tip) == (approx(0.372751, rel=1e-5), approx(0.503214, rel=1e-5), approx(13.4138, rel=1e-5))


def beam(angle, moment):
    """Deflection [mm] of a finger's tip by a newton there, and by a pressure of 1 MPa outside."""
    stiffness = STEEL.young * moment
    return LENGTH**3 / (3 * stiffness), 2 * OUTER * math.sin(angle) * LENGTH**4 / (8 * stiffness)


@pytest.mark.parametrize("count", [6, 8])
def test_fingers_of_the_law_bend_like_beams(count):
    """5 % at the tip (measured -4.1 and -2.6 %), where shear is least; 7.5 % under pressure (measured -6.9 and -3.5 %).

    The law allows the root no turn, as a base ring of no length. Wider fingers are no beams: by the law four are 7 %
    softer at the tip, three 46 %.
    """
    angle = math.pi / count
    tip, pressed = beam(angle, arc_section(angle, INNER, OUTER)[2])
    share = math.sin(angle) / angle
    assert closing(count, force=1.0) == approx(share**2 * tip, rel=0.05)
    assert closing(count, pressure=1.0) == approx(share * pressed, rel=0.075)


def closing(count, force=0.0, pressure=0.0):
    """Mean radial closing [mm] of the tips under a radial force [N] on each, or a pressure [MPa] outside."""
    ratio = finger_ratio((INNER + OUTER) / 2, LENGTH, 0.0, count, 0.0)
    mesh = join({"sleeve": block(INNER, OUTER, spread(0, LENGTH, 60), spread(0, 1, 4))})
    drives = [hold("sleeve.bottom", Z), hold("sleeve.bottom", R)]
    if force:
        drives.append(Drive("tip", "sleeve.top", R, force=lambda t: -TINY * count * force))
    loads = [Pressure("sleeve.outer", lambda t: TINY * pressure)] if pressure else []
    result = solve(mesh, {"sleeve": Body(STEEL, lambda r, z: np.full(r.shape, ratio))}, drives, loads)
    return -result.state.u.reshape(-1, 2)[mesh.edge_nodes("sleeve.top"), R].mean() / TINY
