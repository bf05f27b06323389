"""Contact pairs with finite sliding: Gauss points of a follower edge against a leader edge.

Each evaluation projects the follower's points on the deformed leader with its deformed normal and
returns forces for both sides from the same numbers, so action equals reaction; what does not project
gives nothing to either side. Evaluation is pure: history comes in as `old` and goes out as new values.
Contact turns positions into forces and a tangent and knows no solver.
Formulation: closest-point projection, penalty with one multiplier per follower edge (augmented Lagrangian),
e.g. Wriggers, Computational Contact Mechanics, ch. 5-6, and Laursen, same title (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from fea import shapes
from fea.friction import Traction, return_mapping
from fea.mesh import Mesh
from fea.panels import panels
from fea.projection import Projection, project
from fea.solid import Field

OPEN, STICK, SLIP = 0, 1, 2


@dataclass(frozen=True)
class Pair:
    """Two edges that may touch. young [MPa] is the smaller modulus of the two bodies.

    normal and tangential are dimensionless penalties, times young / (follower's edge length). slide [mm] is
    how far the follower goes along the leader: where it comes upon much finer edges it gets more points.
    The fills are functions of reference (R, Z) that tell which part of the circumference is there.
    """

    name: str
    follower: str
    leader: str
    young: float
    friction: float = 0.0
    normal: float = 3.0
    tangential: float = 1.0
    slide: float = 0.0
    follower_fill: Field | None = None
    leader_fill: Field | None = None


@dataclass(frozen=True)
class History:
    """What an accepted state hands to the next increment, per contact point (n,) unless noted."""

    multiplier: np.ndarray  # [MPa] pressure kept from augmentation
    traction: np.ndarray  # (n, c) [MPa] meridional [, circumferential]
    place: np.ndarray  # [mm] arc length of the foot point along the undeformed leader, its end off the chain
    gap: np.ndarray  # [mm], inf where the point does not project
    pressure: np.ndarray  # [MPa]
    angle: np.ndarray  # (nodes,) [rad], empty without twist


class Closed(NamedTuple):
    """Kinematics of the closed points only (m,), kept for the tangent."""

    index: np.ndarray
    edge: np.ndarray
    follower: tuple[np.ndarray, np.ndarray]  # shape functions (m, 3) and slopes (m, 3)
    leader: tuple[np.ndarray, np.ndarray]
    tangent: np.ndarray  # (m, 2) unit, along the leader's chain
    normal: np.ndarray  # (m, 2) unit, out of the leader
    stretch: np.ndarray  # |dx/dxi| of the leader
    bend: np.ndarray  # (m, 2) d2x/dxi2 of the leader
    reference: tuple[np.ndarray, np.ndarray]  # |dX/dxi| of the leader and its slope in xi
    travel: np.ndarray  # [mm] reference arc length since the last accepted state
    turn: np.ndarray  # [rad] relative angle gained since then
    turn_slope: np.ndarray  # d(leader's gained angle)/dxi
    radius: np.ndarray
    jacobian: np.ndarray  # |dx/dxi| of the follower
    follower_tangent: np.ndarray  # (m, 2)
    leader_fill: tuple[np.ndarray, np.ndarray]


class _Feet(NamedTuple):
    """Shape functions and derivatives (n, 3) at foot points, their edges' current corners (n, 3, 2), dx/dxi (n, 2)."""

    value: np.ndarray
    slope: np.ndarray
    curvature: np.ndarray
    corners: np.ndarray
    run: np.ndarray


@dataclass(frozen=True)
class Evaluation:
    """Forces of one trial position. Arrays (n,) over all contact points of all pairs."""

    force: np.ndarray  # (size,) [N; N mm], to be added to the internal force
    gap: np.ndarray
    pressure: np.ndarray
    traction: np.ndarray  # (n, c)
    slip: np.ndarray  # (n, c) [mm] in this increment
    status: np.ndarray  # OPEN, STICK or SLIP
    area: np.ndarray  # [mm2], whole ring times fill; of the follower's current surface, 0 where no foot
    length: np.ndarray  # [mm] share of the follower's current meridional length
    position: np.ndarray  # (n, 2) current (r, z)
    foot: Projection  # edge numbers count through all leaders
    place: np.ndarray
    angle: np.ndarray
    closed: Closed
    law: Traction

    def history(self, multiplier: np.ndarray) -> History:
        """History to commit when the increment is accepted."""
        return History(multiplier, self.traction, self.place, self.gap, self.pressure, self.angle)


class Contact:
    """All contact pairs of a model, evaluated together."""

    def __init__(self, mesh: Mesh, pairs: tuple[Pair, ...], twist: bool = False, order: int = 5):
        self.mesh, self.pairs, self.order = mesh, pairs, order
        self.unknowns = 3 if twist else 2
        self.size = len(mesh.nodes) * self.unknowns
        counts = [self._panels(pair) for pair in pairs]
        self.points = _slices([int(count.sum()) * order for count in counts])
        self.leader = _stack([mesh.edges[p.leader] for p in pairs])
        self.leaders = _slices([len(mesh.edges[p.leader]) for p in pairs])
        self._follower_points(np.concatenate([*counts, np.empty(0, int)]))
        self._follower_constants()
        self._leader_constants()

    def _panels(self, pair: Pair) -> np.ndarray:
        """Panels (e,) of each follower edge of a pair."""
        if pair.slide <= 0:
            return np.ones(len(self.mesh.edges[pair.follower]), int)
        follower, leader = (self.mesh.nodes[self.mesh.edges[name]] for name in (pair.follower, pair.leader))
        return panels(follower, leader, pair.slide, self.order)

    def _follower_points(self, counts: np.ndarray) -> None:
        """Gauss points (k, q) of every panel; counts (e,) are the panels of each follower edge.

        follower (k, 3) are the nodes of a panel's edge, shape and slope the edge's functions there, weights (n,)
        what a point stands for of the edge's 2; edge (n,) is the number of a point's edge.
        """
        xi, weight = shapes.gauss_line(self.order)
        edge = np.repeat(np.arange(len(counts)), counts)
        before = np.arange(len(edge)) - np.repeat(np.cumsum(counts) - counts, counts)
        half = 1 / counts[edge]
        self.shape, self.slope, _ = shapes.line3((2 * before[:, None] + 1 + xi) * half[:, None] - 1)
        self.weights = (half[:, None] * weight).ravel()
        self.edge = np.repeat(edge, self.order)
        self.follower = _stack([self.mesh.edges[p.follower] for p in self.pairs])[edge]
        self.nodes_of = np.repeat(self.follower, self.order, axis=0)

    def _follower_constants(self) -> None:
        corners = self.mesh.nodes[self.follower]
        along = np.linalg.norm(np.einsum("kqa,kai->kqi", self.slope, corners), axis=2).ravel()
        place = np.einsum("kqa,kai->kqi", self.shape, corners).reshape(-1, 2)
        count = len(self.weights)
        self.normal, self.tangential, self.friction = np.empty(count), np.empty(count), np.empty(count)
        self.fill = np.ones(count)
        self.edge_length = self.edge_sums(along * self.weights)
        for pair, part in zip(self.pairs, self.points):
            unit = pair.young / self.edge_length[part]
            self.normal[part], self.tangential[part] = pair.normal * unit, pair.tangential * unit
            self.friction[part] = pair.friction
            if pair.follower_fill is not None:
                self.fill[part] = pair.follower_fill(*place[part].T)

    def _leader_constants(self) -> None:
        corners = self.mesh.nodes[self.leader]
        xi, weight = shapes.gauss_line(4)
        speed = np.linalg.norm(np.einsum("qa,kai->kqi", shapes.line3(xi)[1], corners), axis=2)
        # arc length from the edge's start as a polynomial in xi + 1, the integral of the speed's through four Gauss points
        power = np.arange(4, 0, -1)
        self.leader_arc = np.linalg.solve(np.vander(xi + 1, 4), speed.T) / power[:, None]
        length = speed @ weight
        self.leader_start = np.concatenate([np.cumsum(length[s]) - length[s] for s in self.leaders] or [np.empty(0)])
        self.leader_fill = np.ones(self.leader.shape)
        middle = corners[:, 2:]
        inside = middle + (corners - middle) * (1 - 1e-9)  # a fill may jump from edge to edge
        for pair, part in zip(self.pairs, self.leaders):
            if pair.leader_fill is not None:
                self.leader_fill[part] = pair.leader_fill(*np.moveaxis(inside[part], -1, 0))

    def edge_sums(self, values: np.ndarray) -> np.ndarray:
        """Sums of point values (n,) over each follower edge, given back to its points (n,)."""
        return np.bincount(self.edge, weights=values)[self.edge]

    def edge_means(self, values: np.ndarray) -> np.ndarray:
        """Means of point values (n,) over each follower edge, given back to its points (n,)."""
        return self.edge_sums(self.weights * values) / 2

    def stiffest(self) -> float:
        """Largest normal stiffness [N/mm] of a contact point, undeformed."""
        radius = np.einsum("kqa,ka->kq", self.shape, self.mesh.nodes[self.follower][:, :, 0]).ravel()
        area = np.pi * radius * self.edge_length * self.weights
        return float(np.max(self.normal * area, initial=0.0))

    def start(self) -> History:
        """History of bodies that never touched."""
        n, c = len(self.weights), self.unknowns - 1
        angle = np.zeros(len(self.mesh.nodes) if c == 2 else 0)
        return History(np.zeros(n), np.zeros((n, c)), np.zeros(n), np.full(n, np.inf), np.zeros(n), angle)

    def evaluate(
        self, u: np.ndarray, old: History, frozen: Projection | None = None, stick: bool = False, keep: bool = False
    ) -> Evaluation:
        """Contact at nodal unknowns u (size,); `old` is left untouched.

        stick takes friction as if no point slid. keep lets points that touched in `old` pull where they would open:
        for a guess, whose error in the gap is often larger than what a pressure presses in.
        """
        field = u.reshape(-1, self.unknowns)
        x = self.mesh.nodes + field[:, :2]
        angle = field[:, 2] if self.unknowns == 3 else np.empty(0)
        along = np.einsum("kqa,kai->kqi", self.slope, x[self.follower]).reshape(-1, 2)
        position, foot = self._project(x, frozen)
        feet, place = self._feet(x, foot), self._place(foot)
        offset = position - np.einsum("na,nai->ni", feet.value, feet.corners)
        gap = (offset[:, 0] * feet.run[:, 1] - offset[:, 1] * feet.run[:, 0]) / np.hypot(*feet.run.T)
        leader_fill = np.einsum("na,na->n", feet.value, self.leader_fill[foot.edge])
        gap, trial = np.where(foot.inside, gap, np.inf), np.where(foot.inside, old.multiplier - self.normal * gap, 0.0)
        length = self.weights * np.hypot(*along.T) * foot.inside
        area = 2 * np.pi * self.fill * leader_fill * position[:, 0] * length
        index = np.flatnonzero((trial > 0) | keep & foot.inside & (old.pressure > 0))
        closed = self._closed(index, feet, angle, old, position, along, foot, place)
        return self._forces(old, trial, closed, stick, gap, area, length, position, foot, place, angle)

    def places(self, u: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Whether each point (n,) has a foot on its leader at nodal unknowns u (size,), and History.place there."""
        foot = self._project(self.mesh.nodes + u.reshape(-1, self.unknowns)[:, :2])[1]
        return foot.inside, self._place(foot)

    def _project(self, x: np.ndarray, frozen: Projection | None = None) -> tuple[np.ndarray, Projection]:
        """Points (n, 2) at current nodes x and their feet."""
        position = np.einsum("kqa,kai->kqi", self.shape, x[self.follower]).reshape(-1, 2)
        return position, project(position, x[self.leader], frozen, list(zip(self.points, self.leaders)))

    def _feet(self, x: np.ndarray, foot: Projection) -> _Feet:
        value, slope, curvature = shapes.line3(foot.xi)
        corners = x[self.leader[foot.edge]]
        return _Feet(value, slope, curvature, corners, np.einsum("na,nai->ni", slope, corners))

    def _place(self, foot: Projection) -> np.ndarray:
        """Arc length of each foot point along the undeformed leader."""
        xi, place = np.clip(foot.xi, -1, 1) + 1, 0.0
        for factor in self.leader_arc[:, foot.edge]:
            place = (place + factor) * xi
        return self.leader_start[foot.edge] + place

    def _closed(self, index, feet, angle, old, position, along, foot, place) -> Closed:
        edge = foot.edge[index]
        nodes = self.leader[edge]
        (value, slope, curvature, current, run), reference = (x[index] for x in feet), self.mesh.nodes[nodes]
        stretch = np.hypot(*run.T)
        tangent = run / stretch[:, None]
        rest = np.einsum("na,nai->ni", slope, reference)
        length = np.hypot(*rest.T)
        rest_slope = np.einsum("ni,na,nai->n", rest, curvature, reference) / length
        jacobian = np.hypot(*along[index].T)
        own, own_slope = (table.reshape(-1, 3)[index] for table in (self.shape, self.slope))
        turn, turn_slope = self._turns(index, own, nodes, value, slope, angle, old)
        fills = self.leader_fill[edge]
        return Closed(
            index, edge, (own, own_slope), (value, slope),
            tangent, np.column_stack([tangent[:, 1], -tangent[:, 0]]), stretch,
            np.einsum("na,nai->ni", curvature, current), (length, rest_slope),
            place[index] - old.place[index], turn, turn_slope,
            position[index, 0], jacobian, along[index] / jacobian[:, None],
            (np.einsum("na,na->n", value, fills), np.einsum("na,na->n", slope, fills)),
        )

    def _turns(self, index, own, nodes, value, slope, angle, old) -> tuple[np.ndarray, np.ndarray]:
        """Relative angle that each point gained on its foot point since the last accepted state."""
        if self.unknowns == 2:
            return np.zeros(len(index)), np.zeros(len(index))
        gained = angle - old.angle
        follower = np.einsum("na,na->n", own, gained[self.nodes_of[index]])
        return follower - np.einsum("na,na->n", value, gained[nodes]), np.einsum("na,na->n", slope, gained[nodes])

    def _forces(self, old, trial, closed, stick, gap, area, length, position, foot, place, angle) -> Evaluation:
        i, c = closed.index, self.unknowns - 1
        slip = closed.travel * closed.stretch / closed.reference[0]
        slip = slip[:, None] if c == 1 else np.column_stack([slip, closed.radius * closed.turn])
        law = return_mapping(old.traction[i], slip, trial[i], self.friction[i], self.tangential[i], stick)
        push = traction_vector(closed, trial[i], law.value) * area[i, None]
        split = np.concatenate([closed.follower[0], -closed.leader[0]], axis=1)
        local = split[:, :, None] * push[:, None, :]
        force = np.bincount(self.dofs(closed).ravel(), weights=local.ravel(), minlength=self.size)
        n = len(trial)
        pressure, traction, moved, status = np.zeros(n), np.zeros((n, c)), np.zeros((n, c)), np.zeros(n, int)
        pressure[i], traction[i], moved[i] = trial[i], law.value, slip
        status[i] = np.where(law.sliding, SLIP, STICK)
        return Evaluation(force, gap, pressure, traction, moved, status, area, length, position, foot, place, angle, closed, law)

    def dofs(self, closed: Closed) -> np.ndarray:
        """Unknown numbers (m, 6, unknowns) of the closed points: follower's nodes, then leader's."""
        nodes = np.concatenate([self.nodes_of[closed.index], self.leader[closed.edge]], axis=1)
        return nodes[:, :, None] * self.unknowns + np.arange(self.unknowns)


def traction_vector(closed: Closed, pressure: np.ndarray, traction: np.ndarray) -> np.ndarray:
    """Force density (m, unknowns) against the follower's motion: r, z [MPa] and, with twist, torque."""
    plane = traction[:, :1] * closed.tangent - pressure[:, None] * closed.normal
    return plane if traction.shape[1] == 1 else np.column_stack([plane, traction[:, 1] * closed.radius])


def _stack(rows: list[np.ndarray]) -> np.ndarray:
    return np.concatenate(rows) if rows else np.empty((0, 3), int)


def _slices(counts: list[int]) -> list[slice]:
    ends = np.cumsum([0, *counts])
    return [slice(int(a), int(b)) for a, b in zip(ends[:-1], ends[1:])]
