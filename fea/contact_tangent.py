"""Consistent tangent of the contact forces: exact derivative of contact.Contact.evaluate.

Unsymmetric where points slide (slip answers to pressure). Each closed point couples the three nodes
of its follower edge and the three of the leader edge it stands on.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from fea.contact import SLIP, STICK, Closed, Contact, Evaluation, traction_vector


def tangent(contact: Contact, ev: Evaluation, points: slice = slice(None)) -> tuple[np.ndarray, np.ndarray]:
    """Unknown numbers (k, d) and dense tangents (k, d, d) of the edges that touch, d = 6 * unknowns.

    The k rows are pairs of a follower edge's panel and a leader edge, each the sum of its closed points. points
    names a stretch of contact points to be taken alone, one contact pair's.
    """
    start, stop, _ = points.indices(len(ev.pressure))
    some = slice(*np.searchsorted(ev.closed.index, (start, stop)))
    c, law = _part(ev.closed, some), _part(ev.law, some)
    n = len(c.index)
    unknowns = contact.unknowns
    nothing = np.zeros((n, 3))
    split = np.concatenate([c.follower[0], -c.leader[0]], axis=1)
    lead = np.concatenate([nothing, c.leader[1]], axis=1)
    run = np.concatenate([c.follower[1], nothing], axis=1)
    own = np.concatenate([c.follower[0], nothing], axis=1)
    gap = ev.gap[c.index]

    d_gap = _outer(split, c.normal, unknowns)
    bend = np.einsum("ni,ni->n", c.normal, c.bend)
    d_xi = _outer(split, c.tangent * c.stretch[:, None], unknowns) + _outer(lead, c.normal * gap[:, None], unknowns)
    d_xi /= (c.stretch**2 - gap * bend)[:, None]
    d_tilt = (_outer(lead, c.normal, unknowns) + bend[:, None] * d_xi) / c.stretch[:, None]
    d_stretch = _outer(lead, c.tangent, unknowns) + np.einsum("ni,ni->n", c.tangent, c.bend)[:, None] * d_xi
    d_radius = _outer(own, np.broadcast_to([1.0, 0.0], (n, 2)), unknowns)

    d_pressure = -contact.normal[c.index, None] * d_gap
    d_slip = _slip_slope(c, split, d_xi, d_stretch, d_radius, unknowns)
    d_traction = np.einsum("nij,njd->nid", law.by_slip, d_slip) + law.by_pressure[:, :, None] * d_pressure[:, None]
    d_area = _area_slope(contact, c, run, d_radius, d_xi, unknowns)

    pressure, traction = ev.pressure[c.index], law.value
    density = traction_vector(c, pressure, traction)
    d_density = np.zeros((n, unknowns, 6 * unknowns))
    turned = pressure[:, None] * c.tangent + traction[:, :1] * c.normal
    d_density[:, :2] = (
        d_traction[:, :1] * c.tangent[:, :, None]
        - c.normal[:, :, None] * d_pressure[:, None]
        + turned[:, :, None] * d_tilt[:, None]
    )
    if unknowns == 3:
        d_density[:, 2] = d_traction[:, 1] * c.radius[:, None] + traction[:, 1:] * d_radius
    area = ev.area[c.index, None, None]
    push = d_density * area + density[:, :, None] * d_area[:, None]
    result = split[:, :, None, None] * push[:, None]
    result -= (lead[:, :, None] * (density * area[:, :, 0])[:, None])[..., None] * d_xi[:, None, None]
    met, result = _first_of_pairs(contact, c), result.reshape(n, 6 * unknowns, 6 * unknowns)
    return contact.dofs(c).reshape(n, 6 * unknowns)[met], np.add.reduceat(result, met) if n else result


def turned_back(contact: Contact, now: Evaluation, before: Evaluation | None) -> Evaluation:
    """Evaluation whose law lets points that slid and now slide back stick, by the slope of their last step.

    A sliding point offers no stiffness along its slip; where its true state is stick, between the two directions,
    it would jump to and fro for ever. On fine meshes hundreds of points do.
    """
    if before is None:
        return now
    slid = (now.status == SLIP) & (before.status == SLIP) & (before.pressure > 0)  # one kept to pull drags the wrong way
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
    """Rows of every array of a named tuple."""
    return type(table)(*(tuple(x[some] for x in f) if isinstance(f, tuple) else f[some] for f in table))


def _first_of_pairs(contact: Contact, c: Closed) -> np.ndarray:
    """Rows of the closed points that begin another pair of edges; the points of a pair follow each other."""
    pair = np.column_stack([c.index // contact.order, c.edge])
    return np.flatnonzero(np.any(np.diff(pair, axis=0, prepend=-1), axis=1))


def _outer(weights: np.ndarray, vector: np.ndarray, unknowns: int) -> np.ndarray:
    """Gradient (m, 6 * unknowns) of sum_A weights_A x_A . vector."""
    result = np.zeros((len(weights), 6, unknowns))
    result[:, :, :2] = weights[:, :, None] * vector[:, None]
    return result.reshape(len(weights), 6 * unknowns)


def _slip_slope(c: Closed, split, d_xi, d_stretch, d_radius, unknowns: int) -> np.ndarray:
    """Gradient (m, c, d) of the slip increments."""
    length, length_slope = c.reference
    ratio = c.stretch / length
    along = (c.stretch - c.travel * ratio * length_slope / length)[:, None] * d_xi
    along += (c.travel / length)[:, None] * d_stretch
    if unknowns == 2:
        return along[:, None]
    turned = np.zeros((len(split), 6, 3))
    turned[:, :, 2] = split
    around = c.turn[:, None] * d_radius + c.radius[:, None] * (turned.reshape(d_xi.shape) - c.turn_slope[:, None] * d_xi)
    return np.stack([along, around], axis=1)


def _area_slope(contact: Contact, c: Closed, run, d_radius, d_xi, unknowns: int) -> np.ndarray:
    """Gradient (m, d) of the current ring area of each point."""
    fill, fill_slope = c.leader_fill
    d_jacobian = _outer(run, c.follower_tangent, unknowns)
    ring = (d_radius * c.jacobian[:, None] + c.radius[:, None] * d_jacobian) * fill[:, None]
    ring += (c.radius * c.jacobian * fill_slope)[:, None] * d_xi
    return 2 * np.pi * (contact.weights * contact.fill)[c.index, None] * ring
