"""Structured grids of 8-node quadrilaterals, and several bodies joined to one mesh.

    hub = block(10.0, 20.0, spread(0, 40, 12), spread(0, 1, 4))
    shaft = block(0.0, lambda z: 10 + 0.01 * z, spread(-5, 45, 30), spread(0, 1, 6, ratio=0.5))
    mesh = join({"hub": hub, "shaft": shaft}, {"shaft.seat": lambda r, z: (r > 9) & (z > 0) & (z < 40)})

Every body brings its four sides as edges "hub.inner", "hub.outer", "hub.bottom", "hub.top".
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from colletfea.fea.elements.mesh import Mesh, strip


@dataclass(frozen=True)
class Grid:
    """One body: nodes (n, 2) as (r, z) [mm], cells (e, 8) and its sides {name: (k, 3) as first, last, middle}."""

    nodes: np.ndarray
    cells: np.ndarray
    sides: dict[str, np.ndarray]


def spread(start: float, end: float, count: int, ratio: float = 1.0) -> np.ndarray:
    """count + 1 stations from start to end; ratio is the last interval over the first."""
    steps = np.ones(count) if count == 1 else ratio ** (np.arange(count) / (count - 1))
    inner = start + (end - start) * np.cumsum(steps[:-1]) / steps.sum()
    return np.concatenate([[start], inner, [end]])


def graded(*pieces: Sequence[float]) -> np.ndarray:
    """Stations of several spreads (start, end, count, ratio) in a row, shared ends once."""
    parts = [spread(*piece) for piece in pieces]
    return np.concatenate([parts[0], *(p[1:] for p in parts[1:])])


def mapped(place: Callable, across: Sequence[float] | np.ndarray, along: Sequence[float] | np.ndarray) -> Grid:
    """Grid of place(s, t) -> (r, z); across are the stations of s, along those of t.

    Mid nodes are mapped from half-way parameters, so curved sides stay curved. With s outward and t
    upward the sides are inner (first s), outer, bottom (first t), top.
    """
    at, cells, sides = strip(*(np.asarray(stations, dtype=float) for stations in (across, along)))
    s, t = at.T
    r, z = place(s, t)
    return Grid(np.column_stack([r + 0 * s, z + 0 * s]), cells, sides)


def block(lower: float | Callable, upper: float | Callable, z_stations, radial_stations) -> Grid:
    """Grid between radii lower and upper [mm], numbers or functions of z; radial stations from 0 to 1."""
    inner, outer = (f if callable(f) else (lambda z, value=f: value + 0 * z) for f in (lower, upper))
    return mapped(lambda s, z: (inner(z) + s * (outer(z) - inner(z)), z), radial_stations, z_stations)


def join(bodies: Mapping[str, Grid], conditions: Mapping[str, Callable] | None = None) -> Mesh:
    """Mesh of the bodies {name: Grid}, no node shared between them.

    conditions {"body.edge": f(r, z) -> bool array} add edges: the boundary sides of that body whose
    three nodes all satisfy f; they must form one open chain. Raises MeshError where they don't.
    """
    parts, cells, edges, first = [], {}, {}, 0
    for name, grid in bodies.items():
        parts.append(grid.nodes)
        cells[name] = grid.cells + first
        edges.update({f"{name}.{side}": rows + first for side, rows in grid.sides.items()})
        first += len(grid.nodes)
    nodes = np.vstack(parts)
    for name, condition in (conditions or {}).items():
        body = name.split(".")[0]
        boundary = np.vstack([edges[f"{body}.{side}"] for side in bodies[body].sides])
        inside = np.asarray(condition(*nodes.T))
        edges[name] = boundary[inside[boundary].all(axis=1)]
    return Mesh.build(nodes, cells, edges)
