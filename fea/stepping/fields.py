"""Nodal fields of accepted states, body by body, and a VTU series of them."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np

from colletfea.fea.bodies.stress import cauchy, to_nodes, von_mises
from colletfea.fea.model.model import Model
from colletfea.fea.stepping.state import State


def stresses(model: Model, state: State) -> dict[str, np.ndarray]:
    """von_mises (never below 0) and hoop stress (e, 8) [MPa] at the elements' nodes, averaged inside each body."""
    stress = cauchy(model.solid, state.u, state.flow)
    equivalent, hoop = (to_nodes(model.solid, model.mesh, values) for values in (von_mises(stress), stress[..., 1, 1]))
    return {"von_mises": np.maximum(equivalent, 0.0), "hoop": hoop}  # carried on to nodes it can fall below 0


def write_series(folder: Path, model: Model, states: Sequence[State]) -> None:
    """Write one VTU file a state into folder, and series.pvd, the index a VTK viewer plays.

    Points are undeformed (r, z, 0); displacement warps them. Bodies keep their own points, so that
    stresses do not mix where bodies share nodes. Time is the number of the state.
    """
    import meshio

    folder.mkdir(parents=True, exist_ok=True)
    for old in (*folder.glob("state_*.vtu"), *folder.glob("series.pvd")):
        old.unlink()
    parts = [np.unique(model.solid.nodes_of[s], return_inverse=True) for s in model.solid.slices.values()]
    shapes = [model.solid.nodes_of[s].shape for s in model.solid.slices.values()]
    nodes = np.concatenate([p[0] for p in parts])
    first = np.cumsum([0, *(len(p[0]) for p in parts[:-1])])
    cells = np.concatenate([p[1].reshape(s) + f for p, s, f in zip(parts, shapes, first)])
    body = np.concatenate([np.full(s[0], k) for k, s in enumerate(shapes)])
    points = np.column_stack([model.mesh.nodes[nodes], np.zeros(len(nodes))])
    names = []
    for k, state in enumerate(states):
        data = {"displacement": _displacement(model, state)[nodes]}
        for name, values in stresses(model, state).items():
            field = np.empty(len(nodes))
            field[cells.ravel()] = values.ravel()
            data[f"{name}_MPa"] = field
        names.append(f"state_{k:03d}.vtu")
        grid = meshio.Mesh(points, [("quad8", cells)], point_data=data, cell_data={"body": [body]})
        meshio.write(folder / names[-1], grid, file_format="vtu", compression=None)
    (folder / "series.pvd").write_text(_index(names), encoding="utf-8")


def _displacement(model: Model, state: State) -> np.ndarray:
    moved = state.u.reshape(-1, model.unknowns)[:, :2]
    return np.column_stack([moved, np.zeros(len(moved))])


def _index(names: list[str]) -> str:
    rows = "\n".join(f'    <DataSet timestep="{k}" file="{name}"/>' for k, name in enumerate(names))
    return (
        '<?xml version="1.0"?>\n<VTKFile type="Collection" version="0.1">\n  <Collection>\n'
        f"{rows}\n  </Collection>\n</VTKFile>\n"
    )
