"""Von Mises stress on the deformed parts, each from the corner of fit and friction that governs its yield verdict.

Drawn as the section is: z to the right, r upward. The parts come from pushes of their own, so each has its own picture.
"""

from dataclasses import dataclass
from typing import Any, Mapping

import numpy as np

from colletfea.cases.report import corner_words, peak_words
from colletfea.cases.report.figures import canvas
from colletfea.cases.report.figures.canvas import INK, WARNING, Drawing
from colletfea.cases.report.figures.meridian import bodies, outline, points
from colletfea.cases.report.wording import number, percent, quantity
from colletfea.cases.stored.names import PARTS
from colletfea.cases.stored.result import Result

QUARTERS = ((0, 4, 8, 7), (4, 1, 5, 8), (8, 5, 2, 6), (7, 8, 6, 3))
MAGNIFICATIONS = (1, 2, 5, 10, 20, 50)
PEAK_AREA = 0.005  # share of the area left above the colour scale
LARGEST_SHIFT = 0.03  # of the section's length, for the magnified drawing
WIDTH, LONGEST = 8.6, 9.0  # of the figure [inch]


@dataclass(frozen=True)
class Picture:
    """A part as it is drawn: outlines and tiles (n, 4, 2) of its bodies, stress of the tiles and largest at a node [MPa], magnification;
    places that are not believed as centre (z, r), radius and number; tiles (n,) that flowed, and place and size [-] of the largest
    plastic strain, None where there is none."""

    part: str
    edges: Any
    tiles: Any
    levels: Any
    largest: float
    scale: int
    doubts: list[tuple[Any, float, int]]
    flowed: Any
    strained: tuple[Any, float] | None


def stress(result: Result) -> Drawing | None:
    """A picture for each part. None without stored fields."""
    if result.section is None:
        return None
    pictures = [_picture(result, part) for part in PARTS if _own(result.section, part)]
    figure, axes = _board(pictures)
    for ax, picture in zip(axes, pictures):
        _draw(figure, ax, picture, result)
    axes[-1].set_xlabel("z [mm]", fontsize=9, color=INK)
    return Drawing("stress", "Von Mises stress", _said(result, pictures), canvas.finish(figure), tall=True)


def magnification(nodes: Any, displacement: Any) -> int:
    """Largest round factor that keeps the greatest displacement within a few percent of the section's length."""
    shift = float(np.max(np.abs(displacement), initial=0.0))
    room = LARGEST_SHIFT * float(np.ptp(nodes[:, 1]))
    return max((factor for factor in MAGNIFICATIONS if factor * shift <= room), default=1)


def quarters(corners: Any, values: Any) -> tuple[Any, Any]:
    """Each element as four tiles, (4 e, 4, 2) and their mean values (4 e,), never below 0: quick and true to the mid nodes."""
    middle = lambda a: (-a[:, :4].sum(1) + 2 * a[:, 4:8].sum(1)) / 4  # noqa: E731  8-node shape functions at 0, 0
    nodes = np.concatenate([corners, middle(corners)[:, None]], axis=1)
    levels = np.concatenate([values, middle(values)[:, None]], axis=1)
    return nodes[:, QUARTERS].reshape(-1, 4, 2), np.maximum(levels[:, QUARTERS].mean(-1).ravel(), 0.0)


def colour_limit(shapes: Any, level: Any) -> float:
    """Stress that all but a small part of the drawn area stays below: peaks at sharp edges would dull the rest."""
    z, r = np.moveaxis(shapes, -1, 0)
    area = np.abs(np.sum(z * np.roll(r, -1, axis=1) - r * np.roll(z, -1, axis=1), axis=1)) / 2
    order = np.argsort(level)
    reached = np.searchsorted(np.cumsum(area[order]), (1 - PEAK_AREA) * area.sum())
    return max(float(level[order[min(reached, len(level) - 1)]]), 1e-6)


def _own(arrays: Mapping[str, Any], part: str) -> list[str]:
    """The bodies of a part: a flange belongs to the sleeve."""
    return [body for body in bodies(arrays) if body == part or (part, body) == ("sleeve", "flange")]


def _picture(result: Result, part: str) -> Picture:
    """A part from the arrays of the corner that governs it, from those of the nominal push where there are none."""
    arrays = result.section
    found = [_fields(arrays, body) for body in _own(arrays, part)]
    scale = min(magnification(nodes, moved - _rigid(part, moved)) for nodes, moved, *_ in found)
    pieces = [(nodes + scale * (moved - _rigid(part, moved)), cells, values) for nodes, moved, cells, values, _ in found]
    worst = _largest_strain(result.summary, part)
    tiles = [quarters(points(nodes)[cells], values) for nodes, cells, values in pieces]
    return Picture(
        part,
        np.concatenate([outline(nodes, cells) for nodes, cells, _ in pieces]),
        np.concatenate([shape for shape, _ in tiles]),
        np.concatenate([level for _, level in tiles]),
        max(float(np.max(values)) for _, _, values in pieces),
        scale,
        [(_drawn(found, pieces, doubt.r, doubt.z), doubt.radius, doubt.number) for doubt in peak_words.doubts(result.summary) if doubt.part == part],
        np.concatenate([alpha[:, :4].ravel() > 0 for *_, alpha in found]),  # tile k of an element lies at its corner k
        worst and (_drawn(found, pieces, *worst[1:]), worst[0]),
    )


def _largest_strain(summary: Mapping[str, Any], part: str) -> tuple[float, float, float] | None:
    """Largest plastic strain [-] of a part clear of where edges went, and its undeformed r and z [mm], in the corner that is drawn."""
    corner = corner_words.one(summary, corner_words.governs(summary, part)) or {}
    found = (corner.get("flowed") or {}).get(part)
    return (found["largest_strain"], found["r_mm"], found["z_mm"]) if found and found["largest_strain"] > 0 else None


def _drawn(found: list[tuple[Any, ...]], pieces: list[tuple[Any, ...]], r: float, z: float) -> Any:
    """Where a place of a part comes to be drawn, (z, r): beside its nearest node."""
    nearest = lambda nodes: np.hypot(nodes[:, 0] - r, nodes[:, 1] - z)  # noqa: E731
    body = min(range(len(found)), key=lambda k: nearest(found[k][0]).min())
    return points(pieces[body][0])[int(np.argmin(nearest(found[body][0])))]


def _fields(arrays: Mapping[str, Any], body: str) -> tuple[Any, ...]:
    """Nodes, displacement, cells, von Mises stress and plastic strain of a body; 0 where none is stored."""
    if f"worst_cells_{body}" in arrays:
        own = tuple(arrays[f"worst_{name}_{body}"] for name in ("nodes", "displacement", "cells", "von_mises"))
        return *own, arrays.get(f"worst_alpha_{body}", np.zeros(own[2].shape))
    cells = arrays[f"cells_{body}"]
    return arrays["nodes"], arrays["displacement"], cells, arrays[f"von_mises_{body}"], arrays.get(f"alpha_{body}", np.zeros(cells.shape))


def _rigid(part: str, moved: Any) -> Any:
    """The ring's travel as a whole, which would only push it out of its picture; nothing of the others."""
    return np.array([0.0, float(np.median(moved[:, 1]))]) if part == "ring" else np.zeros(2)


def _board(pictures: list[Picture]) -> tuple[Any, list[Any]]:
    """One below the other, all to one scale as far as the sheet allows."""
    from_z, to_z = (pick([pick(p.tiles[..., 0]) for p in pictures]) for pick in (np.min, np.max))
    inch = (WIDTH - 2.2) / (1.06 * (to_z - from_z))
    high = [max(1.1 * float(np.ptp(p.tiles[..., 1])) * inch, 0.7) for p in pictures]
    figure, axes = canvas.board(
        WIDTH, min(LONGEST, 1.1 + sum(high) + 0.55 * len(high)), "Von Mises stress, each part in its worst corner", rows=len(high), ratios=high
    )
    figure.axes[0].set_xlim(from_z - 0.03 * (to_z - from_z), to_z + 0.03 * (to_z - from_z))
    figure.subplots_adjust(hspace=0.55 * len(high) / sum(high), top=1 - 0.75 / figure.get_figheight(), right=1 - 1.3 / WIDTH)
    return figure, list(np.atleast_1d(axes))


def _draw(figure: Any, ax: Any, picture: Picture, result: Result) -> None:
    field = canvas.polygons(
        ax, picture.tiles, array=picture.levels, cmap=canvas.FIELD_COLOURS, linewidth=0, antialiased=False
    )
    field.set_clim(0, colour_limit(picture.tiles, picture.levels))
    limit = _yield_stress(result, picture.part)
    if np.any(picture.flowed):
        _mark_flow(ax, picture)
    elif limit is not None and np.any(picture.levels > limit):
        over = picture.tiles[picture.levels > limit]
        canvas.polygons(ax, over, facecolor=WARNING, hatch="////", linewidth=0, antialiased=False)
    _mark_doubts(ax, picture)
    canvas.segments(ax, picture.edges, color=INK, linewidth=0.7)
    low, high = picture.tiles[..., 1].min(), picture.tiles[..., 1].max()
    ax.set_ylim(low - 0.05 * (high - low), high + 0.05 * (high - low))
    ax.set_aspect("equal", adjustable="box")
    ax.grid(False)
    ax.set_ylabel("r [mm]", fontsize=9, color=INK)
    drawn = "" if picture.scale == 1 else f"; displacements drawn {picture.scale} times as large"
    ax.set_title(f"{picture.part.capitalize()}: {corner_words.governing(result.summary, picture.part)}{drawn}", loc="left", fontsize=10.5, color=INK)
    bar = figure.colorbar(field, ax=ax, fraction=0.03, pad=0.02, extend="max")
    bar.set_label("MPa", fontsize=8, color=INK)
    bar.ax.tick_params(labelsize=8)


def _mark_flow(ax: Any, picture: Picture) -> None:
    """Metal that flowed, dotted inside a line of its own, and its largest strain where that is."""
    zone = picture.tiles[picture.flowed]
    canvas.polygons(ax, zone, facecolor="none", edgecolor=INK, hatch="....", linewidth=0)
    sides = zone[:, [(0, 1), (1, 2), (2, 3), (3, 0)]].reshape(-1, 2, 2)
    alike = np.sort(np.round(sides[..., 0] + 1j * sides[..., 1], 6), axis=1)
    _, first, count = np.unique(alike, axis=0, return_index=True, return_counts=True)
    canvas.segments(ax, sides[first[count == 1]], color=INK, linewidth=1.1)
    if picture.strained is None:
        return
    place, strain = picture.strained
    ax.plot(*place, "x", color=INK, markersize=7, markeredgewidth=1.6)
    ax.annotate(
        percent(strain), place, xytext=(9, 6), textcoords="offset points", fontsize=8, color=INK,
        bbox={"boxstyle": "round,pad=0.15", "facecolor": "#ffffff", "edgecolor": INK, "linewidth": 0.6},
    )


def _mark_doubts(ax: Any, picture: Picture) -> None:
    """Places where two meshes still differ: hatched tiles, and a number."""
    middle = picture.tiles.mean(axis=1)
    for centre, radius, count in picture.doubts:
        near = np.hypot(*(middle - centre).T) <= radius
        canvas.polygons(ax, picture.tiles[near], facecolor="none", edgecolor=INK, hatch="xxxx", linewidth=0)
        ax.annotate(
            str(count), centre, xytext=(10, -13), textcoords="offset points", fontsize=8, color=INK,
            bbox={"boxstyle": "circle,pad=0.15", "facecolor": "#ffffff", "edgecolor": INK, "linewidth": 0.6},
        )


def _yield_stress(result: Result, part: str) -> float | None:
    return result.summary["case"][part]["material"]["yield"]


def _flow_said(result: Result, pictures: list[Picture]) -> str:
    flowed = [p for p in pictures if np.any(p.flowed)]
    if not flowed:
        return ""
    found = [(p.part, _largest_strain(result.summary, p.part)) for p in flowed]
    largest = ", ".join(f"{part} {percent(one[0])} at r {number(one[1], 3)}, z {number(one[2], 3)} mm" for part, one in found if one)
    crossed = f" Crosses: the largest plastic strain clear of where edges of contact went, {largest}." if largest else ""
    return f" Dotted: metal that flowed ({', '.join(p.part for p in flowed)}).{crossed}"


def _doubts_said(pictures: list[Picture]) -> str:
    if not any(picture.doubts for picture in pictures):
        return ""
    return " Crossed and numbered: where two meshes still differ by more than 5 %; the table names each place."


def _said(result: Result, pictures: list[Picture]) -> str:
    peaks = ", ".join(f"{p.part} {quantity(p.largest, 'MPa', 3)}" for p in pictures)
    over = [p.part for p in pictures if not np.any(p.flowed) and (limit := _yield_stress(result, p.part)) is not None and p.largest > limit]
    marked = f" Above yield, marked red and hatched: {', '.join(over)}." if over else " No point lies above its part's yield stress." if not any(np.any(p.flowed) for p in pictures) else ""
    return (
        f"Largest values at nodes, sharp edges included: {peaks}; see the table of peaks for which can be "
        f"believed.{marked}{_flow_said(result, pictures)}{_doubts_said(pictures)} The colours of each part end at the stress that {percent(PEAK_AREA)} of its area exceeds. "
        f"The duty's torque and a slit sleeve's bending, which the verdicts add, are not in the pictures. The ring is drawn without its travel."
    )
