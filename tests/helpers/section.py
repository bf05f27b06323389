"""A made-up section of the bundled coupling on structured blocks: arrays as a run stores them."""

import math

import numpy as np

END = 0.62  # travel of the ring [mm]


def _block(corners, columns, rows):
    """Structured 8-node quadrilaterals on a four-sided block; corners counter-clockwise in (r, z)."""
    corner, xi = np.asarray(corners, float), np.linspace(0, 1, 2 * columns + 1)
    grid_x, grid_y = np.meshgrid(xi, np.linspace(0, 1, 2 * rows + 1), indexing="ij")
    weights = np.stack(
        [(1 - grid_x) * (1 - grid_y), grid_x * (1 - grid_y), grid_x * grid_y, (1 - grid_x) * grid_y], -1
    )
    number = np.arange(grid_x.size).reshape(grid_x.shape)
    i, j = (a.ravel() for a in np.meshgrid(2 * np.arange(columns), 2 * np.arange(rows), indexing="ij"))
    offsets = ((0, 0), (2, 0), (2, 2), (0, 2), (1, 0), (2, 1), (1, 2), (0, 1))
    return (weights @ corner).reshape(-1, 2), np.stack([number[i + a, j + b] for a, b in offsets], axis=1)


def section(fineness=1):
    """Arrays of section.npz for the case above, the ring moved by END and everything else nearly still."""
    slope, bore = math.tan(math.radians(5)), 11.0135
    cone = lambda z: bore + 2.2 + (26 - z) * slope  # noqa: E731
    blocks = {
        "shaft": ([(0, -11), (11, -11), (11, 37), (0, 37)], 8, 40),
        "sleeve": ([(bore, 0), (cone(0), 0), (cone(26), 26), (bore, 26)], 4, 30),
        "flange": ([(bore, -6), (26, -6), (26, 0), (bore, 0)], 10, 5),
        "ring": ([(cone(3), 3), (23, 3), (23, 25), (cone(25), 25)], 8, 24),
    }
    arrays, nodes = {}, np.zeros((0, 2))
    for body, (corners, columns, rows) in blocks.items():
        points, cells = _block(corners, columns * fineness, rows * fineness)
        arrays[f"cells_{body}"] = cells + len(nodes)
        nodes = np.vstack([nodes, points])
        inside = points[cells]
        stress = (
            90
            + 3 * inside[..., 1]
            + 160 * np.exp(-np.hypot(inside[..., 0] - 13.2, inside[..., 1] - 25.5) / 1.5)
        )
        arrays[f"von_mises_{body}"] = stress * (2.1 if body == "sleeve" else 1)
        arrays[f"hoop_{body}"] = -0.5 * stress
    moved = np.zeros_like(nodes)
    moved[:, 0] = -1e-3 * nodes[:, 0]
    moved[np.unique(arrays["cells_ring"]), 1] = -END
    own = {"nodes": nodes, "displacement": moved, **arrays}
    return {**own, **_governing(own, list(blocks))}


def _governing(own, bodies):
    """The same bodies with nodes of their own and a fifth more stress, as from the corner that governs each."""
    found = {}
    for body in bodies:
        used, cells = np.unique(own[f"cells_{body}"], return_inverse=True)
        found[f"worst_nodes_{body}"] = own["nodes"][used]
        found[f"worst_displacement_{body}"] = own["displacement"][used]
        found[f"worst_cells_{body}"] = cells.reshape(-1, 8)
        found[f"worst_von_mises_{body}"] = 1.2 * own[f"von_mises_{body}"]
    return found


def steps(count, elements=12):
    """Arrays over the increments of a push that goes with `section`: everything grows evenly, the bore touches from half way on."""
    arrays = section()
    rim = np.unique(np.concatenate([cells[:, :4].ravel() for name, cells in arrays.items() if name.startswith("cells_")])).astype(np.int32)
    share = np.linspace(0, 1, count)
    found = {"travel": END * share, "nodes": rim, "displacement": share[:, None, None] * arrays["displacement"][rim]}
    for pair, low, high in (("bore", 0, 26), ("cone", 3, 25)):
        found[f"z_{pair}"] = low + (high - low) * (np.arange(elements) + 0.5) / elements
        touching = share[:, None] * np.ones(elements) > (0.5 if pair == "bore" else 0.0)
        found[f"pressure_{pair}"] = np.where(touching, 80 * share[:, None] * (1 + 0.02 * np.arange(elements)), 0.0)
        found[f"state_{pair}"] = np.where(touching, np.where(np.arange(elements) < elements // 2, 1, 2), 0).astype(np.int8)
    return {f"steps_{name}": array for name, array in found.items()}
