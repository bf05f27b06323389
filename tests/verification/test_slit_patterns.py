"""Fingers and alternating slots in the simulation, without a shaft: tip stiffness and closing against 3D results.

Slot flanks are radial planes as in 3D, r = 9; the pressure acts on the land alone.
"""

import math

import numpy as np
import pytest
from helpers_grid import join
from helpers_slit_rings import TINY, closed_by, law, sleeve, softened, straight, tapered
from helpers_slits import SOURCE, row_id, rows
from helpers_solids import STEEL, hold, solve
from pytest import approx

from cases.slits import Slits
from fea.drives import R, Z
from fea.loads import Pressure

pytestmark = pytest.mark.verification(source=SOURCE)
RADIUS = 9.0
PRESSURE = STEEL.young * TINY / 100  # [MPa] small


def pressed(model, grid, ratio, zones):
    """Mesh and displacements under pressure on the land of zones (z from, z to) [mm] of the outside."""
    outside = grid.nodes[:, 0].max() - 1e-6
    on = {
        f"sleeve.zone{k}": lambda r, z, lo=lo, hi=hi: (r > outside) & (z > lo - 1e-6) & (z < hi + 1e-6)
        for k, (lo, hi) in enumerate(zones)
    }
    mesh = join({"sleeve": grid}, on)
    lands = [PRESSURE * model.fill((lo + hi) / 2, RADIUS) for lo, hi in zones]
    loads = [Pressure(name, lambda t, land=land: land) for name, land in zip(on, lands, strict=True)]
    u = solve(mesh, {"sleeve": softened(model, RADIUS, ratio)}, [hold("sleeve.bottom", Z)], loads).u
    return mesh, u


def mean_closing(mesh, u, edge):
    """Mean inward displacement [mm] along an edge."""
    nodes = mesh.edge_nodes(edge)
    nodes = nodes[np.argsort(mesh.nodes[nodes, 1])]
    z = mesh.nodes[nodes, 1]
    return -np.trapezoid(u[nodes, R], z) / (z[-1] - z[0])


@pytest.mark.parametrize("row", rows("fingers", "stiffness_columns", "stiffness"), ids=row_id)
def test_tip_stiffness_of_fingers(row):
    """Pressure on the last tenth: -15 to +12 % of 3D (measured -14.4 to +11.7 %), and the error found with the same
    law by another ring model within 3 % (measured 0.3 to 2.8 %, most for short fingers of a thick wall)."""
    wall, count = straight(RADIUS, row["t"], row["L"]), int(row["n"])
    model = law(wall, Slits("fingers", count, 1.0, 0.7 * row["L"]))
    band = (0.9 * row["L"], row["L"])
    grid = sleeve(wall, row["L"] / 36, (*model.breakpoints(), band[0]))
    mesh, u = pressed(model, grid, None, [band])
    force = (
        2 * math.pi * (RADIUS + row["t"] / 2) * (band[1] - band[0]) * PRESSURE * model.fill(row["L"], RADIUS)
    )
    error = force / mean_closing(mesh, u, "sleeve.zone0") / row["K_p"] - 1
    assert -0.15 < error < 0.12
    printed = {
        (r["L"], r["t"], r["n"], r["w"], r["slot_share"]): r["error_tip"] for r in rows("finger_cases")
    }
    assert error == approx(printed[row["L"], row["t"], row["n"], 1.0, 0.7], abs=0.03)


@pytest.mark.parametrize("row", rows("alternating"), ids=row_id)
def test_closing_of_alternating_slots_under_pressure(row):
    """Mean closing times E/p with the table's hoop ratio for pressure put in: 5.5 % (measured -5.2 to -0.1 %)."""
    length, depth = row["L"], row["slot_share"] * row["L"]
    wall = straight(RADIUS, row["t"], length)
    model = law(wall, Slits("alternating", int(row["n"]), row["w"], depth))
    grid = sleeve(wall, length / 20, model.breakpoints(), layers=2)
    zones = [(0.0, length - depth), (length - depth, depth), (depth, length)]
    mesh, u = pressed(model, grid, row["eta_u"], zones)
    closing = mean_closing(mesh, u, "sleeve.inner") * STEEL.young / PRESSURE
    assert closing == approx(row["E_mean_over_p"], rel=0.055)


@pytest.mark.parametrize("row", rows("alternating_tapered"), ids=row_id)
def test_closing_force_of_tapered_alternating_slots(row):
    """Uniform closing, the law's own local ratio: 15 % of 3D (measured -0.5 to +14.9 %)."""
    wall = tapered(row)
    model = law(wall, Slits("alternating", int(row["n"]), 1.0, 0.8 * row["L"]))
    force = closed_by(sleeve(wall, 0.5, model.breakpoints()), softened(model, RADIUS))
    assert force.min() > 0
    assert force.sum() == approx(row["closing_force_3d"], rel=0.15)
