"""One through slit: the simulation with the slit law closes under the force and the pressure found in 3D.

Closing by a rigid circle is a prescribed radial displacement outside; every row is checked to push only.
"""

import math

import numpy as np
import pytest
from helpers.slit_rings import closed_by, law, moved, sleeve, softened, straight, tapered, through
from helpers.slits import SOURCE, TABLES, row_id, rows
from helpers.solids import SMALL, STEEL
from pytest import approx

from colletfea.fea.bodies.solid import Body
from colletfea.fea.elements.grids import join
from colletfea.fea.model.drives import R
from colletfea.fea.model.loads import Pressure

pytestmark = pytest.mark.verification(source=SOURCE)


def closing_of_a_ring(inner, outer, ratio, poisson=STEEL.poisson):
    """Radial force over E, length and outer closing of a ring in plane stress with hoop modulus ratio * E.

    Derived here: radial stress in powers -1 +- sqrt(ratio) of r, free bore, e_t = s_t/(ratio E) - poisson s_r/E.
    """
    k = math.sqrt(ratio)
    radial = outer ** (k - 1) - inner ** (2 * k) * outer ** (-k - 1)
    hoop = k * (outer ** (k - 1) + inner ** (2 * k) * outer ** (-k - 1))
    return 2 * math.pi * radial / (hoop / ratio - poisson * radial)


def wall_law_grid(row):
    wall = straight(row["r"], row["t"], row["L"])
    return wall, law(wall, through(row["w"])), sleeve(wall, row["L"] / 10)


@pytest.mark.parametrize("row", rows("through_slit"), ids=row_id)
def test_closing_force_of_a_straight_sleeve(row):
    """Force of a ring with the hoop ratio found in 3D: with the law's ratio 3 % (measured -1.6 to +0.5 %), with that
    ratio itself 1e-5 (measured 4e-6)."""
    wall, model, grid = wall_law_grid(row)
    fill = 1 - row["w"] / (2 * math.pi * row["r"])
    target = fill * row["L"] * closing_of_a_ring(wall.bore_radius, wall.bore_radius + row["t"], row["eta_c"])
    for ratio, tolerance in ((None, 0.03), (row["eta_c"], 1e-5)):
        force = closed_by(grid, softened(model, row["r"], ratio))
        assert force.min() > 0
        assert force.sum() == approx(target, rel=tolerance)


@pytest.mark.parametrize("t, printed", TABLES["through_slit_force_ratio"]["rows"])
def test_closing_force_over_that_of_a_closed_ring(t, printed):
    """Both rings simulated, r = 9, w = 1; 3 % (measured -1.7 to +0.1 %, the print has two or three figures)."""
    for length, target in zip((4.0, 12.0, 30.0), printed, strict=True):
        _, model, grid = wall_law_grid({"r": 9.0, "t": float(t), "L": length, "w": 1.0})
        slit, closed = (closed_by(grid, body).sum() for body in (softened(model, 9.0), Body(STEEL)))
        assert slit / closed == approx(target, rel=0.03)


@pytest.mark.parametrize("row", rows("through_slit"), ids=row_id)
def test_closing_under_uniform_pressure(row):
    """Mean closing of the bore times E/p with the table's ratio for pressure; 0.15 % (measured 0.08 %)."""
    _, model, grid = wall_law_grid(row)
    land = SMALL * model.fill(0.0, row["r"])  # on the land alone; the slit's flanks are radial
    mesh = join({"sleeve": grid})
    u = moved(mesh, softened(model, row["r"], row["eta_u"]), Pressure("sleeve.outer", lambda t: land)).u
    closing = -np.mean(u[mesh.edge_nodes("sleeve.inner"), R])
    assert closing * STEEL.young / SMALL == approx(row["E_closing_over_p"], rel=1.5e-3)


@pytest.mark.parametrize("row", TABLES["through_slit_tapered"]["rows"], ids=row_id)
def test_closing_force_of_a_tapered_sleeve(row):
    """Uniform closing: 1 % of 3D (measured -0.6 to -0.1 %), 0.05 % of the other ring model (0.03 %)."""
    wall = tapered(row)
    model = law(wall, through(row["w"]))
    force = closed_by(sleeve(wall, 1.0), softened(model, wall.radius(row["L"] / 2)))
    assert force.min() > 0
    assert force.sum() == approx(row["closing_force_3d"], rel=0.01)
    assert force.sum() == approx(row["closing_force_axisymmetric"], rel=5e-4)
