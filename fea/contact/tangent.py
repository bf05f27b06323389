"""Consistent tangent of the contact forces: exact derivative of contact.Contact.evaluate.

Unsymmetric where points slide (slip answers to pressure). Each closed point couples the three nodes
of its follower edge and the three of the leader edge it stands on.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from colletfea.fea.contact.contact import Contact, density
from colletfea.fea.contact.friction import Traction
from colletfea.fea.contact.pair import SLIP, STICK, Closed, Evaluation


def tangent(contact: Contact, ev: Evaluation, points: slice = slice(None)) -> tuple[np.ndarray, np.ndarray]:
    """Unknown numbers (k, d) and dense tangents (k, d, d) [N/mm; N, N mm for the angle] of edges that touch.

    d = 6 * unknowns. The k rows are pairs of a follower edge's panel and a leader edge, each the sum of its closed points.
    points names a stretch of contact points to be taken alone, one contact pair's. Inside, points are the last axis (n,):
    loops over hundreds of them cost less than loops over two components.
    """
    start, stop, _ = points.indices(len(ev.pressure))
    some = slice(*np.searchsorted(ev.closed.index, (start, stop)))
    c, law = _part(ev.closed, some), _part(Traction(*(x.transpose(*range(1, x.ndim), 0) for x in ev.law)), some)
    n, unknowns = len(c.index), contact.unknowns
    if not n:
        return np.empty((0, 6 * unknowns), int), np.empty((0, 6 * unknowns, 6 * unknowns))
    nothing = np.zeros((3, n))
    split, own = np.concatenate([c.follower[0], -c.leader[0]]), np.concatenate([c.follower[0], nothing])
    lead, run = np.concatenate([nothing, c.leader[1]]), np.concatenate([c.follower[1], nothing])
    gap = ev.gap[c.index]

    d_gap = outer(split, c.normal, unknowns)
    bend = np.sum(c.normal * c.bend, axis=0)
    d_xi = outer(split, c.tangent * c.stretch, unknowns) + outer(lead, c.normal * gap, unknowns)
    d_xi /= c.stretch**2 - gap * bend
    d_tilt = (outer(lead, c.normal, unknowns) + bend * d_xi) / c.stretch
    d_stretch = outer(lead, c.tangent, unknowns) + np.sum(c.tangent * c.bend, axis=0) * d_xi
    d_radius = outer(own, np.array([[1.0], [0.0]]), unknowns)

    d_pressure = -contact.normal[c.index] * d_gap
    d_slip = _slip_slope(c, split, d_xi, d_stretch, d_radius, unknowns)
    d_traction = np.sum(law.by_slip[:, :, None] * d_slip, axis=1) + law.by_pressure[:, None] * d_pressure
    d_area = _area_slope(contact, c, run, d_radius, d_xi, unknowns)

    pressure, traction, area = ev.pressure[c.index], law.value, ev.area[c.index]
    d_density = np.zeros((unknowns, 6 * unknowns, n))
    turned = pressure * c.tangent + traction[0] * c.normal
    d_density[:2] = d_traction[0] * c.tangent[:, None] - d_pressure * c.normal[:, None] + d_tilt * turned[:, None]
    if unknowns == 3:
        d_density[2] = d_traction[1] * c.radius + traction[1] * d_radius
    force = density(c, pressure, traction)
    push = d_density * area + force[:, None] * d_area
    met = first_of_pairs(contact, c.index, c.edge)
    rows = np.concatenate([split, -lead]).T, np.concatenate([push, (force * area)[:, None] * d_xi]).reshape(-1, n).T
    left, right = (x.reshape(len(met), 2 * contact.order, -1) for x in _by_pairs(rows, met, contact.order))
    values = np.swapaxes(left, 1, 2) @ right
    return contact.dofs(c.index[met], c.edge[met]).T, values.reshape(len(met), 6 * unknowns, -1)


def turned_back(contact: Contact, now: Evaluation, before: Evaluation | None) -> Evaluation:
    """The evaluation now, with points (n,) that slid in `before` and now slide the other way taken as sticking.

    Their stiffness [MPa/mm] is the change of traction over that of slip in the last step. A sliding point offers none
    along its slip; if its true state is stick, between the two directions, it would alternate between them without
    end. On fine meshes hundreds of points do.
    """
    if before is None:
        return now
    # points held closed in tension oppose the slip: leave them out
    slid = (now.status == SLIP) & (before.status == SLIP) & (before.pressure > 0)
    turned = slid & (np.sum(now.traction * before.traction, axis=1) < 0)
    rows = turned[now.closed.index]
    if not rows.any():
        return now
    change = [(a - b)[turned] for a, b in ((now.traction, before.traction), (now.slip, before.slip))]
    jump, way = (np.linalg.norm(x, axis=1) for x in change)
    slope = np.minimum(jump / np.maximum(way, 1e-300), contact.tangential[turned])
    by_slip, by_pressure = now.law.by_slip.copy(), now.law.by_pressure.copy()
    by_slip[rows], by_pressure[rows] = slope[:, None, None] * np.eye(by_slip.shape[1]), 0.0
    law = now.law._replace(by_slip=by_slip, by_pressure=by_pressure)
    return replace(now, law=law, status=np.where(turned, STICK, now.status))


def _part(table: Any, some: slice) -> Any:
    """A stretch of the points of every array of a named tuple."""
    return type(table)(*(tuple(x[..., some] for x in f) if isinstance(f, tuple) else f[..., some] for f in table))


def first_of_pairs(contact: Contact, index: np.ndarray, edge: np.ndarray) -> np.ndarray:
    """Which of the points index (n,) on leader edges edge (n,) begin another pair of edges; the points of a pair follow each other."""
    panel = index // contact.order
    new = (panel[1:] != panel[:-1]) | (edge[1:] != edge[:-1])
    return np.append(0, np.flatnonzero(new) + 1)


def _by_pairs(tables: tuple[np.ndarray, ...], met: np.ndarray, order: int) -> list[np.ndarray]:
    """Tables (n, m) of the closed points as (k, order, m): a pair's points, then zeros."""
    count = len(tables[0])
    pair = np.repeat(np.arange(len(met)), np.append(met[1:], count) - met)
    point, found = np.arange(count) - met[pair], []
    for rows in tables:
        found.append(np.zeros((len(met), order, rows.shape[1])))
        found[-1][pair, point] = rows
    return found


def outer(weights: np.ndarray, vector: np.ndarray, unknowns: int) -> np.ndarray:
    """Gradient (6 * unknowns, n) of sum_A weights_A x_A . vector, of weights (6, n) and vector (2, n)."""
    result = np.zeros((6, unknowns, weights.shape[1]))
    np.multiply(weights[:, None], vector, out=result[:, :2])
    return result.reshape(6 * unknowns, -1)


def _slip_slope(c: Closed, split, d_xi, d_stretch, d_radius, unknowns: int) -> np.ndarray:
    """Gradient (c, d, n) of the slip increments."""
    length, length_slope = c.reference
    share = c.travel / length
    along = c.stretch * (c.goes - share * length_slope / length) * d_xi + share * d_stretch
    if unknowns == 2:
        return along[None]
    turned = np.zeros((6, 3, split.shape[1]))
    turned[:, 2] = split
    around = c.turn * d_radius + c.radius * (turned.reshape(d_xi.shape) - c.turn_slope * d_xi)
    return np.stack([along, around])


def _area_slope(contact: Contact, c: Closed, run, d_radius, d_xi, unknowns: int) -> np.ndarray:
    """Gradient (d, n) of the current ring area of each point."""
    fill, fill_slope = c.leader_fill
    d_jacobian = outer(run, c.follower_tangent, unknowns)
    ring = (d_radius * c.jacobian + c.radius * d_jacobian) * fill + c.radius * c.jacobian * fill_slope * d_xi
    return 2 * np.pi * (contact.weights * contact.fill)[c.index] * ring
