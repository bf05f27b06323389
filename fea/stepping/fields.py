"""Nodal fields of accepted states, body by body, and a VTU series of them."""

from __future__ import annotations

import sys
from base64 import b64encode
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from weakref import WeakKeyDictionary

import numpy as np

from colletfea.fea.bodies.stress import cauchy, to_nodes, von_mises
from colletfea.fea.model.model import Model
from colletfea.fea.stepping.state import State

_KINDS = {"float64": "Float64", "int32": "Int32", "uint8": "UInt8"}
_QUAD8 = np.uint8(23)  # VTK's number of the 8-node quadrilateral

_kept: WeakKeyDictionary[State, tuple[np.ndarray, np.ndarray]] = WeakKeyDictionary()


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


def at_points(model: Model, state: State) -> tuple[np.ndarray, np.ndarray]:
    """Cauchy stress (e, q, 3, 3) and von Mises stress (e, q) [MPa] of a state of the model, at integration points.

    Kept for the state last asked for, which is judged, stored and drawn; so read-only.
    """
    found = _kept.get(state)
    if found is None:
        stress = cauchy(model.solid, state.u, state.flow, model.free(state.t))
        found = stress, von_mises(stress)
        for values in found:
            values.flags.writeable = False
        _kept.clear()
        _kept[state] = found
    return found


def stresses(model: Model, state: State) -> dict[str, np.ndarray]:
    """von_mises (never below 0) and hoop stress (e, 8) [MPa] at the elements' nodes, averaged inside each body."""
    stress, equivalent = at_points(model, state)
    equivalent, hoop = (to_nodes(model.solid, model.mesh, values) for values in (equivalent, stress[..., 1, 1]))
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
    grids = {id(frame.model): _Grid.of(frame.model) for frame in {id(f.model): f for f in frames}.values()}
    for name, frame in zip(names, frames):
        (folder / name).write_text(_file(grids[id(frame.model)], frame), encoding="ascii")
    (folder / "series.pvd").write_text(_index(names, frames), encoding="utf-8")


@dataclass(frozen=True)
class _Grid:
    """What all frames of a model have in common: nodes (n,), elements (e, 8) over them, and both as they are written."""

    nodes: np.ndarray
    cells: np.ndarray
    head: str
    tail: str

    @classmethod
    def of(cls, model: Model) -> _Grid:
        nodes, cells, body = _apart(model)
        points = np.column_stack([model.mesh.nodes[nodes], np.zeros(len(nodes))])
        offsets = 8 * np.arange(1, len(cells) + 1, dtype=np.int32)
        table = [_array("connectivity", cells.astype(np.int32).ravel()), _array("offsets", offsets), _array("types", np.full(len(cells), _QUAD8))]
        head = (
            f'<Piece NumberOfPoints="{len(nodes)}" NumberOfCells="{len(cells)}">\n<Points>\n{_array("Points", points)}</Points>\n'
            f"<Cells>\n{''.join(table)}</Cells>\n"
        )
        return cls(nodes, cells, head, f"<CellData>\n{_array('body', body.astype(np.int32))}</CellData>\n</Piece>\n")


def _file(grid: _Grid, frame: Frame) -> str:
    """A frame as the text of a VTU file."""
    moved, turn = _moved(frame.model, frame.state)
    data = {"displacement_mm": moved[grid.nodes], "turn_rad": turn[grid.nodes]}
    for name, values in stresses(frame.model, frame.state).items():
        at_nodes = np.empty(len(grid.nodes))
        at_nodes[grid.cells.ravel()] = values.ravel()
        data[f"{name}_MPa"] = at_nodes
    numbers = "".join(
        f'<DataArray type="Float64" Name="{name}" NumberOfTuples="1" format="ascii">{value:.17g}</DataArray>\n' for name, value in frame.values.items()
    )
    fields = "".join(_array(name, values) for name, values in data.items())
    order = "LittleEndian" if sys.byteorder == "little" else "BigEndian"
    return (
        f'<?xml version="1.0"?>\n<VTKFile type="UnstructuredGrid" version="0.1" byte_order="{order}">\n<UnstructuredGrid>\n'
        f"<FieldData>\n{numbers}</FieldData>\n{grid.head}<PointData>\n{fields}</PointData>\n{grid.tail}</UnstructuredGrid>\n</VTKFile>\n"
    )


def _array(name: str, values: np.ndarray) -> str:
    """An array (n,) or (n, k) as VTK's XML has it: the count of its bytes and they themselves, in base64."""
    data = np.ascontiguousarray(values).tobytes()
    columns = f' NumberOfComponents="{values.shape[1]}"' if values.ndim > 1 else ""
    text = b64encode(np.uint32(len(data)).tobytes() + data).decode("ascii")
    return f'<DataArray type="{_KINDS[values.dtype.name]}" Name="{name}"{columns} format="binary">{text}</DataArray>\n'


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


def _index(names: Sequence[str], frames: Sequence[Frame]) -> str:
    rows = "\n".join(
        f'    <DataSet timestep="{frame.time:.9g}" group="{frame.stage}" part="0" file="{name}"/>' for name, frame in zip(names, frames)
    )
    return (
        '<?xml version="1.0"?>\n<VTKFile type="Collection" version="0.1">\n  <Collection>\n'
        f"{rows}\n  </Collection>\n</VTKFile>\n"
    )
