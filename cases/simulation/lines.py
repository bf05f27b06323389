"""Stress along two lines of a pushed coupling: the shaft's surface, and the radius at mid-seat with Lamé's thick rings beside it.

Values are those at element nodes, averaged inside each body; between two nodes they are straight.
"""

from __future__ import annotations

from math import cos
from typing import Any

import numpy as np

from colletfea.cases.casefile.case import Case
from colletfea.cases.hand.geometry import sizes
from colletfea.cases.hand.lame import stresses
from colletfea.cases.simulation.model import BORE, CONE
from colletfea.cases.stored.names import PARTS, RADIUS, SURFACE
from colletfea.fea.bodies.stress import to_nodes
from colletfea.fea.contact.resultants import profile, resultant
from colletfea.fea.model.model import Model
from colletfea.fea.stepping.fields import at_points
from colletfea.fea.stepping.state import State

#: pairs of an element's nodes that are joined by straight pieces: its half sides, and the lines between opposite mid nodes
_PIECES = np.array([(0, 4), (4, 1), (1, 5), (5, 2), (2, 6), (6, 3), (3, 7), (7, 0), (4, 6), (5, 7)])
_COLUMNS = ("radial_MPa", "hoop_MPa", "axial_MPa", "von_mises_MPa", "lame_radial_MPa", "lame_hoop_MPa")

Row = dict[str, Any]


def rows(case: Case, model: Model, state: State) -> list[Row]:
    """Rows of both lines, see `surface` and `radius`; nothing for a part that the line misses."""
    nodal = _nodal(model, state)
    return [*surface(case, model, nodal), *radius(case, model, state, nodal)]


def surface(case: Case, model: Model, nodal: np.ndarray) -> list[Row]:
    """The shaft's surface by rising z: r, z undeformed [mm] and stresses [MPa] from nodal ones (e, 8, 4)."""
    part, reach = model.solid.slices["shaft"], case.shaft.diameter / 2
    nodes, first = np.unique(model.solid.nodes_of[part].ravel(), return_index=True)
    outside = np.abs(model.mesh.nodes[nodes, 0] - reach) < 1e-6 * reach
    at, values = model.mesh.nodes[nodes[outside]], nodal[part].reshape(-1, 4)[first[outside]]
    order = np.argsort(at[:, 1])
    return [_row(SURFACE, "shaft", *at[k], values[k]) for k in order]


def radius(case: Case, model: Model, state: State, nodal: np.ndarray) -> list[Row]:
    """All three parts by rising r at `station`; lame_* [MPa] are those of thick rings under the pressures there.

    A slit sleeve is no ring: it has none. The ring's z is where its metal lay before the travel.
    """
    z = station(case, state)
    inside, outside = _pressure(model, state, BORE, z), _pressure(model, state, CONE, z)
    loads = {"shaft": (0.0, inside), "sleeve": (inside, outside), "ring": (outside, 0.0)}
    found = []
    for part in PARTS:
        at = z + (state.t if part == "ring" else 0.0)
        r, values = _across(model, part, at, nodal)
        closed = part != "sleeve" or case.sleeve.slits.pattern == "none"
        lame = stresses(*loads[part], r[0], r[-1], r) if closed and len(r) > 1 else None
        beside = [(None, None)] * len(r) if lame is None else zip(*(side.tolist() for side in lame))
        found += [_row(RADIUS, part, *one) for one in zip(r, [at] * len(r), values, beside)]
    return found


def station(case: Case, state: State) -> float:
    """z [mm] of the middle of the seat, or of what the ring covers of it where it does not reach there."""
    drawn = sizes(case)
    low, high = max(0.0, drawn.ring.start - state.t), min(drawn.wall.length, drawn.ring.start + drawn.ring.length - state.t)
    middle = drawn.wall.length / 2
    return middle if low < middle < high else (low + high) / 2


def _nodal(model: Model, state: State) -> np.ndarray:
    """Radial, hoop, axial and von Mises stress (e, 8, 4) [MPa] at element nodes."""
    tensor, equivalent = at_points(model, state)
    *direct, equivalent = (to_nodes(model.solid, model.mesh, values) for values in (*(tensor[..., k, k] for k in range(3)), equivalent))
    return np.stack([*direct, np.maximum(equivalent, 0.0)], axis=-1)  # carried on to nodes it can fall below 0


def _pressure(model: Model, state: State, name: str, z: float) -> float:
    """Radial pressure [MPa] of a pair at z [mm], as it would act on a plain cylinder of the same radius.

    On a cone the normal pressure p and its friction push radially with p - t tan(taper) an axial length; the pair's own ratio of
    radial to normal force has both in it.
    """
    total, along = resultant(model.contact, state.contact, name), profile(model.contact, state.contact, name)
    if total.normal_force <= 0:
        return 0.0
    order = np.argsort(along.position[:, 1])
    place = along.position[order]
    slope = (place[-1, 0] - place[0, 0]) / (place[-1, 1] - place[0, 1])
    steep = total.radial_force / total.normal_force / cos(np.arctan(slope))
    return float(np.interp(z, place[:, 1], along.pressure[order])) * steep


def _across(model: Model, part: str, z: float, nodal: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Radii (n,) [mm] at which elements' pieces of a part cross z, rising, and the stresses (n, 4) [MPa] there."""
    own = model.solid.slices[part]
    ends, values = model.mesh.nodes[model.solid.nodes_of[own]][:, _PIECES], nodal[own][:, _PIECES]
    low, high = ends[..., 0, 1], ends[..., 1, 1]
    e, k = np.nonzero((np.minimum(low, high) <= z) & (z < np.maximum(low, high)))
    share = ((z - low[e, k]) / (high[e, k] - low[e, k]))[:, None]
    r, found = ((1 - share) * field[e, k, 0] + share * field[e, k, 1] for field in (ends, values))
    _, first = np.unique(np.round(r[:, 0], 9), return_index=True)  # a piece between two elements is met twice
    return r[first, 0], found[first]


def _row(line: str, part: str, r: float, z: float, values: np.ndarray, lame: tuple = (None, None)) -> Row:
    stresses = dict(zip(_COLUMNS, [*map(float, values), *lame]))
    return {"line": line, "part": part, "r_mm": float(r), "z_mm": float(z), **stresses}
