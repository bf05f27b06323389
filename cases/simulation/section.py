"""What the report's drawings of the meridional section are made from: mesh, displacements, stresses at nodes."""

from __future__ import annotations

from typing import Any

import numpy as np

from colletfea.cases.simulation.stress import PARTS
from colletfea.fea.elements.shapes import NODES
from colletfea.fea.model.model import Model
from colletfea.fea.stepping.fields import stresses
from colletfea.fea.stepping.state import State


def arrays(model: Model, state: State) -> dict[str, Any]:
    """Arrays by name: nodes (n, 2) and displacement (n, 2) [mm]; per body cells (e, 8) and stresses (e, 8) [MPa].

    After plastic flow also alpha (e, 8) [-]: at each node of an element the plastic strain of its nearest integration point, as
    carried on to nodes the zone would spread into metal that never flowed.
    """
    found = {"nodes": model.mesh.nodes, "displacement": state.u.reshape(-1, model.unknowns)[:, :2]}
    fields = stresses(model, state)
    if state.flow is not None and np.any(state.flow.alpha):
        fields["alpha"] = state.flow.alpha[:, _nearest(model)]
    for body, part in model.solid.slices.items():
        found[f"cells_{body}"] = model.solid.nodes_of[part]
        for name, values in fields.items():
            found[f"{name}_{body}"] = values[part]
    return found


def _nearest(model: Model) -> np.ndarray:
    """The integration point (8,) that lies nearest to each node of an element."""
    away = np.linalg.norm(NODES[:, None] - model.solid.local, axis=-1)
    return np.argmin(away, axis=1)


def with_stress_of(own: dict[str, Any], parts: dict[str, dict[str, Any]]) -> dict[str, Any]:
    """The arrays of one push with the stress of each part from the push that governs it, under names that begin "worst_".

    Meshes of two pushes differ a little, so each such body has its own nodes: worst_nodes_<body> and so on. Parts whose push
    left no arrays are left out.
    """
    found = dict(own)
    for part, arrays_of_part in parts.items():
        for body in PARTS[part]:
            if f"cells_{body}" in arrays_of_part:
                used, cells = np.unique(arrays_of_part[f"cells_{body}"], return_inverse=True)
                found[f"worst_nodes_{body}"] = arrays_of_part["nodes"][used]
                found[f"worst_displacement_{body}"] = arrays_of_part["displacement"][used]
                found[f"worst_cells_{body}"] = cells.reshape(-1, 8)
                for name in ("von_mises", "alpha"):
                    if f"{name}_{body}" in arrays_of_part:
                        found[f"worst_{name}_{body}"] = arrays_of_part[f"{name}_{body}"]
    return found
