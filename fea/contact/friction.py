"""Coulomb friction as elastic-slip with return mapping, in the tangent plane of the contact.

Source: the plasticity analogy of Coulomb friction, e.g. Wriggers, Computational Contact Mechanics,
ch. 5 (from memory); the tangent is held to central differences by the tests.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np


class Traction(NamedTuple):
    """Frictional traction of n points with c components, and how it answers to slip and pressure."""

    value: np.ndarray  # (n, c) [MPa], along the slip increment of the follower relative to the leader
    by_slip: np.ndarray  # (n, c, c) [MPa/mm]
    by_pressure: np.ndarray  # (n, c) [-]
    sliding: np.ndarray  # (n,) bool


def return_mapping(
    old: np.ndarray, slip: np.ndarray, pressure: np.ndarray, friction: np.ndarray, stiffness: np.ndarray, stick: bool
) -> Traction:
    """Traction after a slip increment (n, c) [mm] from the old traction (n, c) [MPa].

    pressure (n,) [MPa], friction (n,) [-], stiffness (n,) [MPa/mm]. The trial old + stiffness * slip is returned radially
    to the circle of radius friction * pressure.
    With stick every point keeps its trial: the elastic predictor after a reversal.
    """
    trial = old + stiffness[:, None] * slip
    size = np.sqrt(np.einsum("nc,nc->n", trial, trial))
    limit = friction * pressure
    sliding = np.zeros(len(size), bool) if stick else size > limit
    direction = trial / np.where(size > 0, size, 1.0)[:, None]
    scale = np.where(sliding, 0.0, 1.0)  # a point that is held though it pulls slides even without a trial
    np.divide(limit, size, out=scale, where=sliding & (size > 0))
    eye = np.eye(slip.shape[1])
    plane = eye - np.where(sliding, 1.0, 0.0)[:, None, None] * direction[:, :, None] * direction[:, None, :]
    return Traction(
        value=trial * scale[:, None],
        by_slip=(stiffness * scale)[:, None, None] * plane,
        by_pressure=np.where(sliding, friction, 0.0)[:, None] * direction,
        sliding=sliding,
    )
