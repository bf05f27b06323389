"""A slit ring as a closed ring of small hoop modulus: curved-beam theory, uniform pressure outside, plane stress.

A slit thin ring has the moment p r^2 (1 + cos psi), psi from opposite the slit, and closes on average by
1.5 p r_o r_m^3/(E I); a closed ring of modulus eta E does the same with eta = t^2/(18 r_m^2).
"""

import math

import numpy as np
import pytest
from helpers_grid import block, join, spread
from helpers_slit_rings import moved
from helpers_solids import STEEL
from pytest import approx

from fea.drives import R
from fea.loads import Pressure
from fea.solid import Body

pytestmark = pytest.mark.verification(
    source="Curved-beam theory of a slit ring, derived here; piston-ring handbooks (from memory) have the same rule"
)
WALL, LOAD = 2.0, 1e-6


def closing(radius, wall=WALL):
    """Mean closing [mm] of the bore per unit of pressure."""
    ratio = wall**2 / (18 * radius**2)
    mesh = join(
        {"sleeve": block(radius - wall / 2, radius + wall / 2, spread(0, 0.1 * wall, 1), spread(0, 1, 4))}
    )
    body = Body(STEEL, lambda r, z: np.full(r.shape, ratio))
    u = moved(mesh, body, Pressure("sleeve.outer", lambda t: LOAD)).u
    return -np.mean(u[mesh.edge_nodes("sleeve.inner"), R]) / LOAD


def thin(radius, wall=WALL):
    """1.5 r_o r_m^3/(E I) with I = t^3/12 [mm/MPa]."""
    return 1.5 * (radius + wall / 2) * radius**3 / (STEEL.young * wall**3 / 12)


@pytest.mark.parametrize("slenderness", [3, 5, 10, 20, 50])
def test_closing_of_a_slit_ring(slenderness):
    """The modulus works through t/r_m as ln(r_o/r_i), (t/r_m)^2/12 less closing; with that 0.03 % (measured 0.025 %)."""
    radius = slenderness * WALL
    share = WALL / radius / math.log((radius + WALL / 2) / (radius - WALL / 2))
    assert closing(radius) == approx(thin(radius) * share, rel=3e-4)
    if slenderness >= 10:  # thin enough for the plain form: 0.3 % asked, 0.09 % measured
        assert closing(radius) == approx(thin(radius), rel=1e-3)


def test_pressure_that_closes_a_thick_slit_ring():
    """Sleeve 10/14, radial clearance 0.01: E t^3 c/(18 r_m^3 r_o) = 0.308642 MPa; 1 % (measured 0.95 %)."""
    assert 0.01 / closing(12.0, 4.0) == approx(0.308642, rel=0.01)
