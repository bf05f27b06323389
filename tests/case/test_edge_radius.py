"""With rounded edges the cone's largest pressure is a value; with sharp ones it grows with every refinement."""

import copy
from functools import cache

import numpy as np
import pytest
from helpers.push import BASE

from colletfea.cases.simulation import push
from colletfea.cases.simulation.model import section
from colletfea.cases.hand.calculation import hand
from colletfea.cases.casefile.case import Case
from colletfea.cases.simulation.plan import plan
from colletfea.fea.contact.resultants import pair_points, profile, resultant
from colletfea.meshing.rounding import rounded_edges

THROUGH = {"pattern": "through", "count": 1, "width": 3}
FINGERS = {"pattern": "fingers", "count": 6, "width": 2, "depth": 25}
#: shafts of 20, 80 and 30 mm; tapers of 4, 6 and 8 degrees; walls of 2, 6 and 3 mm; peaks of 900, 1500 and 3200 MPa
DESIGNS = {
    "small, slit": BASE,
    "large, slit": {
        "shaft": {"diameter": 80},
        "sleeve": {"length": 60, "nose_wall": 6, "taper": 6, "clearance": 0.1, "slits": THROUGH},
        "ring": {"length": 45, "outer_diameter": 150, "start": 6},
        "friction": {"cone": 0.1, "bore": 0.15},
        "push": {"travel": 1.0},
    },
    "fingers": {
        "shaft": {"diameter": 30},
        "sleeve": {"length": 35, "nose_wall": 3, "taper": 8, "clearance": 0.06, "slits": FINGERS},
        "ring": {"length": 20, "outer_diameter": 62, "start": 12},
        "friction": {"cone": 0.1, "bore": 0.12},
        "push": {"travel": 0.5},
    },
}


@cache
def pushed(name, level, radius):
    tables = copy.deepcopy(DESIGNS[name])
    tables["ring"]["edge_radius"] = radius
    if name != "large, slit":  # half the increments, half the time
        tables["solver"] = {"increments": 5}
    case = Case.from_tables(tables, name)
    done = push.push(case, plan(case, hand(case), level), level, lambda fraction, text: None)
    assert done.reason == "travel", done.message
    return case, done


def peak(name, level, radius):
    _, done = pushed(name, level, radius)
    return resultant(done.model.contact, done.states[-1].contact, "cone").peak_pressure


@pytest.mark.slow
@pytest.mark.parametrize("name", DESIGNS)
def test_a_rounded_edge_s_peak_settles(name):
    """0.3 mm: less than 5 % from the default to the fine mesh, measured -2.8, 0.0 and -0.3 %."""
    assert peak(name, "fine", 0.3) == pytest.approx(peak(name, "default", 0.3), rel=0.05)


@pytest.mark.slow
@pytest.mark.parametrize("name", DESIGNS)
def test_a_sharp_edge_s_peak_grows(name):
    """Measured 25 to 37 %."""
    assert peak(name, "fine", 0.0) > 1.15 * peak(name, "default", 0.0)


@pytest.mark.slow
@pytest.mark.verification(source="Rounded edge of a flat face on a half plane, derived here")
@pytest.mark.parametrize("name", DESIGNS)
def test_peak_and_width_of_the_pressure_on_the_arc_fit_the_half_plane(name):
    """A flat face that bends into an arc of radius R at s = 0, on a half plane, pressed up to s = d on the arc.

    Inside contact the surfaces' slopes differ by (d - x)/R for 0 < x < d, x counted from the contact's end, and not
    at all beyond. The plane's singular integral equation for pressure without a singular end then gives
    p = E* d/(2 pi R) f(x/d), f(y) = 2 y^1/2 + (1 - y) ln |(1 + y^1/2)/(1 - y^1/2)|, largest at y = 0.695.
    Same limit as a rounded flat punch: Ciavarella, Hills & Monno 1998 (from memory). Friction between like
    materials leaves the pressure alone. Within 6 %: measured -4.3 to +0.4 %; the width is read from the outermost
    contact point that is pressed, and the largest element mean is less than the largest pressure.
    """
    case, done = pushed(name, "fine", 0.3)
    y = np.linspace(1e-4, 0.999, 20000)
    root = np.sqrt(y)
    top = np.max(2 * root + (1 - y) * np.log((1 + root) / (1 - root)))
    width = _width(case, done)
    material = case.ring.material
    modulus = material.young / (1 - material.poisson**2) / 2
    expected = modulus * width / (2 * np.pi * 0.3) * top
    assert leading_peak(done) == pytest.approx(expected, rel=0.06)


def _points(done):
    last, contact = done.states[-1].contact, done.model.contact
    points = pair_points(contact, "cone")
    return last.position[points, 1], last.pressure[points]


def leading_peak(done):
    """Largest element mean on the ring's leading half."""
    cone = profile(done.model.contact, done.states[-1].contact, "cone")
    z = cone.position[:, 1]
    return cone.pressure[z < (z.min() + z.max()) / 2].max()


def _width(case, done):
    """Length [mm] of contact on the arc at the ring's leading edge, along z."""
    mesh, last = done.model.mesh, done.states[-1]
    edge = rounded_edges(section(case, last.t, done.size))["ring leading"]
    own = mesh.edge_nodes("ring.cone")
    node = own[np.argmin(np.hypot(*(mesh.nodes[own] - edge.at).T))]
    z, pressure = _points(done)
    return mesh.nodes[node, 1] + last.u[2 * node + 1] - z[pressure > 0].min()
