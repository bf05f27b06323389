"""Nodal fields of accepted states, body by body, and a VTU series of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from colletfea.fea.bodies.stress import cauchy, to_nodes, von_mises
from colletfea.fea.model.model import Model
from colletfea.fea.stepping.state import State


@dataclass(frozen=True)
class Frame:
    """One picture of a series: a state with its model, the stage it belongs to, its time, and numbers that go with it by name.

    time rises from frame to frame, in whatever unit the series is told in.
    """

    stage: str
    model: Model
    state: State
    time: float
    values: Mapping[str, float] = field(default_factory=dict)


def stresses(model: Model, state: State) -> dict[str, np.ndarray]:
    """von_mises (never below 0) and hoop stress (e, 8) [MPa] at the elements' nodes, averaged inside each body."""
    stress = cauchy(model.solid, state.u, state.flow)
    equivalent, hoop = (to_nodes(model.solid, model.mesh, values) for values in (von_mises(stress), stress[..., 1, 1]))
    return {"von_mises": np.maximum(equivalent, 0.0), "hoop": hoop}  # carried on to nodes it can fall below 0


def write_series(folder: Path, frames: Sequence[Frame]) -> None:
    """Write one VTU file a frame into folder, and series.pvd, the index a VTK viewer plays.

    Points are undeformed (r, z, 0) [mm]; displacement_mm (u_r, u_z, 0) warps them, turn_rad is the turn about the axis (0 where
    the model has none), stresses end in _MPa. Bodies keep their own points, so that stresses do not mix where bodies share
    nodes. Each file holds its frame's values as field data; the index has its time, and its stage as the group.
    """
    folder.mkdir(parents=True, exist_ok=True)
    for old in (*folder.glob("state_*.vtu"), *folder.glob("series.pvd")):
        old.unlink()
    names = [f"state_{k:03d}.vtu" for k in range(len(frames))]
    for name, frame in zip(names, frames):
        _write(folder / name, frame)
    (folder / "series.pvd").write_text(_index(names, frames), encoding="utf-8")


def _write(path: Path, frame: Frame) -> None:
    import meshio

    nodes, cells, body = _apart(frame.model)
    points = np.column_stack([frame.model.mesh.nodes[nodes], np.zeros(len(nodes))])
    moved, turn = _moved(frame.model, frame.state)
    data = {"displacement_mm": moved[nodes], "turn_rad": turn[nodes]}
    for name, values in stresses(frame.model, frame.state).items():
        at_points = np.empty(len(nodes))
        at_points[cells.ravel()] = values.ravel()
        data[f"{name}_MPa"] = at_points
    grid = meshio.Mesh(points, [("quad8", cells)], point_data=data, cell_data={"body": [body]})
    meshio.write(path, grid, file_format="vtu", compression=None)
    _add_values(path, frame.values)


def _apart(model: Model) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Nodes (n,) with those that bodies share once a body, elements (e, 8) over them, and number of the body (e,)."""
    parts = [np.unique(model.solid.nodes_of[s], return_inverse=True) for s in model.solid.slices.values()]
    shapes = [model.solid.nodes_of[s].shape for s in model.solid.slices.values()]
    first = np.cumsum([0, *(len(p[0]) for p in parts[:-1])])
    cells = np.concatenate([p[1].reshape(s) + f for p, s, f in zip(parts, shapes, first)])
    return np.concatenate([p[0] for p in parts]), cells, np.concatenate([np.full(s[0], k) for k, s in enumerate(shapes)])


def _moved(model: Model, state: State) -> tuple[np.ndarray, np.ndarray]:
    """Displacement (n, 3) [mm] in the meridional plane and turn (n,) [rad] of all nodes."""
    u = state.u.reshape(-1, model.unknowns)
    turn = u[:, 2] if model.unknowns > 2 else np.zeros(len(u))
    return np.column_stack([u[:, :2], np.zeros(len(u))]), turn


def _add_values(path: Path, values: Mapping[str, float]) -> None:
    """Field data, one number a name, into a file that meshio has written: it leaves them out itself."""
    arrays = "".join(
        f'<DataArray type="Float64" Name="{name}" NumberOfTuples="1" format="ascii">{value:.17g}</DataArray>' for name, value in values.items()
    )
    whole = path.read_text(encoding="utf-8")
    path.write_text(whole.replace("<UnstructuredGrid>", f"<UnstructuredGrid><FieldData>{arrays}</FieldData>", 1), encoding="utf-8")


def _index(names: Sequence[str], frames: Sequence[Frame]) -> str:
    rows = "\n".join(
        f'    <DataSet timestep="{frame.time:.9g}" group="{frame.stage}" part="0" file="{name}"/>' for name, frame in zip(names, frames)
    )
    return (
        '<?xml version="1.0"?>\n<VTKFile type="Collection" version="0.1">\n  <Collection>\n'
        f"{rows}\n  </Collection>\n</VTKFile>\n"
    )
