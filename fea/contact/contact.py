"""Contact pairs with finite sliding: Gauss points of a follower edge against a leader edge.

Each evaluation projects the follower's points on the deformed leader with its deformed normal and
returns forces for both sides from the same numbers, so action equals reaction; what does not project
gives nothing to either side. Evaluation is pure: history comes in as `old` and goes out as new values.
Contact turns positions into forces and a tangent and knows no solver. Only softer changes it, while it lasts.
Formulation: closest-point projection, penalty with one multiplier per follower edge (augmented Lagrangian),
e.g. Wriggers, Computational Contact Mechanics, ch. 5-6, and Laursen, same title (from memory).
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import NamedTuple

import numpy as np

from colletfea.fea.contact.friction import Traction, return_mapping
from colletfea.fea.contact.pair import SLIP, STICK, Closed, Evaluation, History, Pair
from colletfea.fea.contact.projection import Projection, parabolas, project
from colletfea.fea.contact.sampling import panels, stretches
from colletfea.fea.elements import shapes
from colletfea.fea.elements.mesh import Mesh


class _Place(NamedTuple):
    """Where points are and what they stand on: points last, (n,) unless noted."""

    position: np.ndarray  # (2, n) current (r, z)
    along: np.ndarray  # (2, n) dx/dxi of the follower
    foot: Projection
    run: np.ndarray  # (2, n) dx/dxi of the leader at the foot
    bend: np.ndarray  # (2, n) d2x/dxi2 there
    gap: np.ndarray
    arc: np.ndarray  # [mm] History.arc of the foot


class Contact:
    """All contact pairs of a model, evaluated together; n contact points in all, pair after pair.

    Attributes: points, the stretch of contact points of each pair; leaders, that of its leader edges; weights (n,) [-];
    normal and tangential (n,) [N/mm3] penalty stiffnesses; friction (n,) [-]; edge (n,) the follower edge of a point;
    edge_length (n,) [mm] its undeformed length; fill (n,) [-]. Of each follower edge: first (k,) its first point, edge_area (k,) [mm2]
    its undeformed ring area times fill.
    """

    def __init__(self, mesh: Mesh, pairs: tuple[Pair, ...], twist: bool = False, order: int = 5):
        self.mesh, self.pairs, self.order = mesh, pairs, order
        self.unknowns = 3 if twist else 2
        self.size = len(mesh.nodes) * self.unknowns
        cut = [stretches(self._panels(pair), pair.corners) for pair in pairs]
        self.points = _slices([len(edge) * order for edge, *_ in cut])
        self.leader = _stack([mesh.edges[p.leader] for p in pairs])
        self.leaders = _slices([len(mesh.edges[p.leader]) for p in pairs])
        self._follower_points(cut)
        self._follower_constants()
        self._leader_constants()

    def _panels(self, pair: Pair) -> np.ndarray:
        """Panels (e,) of each follower edge of a pair."""
        if pair.slide <= 0:
            return np.ones(len(self.mesh.edges[pair.follower]), int)
        follower, leader = (self.mesh.nodes[self.mesh.edges[name]] for name in (pair.follower, pair.leader))
        return panels(follower, leader, pair.slide, self.order)

    def _follower_points(self, cut: list[tuple[np.ndarray, np.ndarray, np.ndarray]]) -> None:
        """Gauss points (n,) of every panel of each pair, see stretches.

        follower (k, 3) are the nodes of a panel's edge. Of each point: nodes_of (3, n) those of its edge, shape and
        slope (3, n) the edge's functions there, weights (n,) what it stands for of the edge's 2, edge (n,) its number.
        """
        xi, weight = shapes.gauss_line(self.order)
        before = np.cumsum([0, *(len(self.mesh.edges[pair.follower]) for pair in self.pairs)])
        numbered = [edge + first for (edge, *_), first in zip(cut, before)]
        edge = np.concatenate([*numbered, np.empty(0, int)])
        middle, half = (np.concatenate([*(panels[k] for panels in cut), np.empty(0)])[:, None] for k in (1, 2))
        functions = shapes.line3((middle + half * xi).ravel())
        self.shape, self.slope, _ = (np.ascontiguousarray(f.T) for f in functions)
        self.weights = (half * weight).ravel()
        self.edge = np.repeat(edge, self.order)
        self.first = np.unique(self.edge, return_index=True)[1]
        self.follower = _stack([self.mesh.edges[p.follower] for p in self.pairs])[edge]
        self.nodes_of = np.repeat(self.follower.T, self.order, axis=1)

    def _follower_constants(self) -> None:
        position, along = self._on_followers(self.mesh.nodes)
        count = len(self.weights)
        self.normal, self.tangential, self.friction = np.empty(count), np.empty(count), np.empty(count)
        self.fill = np.ones(count)
        length = np.hypot(*along) * self.weights
        self.edge_length = self.edge_sums(length)
        for pair, part in zip(self.pairs, self.points):
            unit = pair.young / self.edge_length[part]
            self.normal[part], self.tangential[part] = pair.normal * unit, pair.tangential * unit
            self.friction[part] = pair.friction
            if pair.follower_fill is not None:
                self.fill[part] = pair.follower_fill(*position[:, part])
        self.edge_area = 2 * np.pi * np.bincount(self.edge, self.fill * position[0] * length)

    def _leader_constants(self) -> None:
        """Of the undeformed leader edges (k,): rest, see parabolas; fill likewise; arc length from the chain's start."""
        corners = self.mesh.nodes[self.leader]
        self.leader_nodes = np.ascontiguousarray(self.leader.T)
        self.rest = parabolas(corners)
        xi, weight = shapes.gauss_line(4)
        speed = np.hypot(*(self.rest[1][:, :, None] + self.rest[2][:, :, None] * xi))
        # arc length from the edge's start as a polynomial in xi + 1, the integral of the speed's through four Gauss points
        power = np.arange(4, 0, -1)
        self.leader_arc = np.linalg.solve(np.vander(xi + 1, 4), speed.T) / power[:, None]
        length = speed @ weight
        self.leader_start = np.concatenate([np.cumsum(length[s]) - length[s] for s in self.leaders] or [np.empty(0)])
        fill = np.ones(self.leader.shape)
        middle = corners[:, 2:]
        inside = middle + (corners - middle) * (1 - 1e-9)  # a fill may jump from edge to edge
        for pair, part in zip(self.pairs, self.leaders):
            if pair.leader_fill is not None:
                fill[part] = pair.leader_fill(*np.moveaxis(inside[part], -1, 0))
        self.leader_fill = np.concatenate(parabolas(fill[:, :, None]))

    def edge_sums(self, values: np.ndarray) -> np.ndarray:
        """Sums of point values (n,) over each follower edge, given back to its points (n,)."""
        return np.bincount(self.edge, weights=values)[self.edge]

    def edge_means(self, values: np.ndarray) -> np.ndarray:
        """Means of point values (n,) over each follower edge, given back to its points (n,)."""
        return self.edge_sums(self.weights * values) / 2

    def misfit(self, ev: Evaluation) -> np.ndarray:
        """Mean pressure of each point's follower edge minus its multiplier (n,) [MPa]."""
        return self.edge_means(ev.pressure) - ev.multiplier

    def unmet(self, ev: Evaluation) -> float:
        """Norm [N] of what the mean pressures of follower edges differ by from their multipliers, each over its undeformed ring area.

        An edge that is off its leader counts, too: its multiplier is to be 0.
        """
        return float(np.linalg.norm(self.misfit(ev)[self.first] * self.edge_area))

    @contextmanager
    def softer(self, share: float) -> Iterator[None]:
        """Normal springs of this share [-] of their stiffness, while it lasts."""
        stiff, self.normal = self.normal, share * self.normal
        try:
            yield
        finally:
            self.normal = stiff

    def stiffest(self) -> float:
        """Largest normal stiffness [N/mm] of a contact point, undeformed."""
        area = np.pi * self._on_followers(self.mesh.nodes)[0][0] * self.edge_length * self.weights
        return float(np.max(self.normal * area, initial=0.0))

    def start(self) -> History:
        """History of bodies that never touched: gaps [mm] inf, all else 0; per point (n,)."""
        n, c = len(self.weights), self.unknowns - 1
        angle = np.zeros(len(self.mesh.nodes) if c == 2 else 0)
        return History(np.zeros(n), np.zeros((n, c)), np.zeros(n), np.full(n, np.inf), np.zeros(n), angle)

    def evaluate(
        self, u: np.ndarray, old: History, frozen: Projection | None = None, stick: bool = False, keep: bool = False,
        near: Projection | None = None,
    ) -> Evaluation:
        """Contact at nodal unknowns u (size,) [mm; rad]; `old` is left untouched.

        stick takes friction as if no point slid. keep lets points that touched in `old` pull where they would open:
        for a guess, whose error in the gap is often larger than what a pressure presses in. frozen, near: see project.
        """
        field = u.reshape(-1, self.unknowns)
        angle = field[:, 2] if self.unknowns == 3 else np.empty(0)
        at = self._place(self.mesh.nodes + field[:, :2], frozen, near)
        inside = at.foot.inside
        gap, trial = np.where(inside, at.gap, np.inf), np.where(inside, old.multiplier - self.normal * at.gap, 0.0)
        length = self.weights * np.hypot(*at.along) * inside
        area = 2 * np.pi * self.fill * self._leader_fill(at.foot.edge, at.foot.xi)[0] * at.position[0] * length
        # a point that only just touches offers stiffness: else nothing would stop a body that rests on such points
        touching = inside & ((trial >= 0) | keep & (old.pressure > 0))
        closed = self._closed(np.flatnonzero(touching), at, angle, old)
        force, law, slip = self._density(closed, trial, old, stick)
        i, n, c = closed.index, len(trial), self.unknowns - 1
        pressure, traction, moved, status = np.zeros(n), np.zeros((n, c)), np.zeros((n, c)), np.zeros(n, int)
        pressure[i], traction[i], moved[i] = trial[i], law.value, slip
        status[i] = np.where(law.sliding, SLIP, STICK)
        return Evaluation(
            self._nodal(closed, force * area[i]), gap, pressure, traction, moved, status, area, length,
            at.position.T, at.foot, at.arc, angle, closed, law, old.multiplier,
        )

    def feet(self, u: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Gap (n,) [mm] of each point at nodal unknowns u (size,) [mm; rad], inf where it has no foot, and History.arc (n,) [mm]."""
        at = self._place(self.mesh.nodes + u.reshape(-1, self.unknowns)[:, :2])
        return np.where(at.foot.inside, at.gap, np.inf), at.arc

    def _on_followers(self, x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Positions and dx/dxi, (2, n) each, of all points at nodes x."""
        corners = x.T[:, self.nodes_of]
        return np.sum(corners * self.shape, axis=1), np.sum(corners * self.slope, axis=1)

    def _place(self, x: np.ndarray, frozen: Projection | None = None, near: Projection | None = None) -> _Place:
        position, along = self._on_followers(x)
        chain = x[self.leader]
        foot = project(position.T, chain, frozen, list(zip(self.points, self.leaders)), near)
        middle, half, bend = (part[:, foot.edge] for part in parabolas(chain))
        run = half + foot.xi * bend
        offset = position - middle - foot.xi / 2 * (half + run)
        gap = (offset[0] * run[1] - offset[1] * run[0]) / np.hypot(*run)
        return _Place(position, along, foot, run, bend, gap, self._arc(foot))

    def _arc(self, foot: Projection) -> np.ndarray:
        """Arc length of each foot point along the undeformed leader."""
        xi, arc = np.clip(foot.xi, -1, 1) + 1, 0.0
        for factor in self.leader_arc[:, foot.edge]:
            arc = (arc + factor) * xi
        return self.leader_start[foot.edge] + arc

    def _leader_fill(self, edge: np.ndarray, xi: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Fill of the leader at xi on its edges, and the slope of it in xi."""
        middle, half, bend = self.leader_fill[:, edge]
        return middle + xi * (half + xi / 2 * bend), half + xi * bend

    def _closed(self, index: np.ndarray, at: _Place, angle: np.ndarray, old: History) -> Closed:
        edge, xi, run, along = at.foot.edge[index], at.foot.xi[index], at.run[:, index], at.along[:, index]
        own, leader = (self.shape[:, index], self.slope[:, index]), [f.T for f in shapes.line3(xi)[:2]]
        stretch, jacobian = np.hypot(*run), np.hypot(*along)
        tangent = run / stretch
        half, bend = (part[:, edge] for part in self.rest[1:])
        rest = half + xi * bend
        length = np.hypot(*rest)
        turn, turn_slope = self._turns(index, own[0], self.leader_nodes[:, edge], *leader, angle, old)
        return Closed(
            index, edge, own, tuple(leader),
            tangent, np.array([tangent[1], -tangent[0]]), stretch, at.bend[:, index],
            (length, np.sum(rest * bend, axis=0) / length), at.arc[index] - old.arc[index], 1.0 * (np.abs(xi) <= 1), turn, turn_slope,
            at.position[0, index], jacobian, along / jacobian, self._leader_fill(edge, xi),
        )

    def _turns(self, index, own, nodes, value, slope, angle, old) -> tuple[np.ndarray, np.ndarray]:
        """Relative angle that each point gained on its foot point since the last accepted state, and its slope in xi."""
        if self.unknowns == 2:
            return np.zeros(len(index)), np.zeros(len(index))
        gained = angle - old.angle
        follower = np.sum(own * gained[self.nodes_of[:, index]], axis=0)
        return follower - np.sum(value * gained[nodes], axis=0), np.sum(slope * gained[nodes], axis=0)

    def _density(
        self, closed: Closed, trial: np.ndarray, old: History, stick: bool
    ) -> tuple[np.ndarray, Traction, np.ndarray]:
        """Force density (unknowns, m) on the leader at closed points, the friction behind it, and slips (m, c)."""
        i = closed.index
        slip = closed.travel * closed.stretch / closed.reference[0]
        slip = slip[:, None] if self.unknowns == 2 else np.column_stack([slip, closed.radius * closed.turn])
        law = return_mapping(old.traction[i], slip, trial[i], self.friction[i], self.tangential[i], stick)
        return density(closed, trial[i], law.value.T), law, slip

    def _nodal(self, closed: Closed, force: np.ndarray) -> np.ndarray:
        """Nodal forces (size,) of forces (unknowns, m) at closed points, on both sides."""
        split = np.concatenate([closed.follower[0], -closed.leader[0]])
        local = split[:, None] * force
        return np.bincount(self.dofs(closed.index, closed.edge).ravel(), weights=local.ravel(), minlength=self.size)

    def dofs(self, index: np.ndarray, edge: np.ndarray) -> np.ndarray:
        """Unknown numbers (6 * unknowns, m) of points index (m,) on leader edges edge (m,): follower's nodes, then leader's."""
        nodes = np.concatenate([self.nodes_of[:, index], self.leader_nodes[:, edge]])
        return (nodes[:, None] * self.unknowns + np.arange(self.unknowns)[:, None]).reshape(6 * self.unknowns, -1)


def density(closed: Closed, pressure: np.ndarray, traction: np.ndarray) -> np.ndarray:
    """Force density (unknowns, m) against the follower's motion: r, z [MPa] and, with twist, torque [MPa mm].

    pressure (m,) [MPa] > 0 closes; traction (c, m) [MPa], see Evaluation.
    """
    plane = traction[0] * closed.tangent - pressure * closed.normal
    return plane if len(traction) == 1 else np.concatenate([plane, traction[1:] * closed.radius])


def _stack(rows: list[np.ndarray]) -> np.ndarray:
    return np.concatenate(rows) if rows else np.empty((0, 3), int)


def _slices(counts: list[int]) -> list[slice]:
    ends = np.cumsum([0, *counts])
    return [slice(int(a), int(b)) for a, b in zip(ends[:-1], ends[1:])]
