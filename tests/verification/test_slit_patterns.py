"""Fingers and alternating slots in the simulation, without a shaft: tip stiffness and closing against 3D results.

In 3D slot flanks are radial planes, r = 9, and the pressure acts on the land. The errors and hoop ratios printed there
come from a ring model whose slots have parallel flanks, as the product's, with the same pressure on its own land.
"""

import math

import numpy as np
import pytest
from helpers.slit_rings import TINY, closed_by, filled, law, sleeve, softened, straight, tapered
from helpers.slits import SOURCE, row_id, rows
from helpers.solids import STEEL, hold, solve
from pytest import approx

from colletfea.cases.hand.slit_model import Slits
from colletfea.fea.bodies.solid import Body
from colletfea.fea.elements.grids import join
from colletfea.fea.model.drives import R, Z
from colletfea.fea.model.loads import Pressure

pytestmark = pytest.mark.verification(source=SOURCE)
RADIUS = 9.0
PRESSURE = STEEL.young * TINY / 100  # [MPa] small


def pressed(body, grid, zones):
    """Mesh and displacements under a pressure on the land of zones (z from, z to) [mm] of the outside."""
    outside = grid.nodes[:, 0].max()
    on = {
        f"sleeve.zone{k}": lambda r, z, lo=lo, hi=hi: (r > outside - 1e-6) & (z > lo - 1e-6) & (z < hi + 1e-6)
        for k, (lo, hi) in enumerate(zones)
    }
    mesh = join({"sleeve": grid}, on)
    fills = [float(body.fill(np.array([outside]), np.array([(lo + hi) / 2]))[0]) for lo, hi in zones]
    loads = [Pressure(name, lambda t, f=f: PRESSURE * f) for name, f in zip(on, fills, strict=True)]
    return mesh, solve(mesh, {"sleeve": body}, [hold("sleeve.bottom", Z)], loads).u


def mean_closing(mesh, u, edge):
    """Mean inward displacement [mm] along an edge."""
    nodes = mesh.edge_nodes(edge)
    nodes = nodes[np.argsort(mesh.nodes[nodes, 1])]
    z = mesh.nodes[nodes, 1]
    return -np.trapezoid(u[nodes, R], z) / (z[-1] - z[0])


def tip_stiffness(row, arcs=True):
    """Force on the land of the last tenth over that band's mean closing; without arcs, eta = 0 from the root on."""
    wall, depth, band = straight(RADIUS, row["t"], row["L"]), row["slot_share"] * row["L"], 0.9 * row["L"]
    model = law(wall, Slits("fingers", int(row["n"]), row["w"], depth))
    flat = Body(STEEL, lambda r, z: np.where(z < row["L"] - depth, 1.0, 0.0), filled(model, RADIUS))
    body = softened(model, RADIUS) if arcs else flat
    mesh, u = pressed(body, sleeve(wall, row["L"] / 36, (*model.breakpoints(), band)), [(band, row["L"])])
    area = 2 * math.pi * (RADIUS + row["t"] / 2) * (row["L"] - band)
    return area * PRESSURE * model.fill(row["L"], RADIUS) / mean_closing(mesh, u, "sleeve.zone0")


@pytest.mark.parametrize("row", rows("finger_cases"), ids=row_id)
def test_arcs_stiffen_fingers(row):
    """Tip stiffness over that of fingers without any arc stiffness, against 3D: -15 to +11 % (measured -14.5 to +11.0),
    and to 0.5 % the error that the study found with the same law (measured 0.4 %)."""
    error = tip_stiffness(row) / tip_stiffness(row, arcs=False) / row["C_tip"] - 1
    assert -0.15 < error < 0.11
    assert error == approx(row["error_tip"], abs=0.005)


@pytest.mark.parametrize("row", rows("fingers", "stiffness_columns", "stiffness"), ids=row_id)
def test_tip_stiffness_of_fingers(row):
    """Absolute, with the radial flanks of 3D: -15 to +12 % (measured -14.4 to +11.7 %; such flanks leave less land outside
    than the parallel ones of the ratio above, so errors lie 0.1 to 2.4 % higher)."""
    error = tip_stiffness({**row, "w": 1.0, "slot_share": 0.7}) / row["K_p"] - 1
    assert -0.15 < error < 0.12


@pytest.mark.parametrize("row", rows("alternating"), ids=row_id)
def test_closing_of_alternating_slots_under_pressure(row):
    """Mean closing times E/p with the table's hoop ratio for pressure put in: 1 % (measured -0.7 to +0.6 %, 5 % asked)."""
    length, depth = row["L"], row["slot_share"] * row["L"]
    wall = straight(RADIUS, row["t"], length)
    model = law(wall, Slits("alternating", int(row["n"]), row["w"], depth))
    zones = [(0.0, length - depth), (length - depth, depth), (depth, length)]
    grid = sleeve(wall, length / 20, model.breakpoints(), layers=2)
    mesh, u = pressed(softened(model, ratio=row["eta_u"]), grid, zones)
    closing = mean_closing(mesh, u, "sleeve.inner") * STEEL.young / PRESSURE
    assert closing == approx(row["E_mean_over_p"], rel=0.01)


@pytest.mark.parametrize("row", [r for r in rows("alternating") if r["slot_share"] >= 0.7], ids=row_id)
def test_closing_force_of_alternating_slots_by_formula(row):
    """Uniform closing: force with the law's ratio over that with the ratio found in 3D, 31 % (measured -29.9 to +29.3);
    and to 0.01 the formula's error as printed in whole percents (measured 0.007)."""
    wall = straight(RADIUS, row["t"], row["L"])
    model = law(wall, Slits("alternating", int(row["n"]), row["w"], row["slot_share"] * row["L"]))
    grid = sleeve(wall, row["L"] / 20, model.breakpoints(), layers=2)
    by_law, by_table = (closed_by(grid, softened(model, ratio=eta)).sum() for eta in (None, row["eta_c"]))
    assert by_law == approx(by_table, rel=0.31)
    assert by_law / by_table - 1 == approx(row["formula_error_c"], abs=0.01)


@pytest.mark.parametrize("row", rows("alternating_tapered"), ids=row_id)
def test_closing_force_of_tapered_alternating_slots(row):
    """Uniform closing, the law's own local ratio: 12 % of 3D (measured -0.7 to +11.7 %), and to half a percent the error
    that the study prints in whole ones for the same law (measured 0.3 %)."""
    wall = tapered(row)
    model = law(wall, Slits("alternating", int(row["n"]), 1.0, 0.8 * row["L"]))
    force = closed_by(sleeve(wall, 0.5, model.breakpoints()), softened(model, RADIUS))
    assert force.min() > 0
    error = force.sum() / row["closing_force_3d"] - 1
    assert abs(error) < 0.12
    assert error == approx(row["force_error"], abs=0.005)
