"""Where the stress of a pushed coupling can be believed: points at which two successive meshes agree.

On the whole mesh, beyond the neighbourhoods that were solved again, points clear of the ends of contacts are believed. The largest
believed stress beside a sharp edge still grows with every further halving, as such points come ever nearer to it (one design's
ring: 418 MPa a quarter of the nose wall away, 592 after two halvings, 753 after four): what a verdict can rest on is the value at
a stated distance.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from colletfea.cases.casefile.case import Case
from colletfea.cases.simulation import stress
from colletfea.cases.simulation.ladder import Ladder
from colletfea.cases.simulation.stress import PARTS, Peak
from colletfea.cases.simulation.zoom import Level
from colletfea.fea.bodies.stress import cauchy, to_nodes, von_mises
from colletfea.fea.elements.shapes import quad8

#: two meshes agree at a point where their stresses differ by less than this share, of the stress there or of so much of the part's
#: largest one clear of edges
AGREE, LITTLE = 0.05, 0.2

#: equivalent stress (...) [MPa] from Cauchy stress (..., 3, 3) [MPa] and points (..., 2), (r, z) [mm]
Equivalent = Callable[[np.ndarray, np.ndarray], np.ndarray]


@dataclass(frozen=True)
class Belief:
    """What is believed of a part: largest stress anywhere and the share of its volume; clear: largest on the finest mesh at each
    point clear of the ends of contacts.

    doubts: of each ladder, how far from its spot [mm] the two finest meshes still differ, 0 where nowhere.
    """

    anywhere: Peak
    clear: Peak
    share: float
    doubts: tuple[float, ...]


@dataclass(frozen=True)
class _Field:
    """Points (n, 2), (r, z) [mm], their stresses (n,) [MPa], volumes (n,) [mm3], and which are believed (n,)."""

    points: np.ndarray
    values: np.ndarray
    volume: np.ndarray
    believed: np.ndarray


def believe(case: Case, ladders: Sequence[Ladder], whole: Level, part: str, equivalent: Equivalent | None = None) -> Belief:
    """What can be believed of the equivalent stress of a part, by default von Mises'."""
    equivalent = equivalent or (lambda tensor, points: von_mises(tensor))
    bodies = [body for body in PARTS[part] if body in whole.model.solid.slices]
    little = LITTLE * stress.believable(case, whole.model, whole.state)[part].value
    fields = [f for body in bodies for f in _fields(case, ladders, whole, body, equivalent, little)]
    points, values, volume, believed = (np.concatenate([getattr(f, name) for f in fields]) for name in ("points", "values", "volume", "believed"))
    clear = stress.clear_of_ends(case, whole.model, whole.state, points)
    peaks = (_peak(part, points, values, some) for some in (believed, clear))
    doubts = tuple(_doubt(ladder, bodies, points[~believed]) for ladder in ladders)
    return Belief(*peaks, float(volume[believed].sum() / volume.sum()), doubts)


def _peak(part: str, points: np.ndarray, values: np.ndarray, some: np.ndarray) -> Peak:
    k = int(np.argmax(np.where(some, values, -np.inf)))
    return Peak(part, float(values[k]), *map(float, points[k]))


def _doubt(ladder: Ladder, bodies: Sequence[str], points: np.ndarray) -> float:
    """How far from the ladder's spot [mm] the points lie that are its own."""
    away = [np.hypot(*(points - place).T) for body, place in ladder.spot.focus(ladder.levels[0]).items() if body in bodies]
    return max((float(d[d < ladder.reach].max(initial=0.0)) for d in away), default=0.0)


def _fields(case: Case, ladders: Sequence[Ladder], whole: Level, body: str, equivalent: Equivalent, little: float) -> list[_Field]:
    """The finest stress known at each point of a body: the whole mesh outside the neighbourhoods, each of their levels outside the next."""
    climbed = [ladder.levels for ladder in ladders if len(ladder.levels) > 1]
    outside = np.ones(len(whole.model.mesh.cells[body]), bool)
    for levels in climbed:
        outside[levels[1].zoom.origin.get(body, np.empty(0, int))] = False
    here = _Stress.of(whole, body, equivalent)
    found = [here.field(outside, stress.clear_of_ends(case, whole.model, whole.state, here.points))]
    for levels in climbed:
        for before, level, after in zip(levels, levels[1:], [*levels[2:], None]):
            if body not in level.model.solid.slices:
                break
            outside = np.ones(len(level.model.mesh.cells[body]), bool)
            if after is not None:
                outside[after.zoom.origin.get(body, np.empty(0, int))] = False
            here = _Stress.of(level, body, equivalent)
            found.append(here.field(outside, _agreement(before, level, body, equivalent, here.values, little)))
    return found


def _agreement(before: Level, level: Level, body: str, equivalent: Equivalent, fine: np.ndarray, little: float) -> np.ndarray:
    """Points (e, q) of a body of a level, with stresses fine (e, q), at which the level before has the same stress.

    The level before is taken at its nodes, averaged over elements there, and interpolated.
    """
    solid = before.model.solid
    values = np.zeros(solid.radius.shape)
    values[solid.slices[body]] = _Stress.of(before, body, equivalent).values
    recovered = to_nodes(solid, before.model.mesh, values)[solid.slices[body]]
    origin, centre, half = (of[body] for of in (level.zoom.origin, level.zoom.centre, level.zoom.half))
    local = centre[:, None] + half[:, None] * level.model.solid.local
    shape = quad8(local.reshape(-1, 2))[0].reshape(*local.shape[:2], 8)
    there = np.einsum("eqa,ea->eq", shape, recovered[origin])
    return np.abs(there - fine) <= AGREE * np.maximum(fine, little)


@dataclass(frozen=True)
class _Stress:
    """Equivalent stress (e, q) [MPa] of a body on one level, its points (e, q, 2) and volumes (e, q)."""

    values: np.ndarray
    points: np.ndarray
    volume: np.ndarray

    @classmethod
    def of(cls, level: Level, body: str, equivalent: Equivalent) -> _Stress:
        solid = level.model.solid
        part = solid.slices[body]
        points = solid.points[part]
        return cls(equivalent(cauchy(solid, level.state.u, level.state.flow)[part], points), points, solid.volume[part])

    def field(self, elements: np.ndarray, believed: np.ndarray) -> _Field:
        """Its points in some elements (e,), believed (e, q) or not."""
        return _Field(
            self.points[elements].reshape(-1, 2), self.values[elements].ravel(), self.volume[elements].ravel(), believed[elements].ravel()
        )
