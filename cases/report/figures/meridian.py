"""Meridional section: the parts with their mesh to scale, and the von Mises stress on the deformed shape.

Drawn with the shaft's axis horizontal: z to the right (back face left, nose right), r upward.
"""

from typing import Any, Mapping

import numpy as np

from colletfea.cases.report.figures import canvas
from colletfea.cases.report.figures.canvas import FAINT, INK, PART_COLOURS, WARNING, Drawing
from colletfea.cases.stored.result import Result
from colletfea.cases.report.wording import number, percent, quantity

RIM = (0, 4, 1, 5, 2, 6, 3, 7)  # walk round an 8-node quadrilateral
QUARTERS = ((0, 4, 8, 7), (4, 1, 5, 8), (8, 5, 2, 6), (7, 8, 6, 3))
MAGNIFICATIONS = (1, 2, 5, 10, 20, 50)
PEAK_AREA = 0.005  # share of the area left above the colour scale
LARGEST_SHIFT = 0.03  # of the section's length, for the magnified drawing


def section(result: Result) -> Drawing | None:
    """Upper half: parts with mesh at travel 0; lower half: the plain parts. None without stored fields."""
    if result.section is None:
        return None
    parts, nodes = bodies(result.section), result.section["nodes"]
    figure, ax = _frame("Section through the coupling before the push", nodes)
    for body, cells in parts.items():
        shape = _points(nodes)[cells[:, RIM]]
        canvas.polygons(
            ax, shape, facecolor=PART_COLOURS.get(body, FAINT), edgecolor="#ffffff", linewidth=0.35
        )
        canvas.polygons(
            ax, shape * (1, -1), facecolor=PART_COLOURS.get(body, FAINT), edgecolor="face", linewidth=0.4
        )
        canvas.segments(ax, _outline(nodes, cells), color=INK, linewidth=0.9)
        canvas.segments(ax, _outline(nodes, cells) * (1, -1), color=INK, linewidth=0.9)
    ax.axhline(0, color=INK, linewidth=0.7, dashes=(14, 4, 2, 4))
    _names(ax, nodes, parts)
    _sizes(ax, result.summary["case"])
    elements = sum(len(cells) for cells in parts.values())
    reading = (
        f"To scale, {number(elements)} elements in the meridional half plane; solved as a body of "
        f"revolution. {_slits_said(result.summary['case'])}"
    )
    return Drawing("section", "Section", reading, canvas.finish(figure))


def stress(result: Result) -> Drawing | None:
    """Von Mises stress on the deformed section at the end state. None without stored fields."""
    if result.section is None:
        return None
    parts, arrays = bodies(result.section), result.section
    scale = magnification(arrays["nodes"], arrays["displacement"])
    nodes = arrays["nodes"] + scale * arrays["displacement"]
    drawn = "" if scale == 1 else f", displacements drawn {scale} times as large"
    figure, ax = _frame(f"Von Mises stress at the end of the push{drawn}", nodes, whole=False)
    values = {body: arrays[f"von_mises_{body}"] for body in parts}
    tiles = {body: _quarters(_points(nodes)[cells], values[body]) for body, cells in parts.items()}
    top = _colour_limit(list(tiles.values()))
    for body, cells in parts.items():
        shape, level = tiles[body]
        field = canvas.polygons(
            ax, shape, array=level, cmap=canvas.FIELD_COLOURS, linewidth=0, antialiased=False
        )
        field.set_clim(0, top)
        _mark_yield(ax, shape, level, _yield_stress(result.summary["case"], body))
        canvas.segments(ax, _outline(nodes, cells), color=INK, linewidth=0.7)
    figure.subplots_adjust(right=0.9)
    bar = figure.colorbar(field, ax=ax, fraction=0.03, pad=0.02, extend="max")
    bar.set_label("von Mises stress [MPa]", fontsize=8, color=INK)
    bar.ax.tick_params(labelsize=8)
    return Drawing("stress", "Von Mises stress", _stress_said(result, values, scale), canvas.finish(figure))


def bodies(arrays: Mapping[str, Any]) -> dict[str, Any]:
    """Element tables by body name, (e, 8)."""
    return {name.removeprefix("cells_"): cells for name, cells in arrays.items() if name.startswith("cells_")}


def magnification(nodes: Any, displacement: Any) -> int:
    """Largest round factor that keeps the greatest displacement within a few percent of the section's length."""
    shift = float(np.max(np.abs(displacement), initial=0.0))
    room = LARGEST_SHIFT * float(np.ptp(nodes[:, 1]))
    return max((factor for factor in MAGNIFICATIONS if factor * shift <= room), default=1)


def _frame(title: str, nodes: Any, whole: bool = True) -> tuple[Any, Any]:
    length, radius = float(np.ptp(nodes[:, 1])), float(np.max(nodes[:, 0]))
    width = 8.6
    height = min(7.5, 1.2 + (width - 1.3) * (2.3 if whole else 1.05) * radius / (1.1 * length))
    figure, ax = canvas.board(width, height, title)
    ax.set_xlim(np.min(nodes[:, 1]) - 0.05 * length, np.max(nodes[:, 1]) + 0.05 * length)
    ax.set_ylim(-1.2 * radius if whole else 0.0, 1.2 * radius if whole else 1.04 * radius)
    ax.set_aspect("equal", adjustable="box")
    ax.grid(False)
    ax.set_xlabel("z [mm]", fontsize=9, color=INK)
    ax.set_ylabel("r [mm]", fontsize=9, color=INK)
    return figure, ax


def _points(nodes: Any) -> Any:
    return nodes[:, ::-1]  # (r, z) -> abscissa z, ordinate r


def _outline(nodes: Any, cells: Any) -> Any:
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
    return _points(nodes)[edges[first[count == 1]]]


def _quarters(corners: Any, values: Any) -> tuple[Any, Any]:
    """Each element as four tiles, (4 e, 4, 2) and their mean values (4 e,): quick and true to the mid nodes."""
    middle = lambda a: (-a[:, :4].sum(1) + 2 * a[:, 4:8].sum(1)) / 4  # noqa: E731  8-node shape functions at 0, 0
    points = np.concatenate([corners, middle(corners)[:, None]], axis=1)
    levels = np.concatenate([values, middle(values)[:, None]], axis=1)
    return points[:, QUARTERS].reshape(-1, 4, 2), levels[:, QUARTERS].mean(-1).ravel()


def _colour_limit(tiles: list[tuple[Any, Any]]) -> float:
    """Stress that all but a small part of the drawn area stays below: peaks at sharp edges would dull the rest."""
    z, r = np.moveaxis(np.concatenate([shape for shape, _ in tiles]), -1, 0)
    area = np.abs(np.sum(z * np.roll(r, -1, axis=1) - r * np.roll(z, -1, axis=1), axis=1)) / 2
    level = np.concatenate([values for _, values in tiles])
    order = np.argsort(level)
    reached = np.searchsorted(np.cumsum(area[order]), (1 - PEAK_AREA) * area.sum())
    return max(float(level[order[min(reached, len(level) - 1)]]), 1e-6)


def _mark_yield(ax: Any, shape: Any, level: Any, limit: float | None) -> None:
    if limit is not None and np.any(level > limit):
        canvas.polygons(ax, shape[level > limit], facecolor=WARNING, linewidth=0, antialiased=False)


def _yield_stress(case: Mapping[str, Any], body: str) -> float | None:
    return case["sleeve" if body == "flange" else body]["material"]["yield"]


def _names(ax: Any, nodes: Any, parts: Mapping[str, Any]) -> None:
    """Part names in the lower half, where there is no mesh."""
    frame = {"facecolor": "#ffffff", "edgecolor": "none", "alpha": 0.75, "pad": 1.5}
    for body, cells in parts.items():
        place = _points(nodes)[cells].reshape(-1, 2)
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


def _stress_said(result: Result, values: Mapping[str, Any], scale: int) -> str:
    case = result.summary["case"]
    peaks = ", ".join(f"{body} {quantity(float(np.max(value)), 'MPa', 3)}" for body, value in values.items())
    over = [
        body
        for body, value in values.items()
        if (limit := _yield_stress(case, body)) is not None and float(np.max(value)) > limit
    ]
    marked = (
        f" Above yield, marked red: {', '.join(over)}."
        if over
        else " No point lies above its part's yield stress."
    )
    return (
        f"Largest values at nodes, sharp edges included: {peaks}; see the table of peaks for which can be "
        f"believed.{marked} The colours end at the stress that {percent(PEAK_AREA)} of the area exceeds; "
        f"displacements magnified {scale} times."
    )
