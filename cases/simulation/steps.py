"""What the report's slider through the push is made from: the parts' outlines and both contacts in every accepted increment."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from colletfea.cases.simulation import blocks
from colletfea.cases.simulation.model import BORE, CONE
from colletfea.cases.stored.names import CONTACT_STATES, STEPS
from colletfea.fea.model.model import Model
from colletfea.fea.stepping.state import State

SIDES = ((0, 1), (1, 2), (2, 3), (3, 0))


def arrays(model: Model, states: Sequence[State]) -> dict[str, Any]:
    """Arrays by name, k states, m nodes, e elements along a pair, all in single precision; names begin with "steps_".

    travel (k,) [mm]; nodes (m,) numbers of the corner nodes on the outlines; displacement (k, m, 2) [mm]; for bore and cone
    z (e,) [mm] in the last state, pressure (k, e) [MPa], state (k, e), which counts along CONTACT_STATES.
    """
    rim = np.unique(np.concatenate([_rim(model.solid.nodes_of[part]) for part in model.solid.slices.values()]))
    moved = [state.u.reshape(-1, model.unknowns)[rim, :2] for state in states]
    found = {"travel": _single([state.t for state in states]), "nodes": rim.astype(np.int32), "displacement": _single(moved)}
    for name, pair in (("bore", BORE), ("cone", CONE)):
        rows = [blocks.along(model, state, pair) for state in states]
        found[f"z_{name}"] = _single([row["z_mm"] for row in rows[-1]])
        found[f"pressure_{name}"] = _single([[row["pressure_MPa"] for row in one] for one in rows])
        found[f"state_{name}"] = np.array([[CONTACT_STATES.index(row["state"]) for row in one] for one in rows], dtype=np.int8)
    return {STEPS + name: array for name, array in found.items()}


def _rim(cells: np.ndarray) -> np.ndarray:
    """Corner nodes of the sides that belong to one element only."""
    sides = np.sort(np.concatenate([cells[:, side] for side in SIDES]), axis=1)
    unique, count = np.unique(sides, axis=0, return_counts=True)
    return unique[count == 1].ravel()


def _single(values: Any) -> np.ndarray:
    return np.asarray(values, dtype=np.float32)
