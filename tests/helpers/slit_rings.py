"""Slit sleeves as small ring models: a wall with its slit law, closed by a prescribed displacement.

Everything is linear: the closing is TINY, results are divided by it.
"""

import math
from itertools import pairwise

import numpy as np

from colletfea.cases.hand.geometry import Flange, Wall
from colletfea.cases.hand.slit_model import Slits, slit_model
from colletfea.fea.bodies.solid import Body
from colletfea.fea.elements.grids import block, join, spread
from colletfea.fea.model.drives import R, Z
from helpers.solids import STEEL, hold, solve

TINY = 1e-5  # [mm] closing


def straight(r, t, length):
    """Wall without taper, r its mean radius."""
    return Wall(r - t / 2, t, length, 0.0)


def tapered(row):
    """Wall of a table's row with wall_base and wall_nose; bore radius 8 and length 20 where it names none."""
    length = row.get("L", 20.0)
    slope = (row["wall_base"] - row["wall_nose"]) / length
    return Wall(row.get("bore_radius", 8.0), row["wall_nose"], length, slope)


def law(wall, slits, flange=None, start=0.0):
    """Slit law of a wall."""
    return slit_model(wall, slits, flange or Flange(), start, STEEL.poisson)


def through(width):
    """One slit through the whole length."""
    return Slits("through", 1, width)


def softened(model, radius=None, ratio=None, elastic=STEEL):
    """Body with the hoop ratio and fill of a slit model; a number as ratio replaces the model's own."""
    own = np.vectorize(model.ratio, otypes=[float])
    eta = own if ratio is None else lambda z: np.full(np.shape(z), ratio)
    return Body(elastic, lambda r, z: eta(z), filled(model, radius))


def filled(model, radius=None):
    """Fill over arrays of (R, Z): slots of parallel flanks, or of radial ones that have their width at a radius [mm].

    Radial flanks are those of the 3D study's sleeves without flange.
    """
    fill = np.vectorize(model.fill, otypes=[float])
    return lambda r, z: fill(z, r if radius is None else radius)


def stations(start, end, stops, step):
    """Stations from start to end through the stops inside, intervals no longer than step, two at least."""
    ends = np.unique(np.round([start, *(s for s in stops if start < s < end), end], 9))
    parts = [spread(a, b, max(2, math.ceil((b - a) / step))) for a, b in pairwise(ends)]
    return np.concatenate([parts[0], *(part[1:] for part in parts[1:])])


def sleeve(wall, step, stops=(), layers=3):
    """Grid of the wall with element boundaries at the stops [mm]."""
    outside = lambda z: wall.bore_radius + wall.thickness(z)
    return block(wall.bore_radius, outside, stations(0.0, wall.length, stops, step), spread(0, 1, layers))


def closed_by(grid, body):
    """Nodal radial forces over E TINY [mm] of a sleeve whose outer side is moved inward by TINY all along."""
    mesh = join({"sleeve": grid})
    drives = [hold("sleeve.bottom", Z), hold("sleeve.outer", R, -TINY)]
    result = solve(mesh, {"sleeve": body}, drives)
    force = -result.model.solid.force(result.state.u).reshape(-1, 2)[mesh.edge_nodes("sleeve.outer"), R]
    return force / (body.law.young * TINY)


def moved(mesh, body, load):
    """State of a lone sleeve held at the bottom under one load."""
    return solve(mesh, {"sleeve": body}, [hold("sleeve.bottom", Z)], [load])
