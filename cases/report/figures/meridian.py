"""Meridional section: the parts with their mesh to scale.

Drawn with the shaft's axis horizontal: z to the right (back face left, nose right), r upward.
"""

from typing import Any, Mapping

import numpy as np

from colletfea.cases.report.figures import canvas
from colletfea.cases.report.figures.canvas import FAINT, INK, PART_COLOURS, Drawing
from colletfea.cases.stored.result import Result
from colletfea.cases.report.wording import number, quantity

RIM = (0, 4, 1, 5, 2, 6, 3, 7)  # walk round an 8-node quadrilateral


def section(result: Result) -> Drawing | None:
    """Upper half: parts with mesh at travel 0; lower half: the plain parts. None without stored fields."""
    if result.section is None:
        return None
    parts, nodes = bodies(result.section), result.section["nodes"]
    figure, ax = _frame("Section through the coupling before the push", nodes)
    for body, cells in parts.items():
        colour, rim = PART_COLOURS.get(body, FAINT), [points(nodes)[loop][None] for loop in loops(cells)]
        canvas.closed(ax, _rims(points(nodes)[cells]), gid=f"{body}-mesh", facecolor=colour, edgecolor="#ffffff", linewidth=0.35)
        canvas.closed(ax, rim, facecolor="none", edgecolor=INK, linewidth=0.9)
        canvas.closed(ax, [shape * (1, -1) for shape in rim], gid=f"{body}-plain", facecolor=colour, edgecolor=INK, linewidth=0.9)
    ax.axhline(0, color=INK, linewidth=0.7, dashes=(14, 4, 2, 4))
    _names(ax, nodes, parts)
    _sizes(ax, result.summary["case"])
    elements = sum(len(cells) for cells in parts.values())
    reading = (
        f"To scale, {number(elements)} elements in the meridional half plane; solved as a body of "
        f"revolution. {_slits_said(result.summary['case'])}"
    )
    png, said = canvas.finish(figure), _bodies_said(result.summary["case"], parts)
    return Drawing("section", "Section", reading, png, svg=canvas.vector(figure, "section", "Section", said=said))


def _bodies_said(case: Mapping[str, Any], parts: Mapping[str, Any]) -> dict[str, str]:
    """What is shown on hover over a body: its material and how finely it is divided."""
    materials = {body: case["sleeve" if body == "flange" else body]["material"] for body in parts}
    return {
        f"{body}-{half}": f"{body}: {m['name']}, Young's modulus {quantity(m['young'], 'MPa')}, Poisson's ratio {number(m['poisson'])}, "
        f"{number(len(parts[body]))} elements"
        for body, m in materials.items()
        for half in ("mesh", "plain")
    }


def bodies(arrays: Mapping[str, Any]) -> dict[str, Any]:
    """Element tables by body name, (e, 8)."""
    return {name.removeprefix("cells_"): cells for name, cells in arrays.items() if name.startswith("cells_")}


def _frame(title: str, nodes: Any) -> tuple[Any, Any]:
    length, radius = float(np.ptp(nodes[:, 1])), float(np.max(nodes[:, 0]))
    width = 8.6
    height = min(7.5, 1.2 + (width - 1.3) * 2.3 * radius / (1.1 * length))
    figure, ax = canvas.board(width, height, title)
    ax.set_xlim(np.min(nodes[:, 1]) - 0.05 * length, np.max(nodes[:, 1]) + 0.05 * length)
    ax.set_ylim(-1.2 * radius, 1.2 * radius)
    ax.set_aspect("equal", adjustable="box")
    ax.grid(False)
    ax.set_xlabel("z [mm]", fontsize=9, color=INK)
    ax.set_ylabel("r [mm]", fontsize=9, color=INK)
    return figure, ax


def points(nodes: Any) -> Any:
    """Nodes as they are drawn."""
    return nodes[:, ::-1]  # (r, z) -> abscissa z, ordinate r


def _rims(corners: Any) -> list[Any]:
    """Elements as polygons, straight ones without their mid nodes: (n, 4, 2) and (m, 8, 2)."""
    off = corners[:, 4:] - (corners[:, :4] + np.roll(corners[:, :4], -1, axis=1)) / 2
    straight = np.abs(off).max((1, 2)) < 1e-6 * np.ptp(corners)
    return [corners[straight, :4], corners[~straight][:, RIM]]


def loops(cells: Any) -> list[list[int]]:
    """Closed walks of nodes round a body of elements, material on the left."""
    around = cells[:, (*RIM, RIM[0])]
    ways = {(a, b) for row in around.tolist() for a, b in zip(row, row[1:])}
    following = {a: b for a, b in ways if (b, a) not in ways}
    found = []
    while following:
        walk = [next(iter(following))]
        while (on := following.pop(walk[-1], None)) is not None:
            walk.append(on)
        found.append(walk[:-1])
    return found


def outline(nodes: Any, cells: Any) -> Any:
    """Edges that belong to one element only, (n, 2, 2)."""
    edges = np.concatenate(
        [
            cells[:, (0, 4)],
            cells[:, (4, 1)],
            cells[:, (1, 5)],
            cells[:, (5, 2)],
            cells[:, (2, 6)],
            cells[:, (6, 3)],
            cells[:, (3, 7)],
            cells[:, (7, 0)],
        ]
    )
    _, first, count = np.unique(np.sort(edges, axis=1), axis=0, return_index=True, return_counts=True)
    return points(nodes)[edges[first[count == 1]]]


def _names(ax: Any, nodes: Any, parts: Mapping[str, Any]) -> None:
    """Part names in the lower half, where there is no mesh."""
    frame = {"facecolor": "#ffffff", "edgecolor": "none", "alpha": 0.75, "pad": 1.5}
    for body, cells in parts.items():
        place = points(nodes)[cells].reshape(-1, 2)
        z, r = (place.min(0) + place.max(0)) / 2
        turn = 90 if body == "flange" else 0
        ax.text(z, -r, body, ha="center", va="center", fontsize=9, color=INK, rotation=turn, bbox=frame)


def _sizes(ax: Any, case: Mapping[str, Any]) -> None:
    """The sizes that matter, as dimension arrows above and below the section."""
    shaft, sleeve, ring = case["shaft"], case["sleeve"], case["ring"]
    top = max(ring["outer_diameter"], sleeve["flange_diameter"]) / 2
    _span(
        ax,
        (ring["start"], ring["start"] + ring["length"]),
        1.07 * top,
        f"ring ⌀{number(ring['outer_diameter'], 3)} × {number(ring['length'], 3)}",
    )
    _span(
        ax,
        (0.0, sleeve["length"]),
        -1.07 * top,
        f"seat ⌀{number(shaft['diameter'], 3)} × {number(sleeve['length'], 3)}, taper "
        f"{number(sleeve['taper'], 3)}°, {_clearance(sleeve)}",
    )


def _clearance(sleeve: Mapping[str, Any]) -> str:
    return (
        f"fit {sleeve['fit']}"
        if sleeve["clearance"] is None
        else f"clearance {quantity(sleeve['clearance'], 'mm', 3)}"
    )


def _span(ax: Any, ends: tuple[float, float], height: float, text: str) -> None:
    ax.annotate(
        "",
        (ends[0], height),
        (ends[1], height),
        arrowprops={"arrowstyle": "<->", "color": INK, "lw": 0.8, "shrinkA": 0, "shrinkB": 0},
    )
    ax.annotate(
        text,
        (sum(ends) / 2, height),
        textcoords="offset points",
        xytext=(0, 3 if height > 0 else -3),
        ha="center",
        va="bottom" if height > 0 else "top",
        fontsize=8,
        color=INK,
    )


def _slits_said(case: Mapping[str, Any]) -> str:
    slits = case["sleeve"]["slits"]
    if slits["pattern"] == "none":
        return "The sleeve is closed."
    count = slits["count"]
    return (
        f"The slits ({slits['pattern']}, {count} of {quantity(slits['width'], 'mm', 3)}) are not drawn: "
        "they enter as a softer hoop direction and a smaller contact area."
    )
