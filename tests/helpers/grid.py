"""Structured grids of 8-node quadrilaterals for tests, and several bodies joined to one mesh.

    hub = block(10.0, 20.0, spread(0, 40, 12), spread(0, 1, 4))
    shaft = block(0.0, lambda z: 10 + 0.01 * z, spread(-5, 45, 30), spread(0, 1, 6, ratio=0.5))
    mesh = join({"hub": hub, "shaft": shaft}, {"shaft.seat": lambda r, z: (r > 9) & (z > 0) & (z < 40)})

Every body brings its four sides as edges "hub.inner", "hub.outer", "hub.bottom", "hub.top".
"""

from dataclasses import dataclass, replace

import numpy as np

from colletfea.fea.elements.mesh import Mesh, strip
from colletfea.fea.elements.shapes import SIDES


@dataclass(frozen=True)
class Grid:
    """One body: nodes (n, 2), cells (e, 8) and its sides {name: (k, 3) as first, last, middle}."""

    nodes: np.ndarray
    cells: np.ndarray
    sides: dict


def spread(start, end, count, ratio=1.0):
    """count + 1 stations from start to end; ratio is the last interval over the first."""
    steps = np.ones(count) if count == 1 else ratio ** (np.arange(count) / (count - 1))
    inner = start + (end - start) * np.cumsum(steps[:-1]) / steps.sum()
    return np.concatenate([[start], inner, [end]])


def mapped(place, across, along):
    """Grid of place(s, t) -> (r, z); across are the stations of s, along those of t.

    Mid nodes are mapped from half-way parameters, so curved sides stay curved. With s outward and t
    upward the sides are inner (first s), outer, bottom (first t), top.
    """
    at, cells, sides = strip(*(np.asarray(stations, dtype=float) for stations in (across, along)))
    s, t = at.T
    r, z = place(s, t)
    return Grid(np.column_stack([r + 0 * s, z + 0 * s]), cells, sides)


def block(lower, upper, z_stations, radial_stations):
    """Grid between radii lower and upper, numbers or functions of z; radial stations from 0 to 1."""
    inner, outer = (f if callable(f) else (lambda z, value=f: value + 0 * z) for f in (lower, upper))
    return mapped(lambda s, z: (inner(z) + s * (outer(z) - inner(z)), z), radial_stations, z_stations)


def quadrilateral(corners, across, along):
    """Grid on four corners (4, 2), counter-clockwise from bottom inside; stations from 0 to 1."""
    a, b, c, d = np.asarray(corners, dtype=float)[:, :, None]
    return mapped(
        lambda s, t: (1 - s) * (1 - t) * a + s * (1 - t) * b + s * t * c + (1 - s) * t * d, across, along
    )


def distorted(grid, amount, seed=0):
    """The grid with its interior corner nodes moved at random by amount times the shortest side next
    to them; every mid node is put back half way, so sides are straight."""
    nodes = grid.nodes.copy()
    sides = grid.cells[:, SIDES].reshape(-1, 3)
    corners = np.setdiff1d(grid.cells[:, :4], np.concatenate(list(grid.sides.values())))
    length = np.full(len(nodes), np.inf)
    span = np.linalg.norm(nodes[sides[:, 1]] - nodes[sides[:, 0]], axis=1)
    for end in (0, 1):
        np.minimum.at(length, sides[:, end], span)
    shift = np.random.default_rng(seed).uniform(-1, 1, (len(corners), 2))
    nodes[corners] += amount * length[corners, None] * shift
    nodes[sides[:, 2]] = (nodes[sides[:, 0]] + nodes[sides[:, 1]]) / 2
    return replace(grid, nodes=nodes)


def join(bodies, conditions=None):
    """Mesh of the bodies {name: Grid}, no node shared between them.

    conditions {"body.edge": f(r, z) -> bool array} add edges: the boundary sides of that body whose
    three nodes all satisfy f; they must form one open chain.
    """
    nodes, cells, edges = [], {}, {}
    for name, grid in bodies.items():
        first = sum(len(n) for n in nodes)
        nodes.append(grid.nodes)
        cells[name] = grid.cells + first
        edges.update({f"{name}.{side}": rows + first for side, rows in grid.sides.items()})
    nodes = np.vstack(nodes)
    for name, condition in (conditions or {}).items():
        boundary = np.vstack([rows for edge, rows in edges.items() if edge in _sides(name.split(".")[0])])
        inside = np.asarray(condition(*nodes.T))
        edges[name] = boundary[inside[boundary].all(axis=1)]
    return Mesh.build(nodes, cells, edges)


def _sides(body):
    return {f"{body}.{side}" for side in ("inner", "outer", "bottom", "top")}
