"""Largest stresses of each part: raw, and away from the places where an elastic peak is no stress.

At a sharp edge of contact and at a re-entrant corner the elastic stress is unbounded: it grows with
every refinement; a rounded edge's settles, but over a strip so thin that metal flows there first. What is
reported beside the raw peak is the largest value at a stated distance from all such places. Source: the edge
behaviour is that of a flat punch, p ~ (a - r)^-1/2, e.g. Johnson, Contact Mechanics, ch. 3 and 5 (from memory).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from colletfea.cases.casefile.case import Case
from colletfea.cases.hand import shaft
from colletfea.fea.stepping.fields import at_points
from colletfea.fea.stepping.state import State
from colletfea.fea.model.model import Model
from colletfea.fea.bodies.stress import von_mises
from colletfea.meshing.rounding import LEADING, MOUTH, NOSE, TRAILING

PARTS = {"shaft": ("shaft",), "sleeve": ("sleeve", "flange"), "ring": ("ring",)}
#: contact edges whose ends are ends of a contact, what faces them, and their ends' names from low z to high; the shaft
#: goes on past the sleeve
FACING = (
    ("ring.cone", "sleeve.cone", (LEADING, TRAILING)),
    ("sleeve.cone", "ring.cone", ("", NOSE)),
    ("sleeve.bore", "shaft.seat", ("", MOUTH)),
)
#: which of points (..., 2), undeformed (r, z) [mm], are to be kept
Clear = Callable[[np.ndarray], np.ndarray]
#: points with the largest stress, which are asked about first: of four examples' questions one in ten needs the others
_FEW = 300
#: distance from an end of a contact, over the sleeve's nose wall or what is shorter
_CLEAR_OF_EDGE = 0.25


@dataclass(frozen=True)
class Peak:
    """A largest von Mises stress [MPa] at an integration point, and where, undeformed (r, z) [mm]."""

    part: str
    value: float
    r: float
    z: float


def edge_distance(case: Case) -> float:
    """How far from an end of a contact a stress counts [mm]: a quarter of the nose wall, of short parts a quarter of their length.

    So points stay clear in every part: a ring 3 mm long on a wall of 10 had none, and its stress was 0.
    """
    return _CLEAR_OF_EDGE * min(case.sleeve.nose_wall, case.sleeve.length, case.ring.length)


def raw(model: Model, state: State) -> dict[str, Peak]:
    """Largest von Mises stress [MPa] of each part over its integration points, ends of contacts included."""
    return _largest(model, at_points(model, state)[1], None)


def believable(case: Case, model: Model, state: State) -> dict[str, Peak]:
    """The same at edge_distance and more from every end of a contact."""
    return _largest(model, at_points(model, state)[1], clear_of(case, model, state))


def shaft_under_duty(case: Case, model: Model, state: State, torque: float, moment: float) -> Peak:
    """Largest von Mises stress of the shaft clear of edges, with a torque and a bending moment [N mm] at every point.

    At the seat's mouth, where the seat presses no more, they count alone (colletfea.cases.hand.shaft).
    """
    body = model.solid.slices["shaft"]
    points = model.solid.points[body]
    values = under_duty(case, torque, moment)(at_points(model, state)[0][body], points)
    values = np.where(clear_of_ends(case, model, state, points), values, 0.0)
    at = np.unravel_index(np.argmax(values), values.shape)
    return at_mouth(case, Peak("shaft", float(values[at]), *map(float, points[at])), torque, moment)


def under_duty(case: Case, torque: float, moment: float) -> Callable[[np.ndarray, np.ndarray], np.ndarray]:
    """Von Mises stress (...) [MPa] of the shaft under torque and moment [N mm], from stress (..., 3, 3) and points (..., 2).

    Torsion is exact beside a push without twist; bending takes the worse sign. Both count whole along the seat, which is safe.
    """
    d, bore = case.shaft.diameter, case.shaft.bore

    def equivalent(stress: np.ndarray, points: np.ndarray) -> np.ndarray:
        arm = points[..., 0] / (d / 2)
        shear, axial = shaft.torsion(torque, d, bore) * arm, shaft.bending(moment, d, bore) * arm
        values = np.zeros(arm.shape)
        for sign in (1, -1) if moment else (1,):
            loaded = stress.copy()
            loaded[..., 2, 2] += sign * axial
            loaded[..., 1, 2] += shear
            loaded[..., 2, 1] += shear
            values = np.maximum(values, von_mises(loaded))
        return values

    return equivalent


def at_mouth(case: Case, peak: Peak, torque: float, moment: float) -> Peak:
    """The shaft's peak, or what torque and moment [N mm] alone make at the seat's mouth where that is more."""
    d, bore = case.shaft.diameter, case.shaft.bore
    mouth = shaft.with_torsion(0.0, shaft.torsion(torque, d, bore), shaft.bending(moment, d, bore))
    return Peak("shaft", mouth, d / 2, case.sleeve.length) if mouth > peak.value else peak


def clear_of_swept(case: Case, model: Model, start: State, state: State) -> np.ndarray:
    """Integration points (e, q) clear of the stretches that the ends of contacts swept from the unloaded state start to state.

    Plastic strain there is written into the whole stretch and grows with the mesh: it is no measure of the part.
    """
    x, distance = model.solid.points, edge_distance(case)
    far = np.ones(x.shape[:2], bool)
    for (_, before), (_, now) in zip(contact_ends(model, start), contact_ends(model, state)):
        way = now - before
        share = np.clip((x - before) @ way / max(way @ way, 1e-300), 0.0, 1.0)
        far &= np.linalg.norm(x - before - share[..., None] * way, axis=-1) > distance
    return far


def clear_of_ends(case: Case, model: Model, state: State, points: np.ndarray) -> np.ndarray:
    """Which points (..., 2), undeformed (r, z) [mm], lie clear of every end of a contact, see edge_distance."""
    return clear_of(case, model, state)(points)


def clear_of(case: Case, model: Model, state: State) -> Clear:
    """The same as a function of points: the ends are looked up once."""
    distance, ends = edge_distance(case), [place for _, place in contact_ends(model, state)]

    def clear(points: np.ndarray) -> np.ndarray:
        far = np.ones(points.shape[:-1], bool)
        for r, z in ends:
            far &= (points[..., 0] - r) ** 2 + (points[..., 1] - z) ** 2 > distance**2
        return far

    return clear


def contact_ends(model: Model, state: State) -> list[tuple[str, np.ndarray]]:
    """Places (2,) where a contact ends or a corner re-enters, in undeformed (r, z) [mm], each with its edge's name.

    On the body that ends there and, on its partner, where that end presses now. Names are those of
    colletfea.meshing.rounding where an edge can be rounded, else empty.
    """
    mesh, found = model.mesh, []
    moved = mesh.nodes + state.u.reshape(-1, model.unknowns)[:, :2]
    for own, partner, names in FACING:
        other, chain = mesh.edge_nodes(partner), mesh.edge_nodes(own)
        ends = chain[[0, -1]][np.argsort(mesh.nodes[chain[[0, -1]], 1])]
        for end, name in zip(ends, names):
            facing = other[np.argmin(np.hypot(*(moved[other] - moved[end]).T))]
            found += [(name, mesh.nodes[end]), (name, mesh.nodes[facing])]
    return found


def _largest(model: Model, each: np.ndarray, keep: Clear | None) -> dict[str, Peak]:
    """Largest of values (e, q) of each part over the points to keep, all where there is no such choice."""
    found = {}
    for part, bodies in PARTS.items():
        largest = []
        for rows in (model.solid.slices[b] for b in bodies if b in model.solid.slices):
            values, points = each[rows].ravel(), model.solid.points[rows].reshape(-1, 2)
            value, at = _first_kept(values, points, keep) if keep else (np.max(values), np.argmax(values))
            largest.append(Peak(part, float(value), *map(float, points[at])))
        found[part] = max(largest, key=lambda peak: peak.value)
    return found


def _first_kept(values: np.ndarray, points: np.ndarray, keep: Clear) -> tuple[float, int]:
    """Largest of values (n,) whose point (n, 2) is kept, and its number; (0, 0) where none is.

    The largest are asked about first: who wants one number of each of many states need not know of every point.
    """
    few = np.argpartition(values, -_FEW)[-_FEW:] if len(values) > _FEW else np.arange(len(values))
    for some in (few, np.arange(len(values))):
        kept = np.where(keep(points[some]), values[some], 0.0)
        if np.any(kept):
            return kept.max(), some[np.argmax(kept)]
    return 0.0, 0
