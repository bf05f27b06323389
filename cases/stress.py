"""Largest stresses of each part: raw, and away from the places where an elastic peak is no stress.

At a sharp edge of contact and at a re-entrant corner the elastic stress is unbounded: it grows with
every refinement. What is reported beside the raw peak is the largest value at a stated distance from
all such places. Source: the edge behaviour is that of a flat punch, p ~ (a - r)^-1/2, e.g. Johnson,
Contact Mechanics, ch. 3 and 5 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from cases.params import Case
from fea.increment import State
from fea.model import Model
from fea.recovery import cauchy, von_mises

PARTS = {"shaft": ("shaft",), "sleeve": ("sleeve", "flange"), "ring": ("ring",)}
#: distance from a singular place, over the sleeve's nose wall
CLEAR_OF_EDGE = 0.25


@dataclass(frozen=True)
class Peak:
    """A largest von Mises stress [MPa] at an integration point, and where, undeformed (r, z) [mm]."""

    part: str
    value: float
    r: float
    z: float


def raw(model: Model, state: State) -> dict[str, Peak]:
    """Largest von Mises stress of each part at integration points."""
    return _largest(model, von_mises(cauchy(model.solid, state.u)), None)


def believable(case: Case, model: Model, state: State) -> dict[str, Peak]:
    """The same, a quarter of the nose wall away from every singular place."""
    distance = CLEAR_OF_EDGE * case.sleeve.nose_wall
    stress = von_mises(cauchy(model.solid, state.u))
    x = model.solid.points
    far = np.ones(stress.shape, bool)
    for place in singular_places(model, state):
        far &= np.hypot(x[..., 0] - place[0], x[..., 1] - place[1]) > distance
    return _largest(model, stress, far)


def singular_places(model: Model, state: State) -> np.ndarray:
    """Places (k, 2) where sharp edges end a contact, or corners re-enter, in undeformed (r, z) [mm].

    Both ends of each contact edge on its own body and, on the partner, where those ends press now.
    """
    mesh = model.mesh
    moved = mesh.nodes + state.u.reshape(-1, model.unknowns)[:, :2]
    facing = [("ring.cone", "sleeve.cone"), ("sleeve.bore", "shaft.seat")]
    places = []
    for follower, leader in facing:
        ends = mesh.edge_nodes(follower)[[0, -1]]
        partner = mesh.edge_nodes(leader)
        places += [*mesh.nodes[ends], *mesh.nodes[partner[[0, -1]]]]
        for end in moved[ends]:
            places.append(mesh.nodes[partner[np.argmin(np.hypot(*(moved[partner] - end).T))]])
        for end in moved[partner[[0, -1]]]:
            own = mesh.edge_nodes(follower)
            places.append(mesh.nodes[own[np.argmin(np.hypot(*(moved[own] - end).T))]])
    return np.array(places)


def _largest(model: Model, stress: np.ndarray, keep: np.ndarray | None) -> dict[str, Peak]:
    found = {}
    for part, bodies in PARTS.items():
        rows = np.concatenate([np.arange(len(stress))[model.solid.slices[b]] for b in bodies if b in model.solid.slices])
        values = stress[rows] if keep is None else np.where(keep[rows], stress[rows], 0.0)
        at = np.unravel_index(np.argmax(values), values.shape)
        r, z = model.solid.points[rows][at]
        found[part] = Peak(part, float(values[at]), float(r), float(z))
    return found
