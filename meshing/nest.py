"""Rings of elements about a point of an edge, ever smaller towards it.

Four columns and two rows of elements about that point make way for half rings of eight elements and,
in the middle, for a patch of four by two. Sizes along the edge, and into the body, then grow with the
distance from the point, at the cost of eight elements a ring.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from colletfea.fea.elements.mesh import Mesh
from colletfea.meshing.quality import scaled_jacobians
from colletfea.meshing.spacing import GROWTH
from colletfea.meshing.substitute import Change, substitute

_COLUMNS, _ROWS = 4, 2
#: outline of the middle patch in its elements, from its end on the edge before the point
_SQUARE = np.array([(-2, 0), (-2, 1), (-2, 2), (-1, 2), (0, 2), (1, 2), (2, 2), (2, 1), (2, 0)], float)
#: radius of the smallest ring, over the size of the elements inside it
_INNERMOST = 3.6
#: a patch about a point of a straight edge may leave its line by no more than this [mm]
_FLAT = 1e-6
#: least scaled jacobian of a new element; a patch that would need worse ones is left as it is
_SHAPE = 0.1


class Nest(NamedTuple):
    """Point `at` (2,) on a straight part of a body's edge, (r, z) [mm], about which elements shrink to `size` [mm].

    Where the straight part ends there, an arc about `centre` (2,) goes on, on the side of `vertex` (2,),
    where the edge would end if it went straight on. Both are None where the edge is straight on both sides.
    """

    body: str
    edge: str
    at: np.ndarray
    size: float
    centre: np.ndarray | None = None
    vertex: np.ndarray | None = None


def nested(mesh: Mesh, nest: Nest) -> Mesh:
    """The mesh with rings about a point; as it was where its elements are small enough or leave no room."""
    patch = _patch(mesh, nest)
    if patch is None:
        return mesh
    rim, surface = mesh.nodes[_rim(patch.nodes)], _Surface.of(nest, patch.along)
    largest = np.hypot(*(rim - nest.at).T).min() * np.exp(-GROWTH)
    count = round(np.log(largest / (_INNERMOST * nest.size)) / GROWTH)
    if count < 0:
        return mesh
    outlines = _outlines(largest * np.exp(-GROWTH * np.arange(count + 1)), surface.angles(rim[::2]))
    elements = np.concatenate([_outer(rim, outlines[0], surface), surface.points(_inner(outlines))])
    if scaled_jacobians(elements).min() < _SHAPE:
        return mesh
    change = Change(
        gone={nest.body: np.isin(mesh.cells[nest.body], patch.nodes).all(axis=1)},
        elements={nest.body: elements},
        rows={nest.edge: np.repeat(patch.rows, [1, len(outlines) + 1, len(outlines) + 1, 1])},
        sides={nest.edge: _sides(rim, outlines, surface)},
    )
    return substitute(mesh, change)


class _Patch(NamedTuple):
    """Edge rows (4,), nodes (4, 2, 8) by column and row, and the unit vector along the edge's chain at the point.

    The first side of each element is the one nearer the edge.
    """

    rows: np.ndarray
    nodes: np.ndarray
    along: np.ndarray


def _patch(mesh: Mesh, nest: Nest) -> _Patch | None:
    """The elements nearest to the point, None where there are not enough of them in columns and rows."""
    corners = mesh.nodes[mesh.edge_nodes(nest.edge)[::2]]
    k = int(np.argmin(np.hypot(*(corners - nest.at).T)))
    if nest.centre is None:
        k = min(max(k, 2), len(corners) - 3)
    if not 2 <= k <= len(corners) - 3:
        return None
    rows = np.arange(k - 2, k + 2)
    nodes = _columns(mesh.cells[nest.body], mesh.edges[nest.edge][rows, 2])
    step = corners[k + 1] - corners[k] if nest.centre is None else nest.vertex - nest.at
    along = step * np.sign(step @ (corners[k + 1] - corners[k - 1])) / np.hypot(*step)
    ends = corners[[k - 2, k + 2]] - nest.at
    bent = nest.centre is None and np.abs(ends @ [-along[1], along[0]]).max() > _FLAT
    return None if nodes is None or bent else _Patch(rows, nodes, along)


def _columns(cells: np.ndarray, middles: np.ndarray) -> np.ndarray | None:
    """Nodes (4, 2, 8) of the elements on the sides with these middle nodes, and of those behind them."""
    patch = np.empty((_COLUMNS, _ROWS, 8), int)
    for column, middle in enumerate(middles):
        last = -1
        for row in range(_ROWS):
            found = [(c, s) for c, s in np.argwhere(cells[:, 4:] == middle) if c != last]
            if not found:
                return None
            (cell, side), *_ = found
            patch[column, row] = np.roll(cells[cell].reshape(2, 4), -side, axis=1).ravel()
            middle, last = patch[column, row, 6], cell
    joined = np.array_equal(patch[1:][..., [0, 7, 3]], patch[:-1][..., [1, 5, 2]])
    return patch if joined else None


@dataclass(frozen=True)
class _Surface:
    """Coordinates about a point: s along the edge as its chain runs, n into the body [mm].

    `sense` tells on which side the edge bends into the arc about `centre`: s > 0, s < 0, or neither (0).
    """

    at: np.ndarray
    tangent: np.ndarray
    centre: np.ndarray
    sense: float

    @classmethod
    def of(cls, nest: Nest, along: np.ndarray) -> _Surface:
        if nest.centre is None:
            return cls(nest.at, along, nest.at, 0.0)
        return cls(nest.at, along, nest.centre, float(np.sign((nest.vertex - nest.at) @ along)))

    @property
    def normal(self) -> np.ndarray:
        """Unit vector (2,), (r, z), into the body at the point."""
        return np.array([-self.tangent[1], self.tangent[0]])

    @property
    def radius(self) -> float:
        """Radius of the arc [mm]."""
        return float(np.hypot(*(self.at - self.centre)))

    def points(self, places: np.ndarray) -> np.ndarray:
        """(r, z) [mm] (..., 2) of places (..., 2) given as (s, n) [mm]."""
        s, n = places[..., :1], places[..., 1:]
        straight = self.at + s * self.tangent + n * self.normal
        if not self.sense:
            return straight
        inwards = np.cos(s / self.radius) * self.normal - np.sin(s / self.radius) * self.tangent
        return np.where(self.sense * s > 0, self.centre - (self.radius - n) * inwards, straight)

    def along(self, point: np.ndarray) -> float:
        """s [mm] of a point (2,), (r, z) [mm], on the edge."""
        s = float((point - self.at) @ self.tangent)
        return self.radius * float(np.arcsin(np.clip(s / self.radius, -1, 1))) if self.sense * s > 0 else s

    def angles(self, points: np.ndarray) -> np.ndarray:
        """Angles (k,) [rad] from s > 0 towards the inside, of points (k, 2) from the edge to the edge."""
        away = points - self.at
        angle = np.arctan2(away @ self.normal, away @ self.tangent)
        angle[[0, -1]] = np.pi, 0
        return angle


def _rim(patch: np.ndarray) -> np.ndarray:
    """Nodes (17,) on the outline of the patch, corners and middles in turn, from its start on the edge."""
    left = patch[0, :, [0, 7]].T.ravel()
    top = patch[:, -1, [3, 6]].ravel()
    right = patch[-1, ::-1, [2, 5]].T.ravel()
    return np.concatenate([left, top, right, patch[-1, 0, [1]]])


def _outlines(radii: np.ndarray, outermost: np.ndarray) -> np.ndarray:
    """Places (k + 1, 9, 2) of the corners on half rings of falling radii (k,), and on the middle patch.

    The outermost ring's corners face those of the old patch, at angles outermost (9,); those of the others
    turn step by step towards those of the new one.
    """
    share = np.linspace(0, 1, len(radii))[:, None]
    angle = (1 - share) * outermost + share * np.arctan2(_SQUARE[:, 1], _SQUARE[:, 0])
    rings = radii[:, None, None] * np.stack([np.cos(angle), np.sin(angle)], axis=-1)
    rings[:, [0, -1], 1] = 0
    return np.concatenate([rings, radii[-1:, None, None] / _INNERMOST * _SQUARE])


def _outer(rim: np.ndarray, outline: np.ndarray, surface: _Surface) -> np.ndarray:
    """Nodes (8, 8, 2) of the elements between the patch's outline rim (17, 2) and the largest half ring."""
    corners = surface.points(outline)
    spokes = (rim[::2] + corners) / 2
    for end in (0, -1):
        s = (surface.along(rim[end]) + outline[end, 0]) / 2
        spokes[end] = surface.points(np.array([s, 0.0]))
    between = surface.points((outline[:-1] + outline[1:]) / 2)
    nodes = [rim[2::2], rim[:-1:2], corners[:-1], corners[1:], rim[1::2], spokes[:-1], between, spokes[1:]]
    return np.stack(nodes, axis=1)


def _inner(outlines: np.ndarray) -> np.ndarray:
    """Places (m, 8, 2) of the nodes of all elements inside the largest half ring."""
    rings = [outlines[:-1, 1:], outlines[:-1, :-1], outlines[1:, :-1], outlines[1:, 1:]]
    column, row = (a.ravel() for a in np.meshgrid(np.arange(-2, 2), np.arange(_ROWS)))
    steps = np.array([(0, 0), (1, 0), (1, 1), (0, 1)])
    middle = outlines[-1, 5, 0] * (np.column_stack([column, row])[:, None] + steps)
    corners = np.concatenate([np.stack(rings, axis=2).reshape(-1, 4, 2), middle])
    return np.concatenate([corners, (corners + np.roll(corners, -1, axis=1)) / 2], axis=1)


def _sides(rim: np.ndarray, outlines: np.ndarray, surface: _Surface) -> np.ndarray:
    """First, last and middle points (k, 3, 2) of the new sides on the edge, in order."""
    before = [surface.along(rim[0]), *outlines[:, 0, 0], outlines[-1, 3, 0]]
    behind = [outlines[-1, 5, 0], *outlines[::-1, 8, 0], surface.along(rim[-1])]
    s = np.array([*before, 0.0, *behind])
    places = np.column_stack([s[:-1], s[1:], (s[:-1] + s[1:]) / 2])
    return surface.points(np.stack([places, np.zeros_like(places)], axis=-1))
