"""Contact pressure and shear along the bore and the cone, as the steps of the element means."""

from typing import Any

from colletfea.cases.report.figures import canvas
from colletfea.cases.report.figures.canvas import BORE, CONE, FAINT, INK, STATE_LOOKS, Drawing, Spot
from colletfea.cases.stored.result import Result
from colletfea.cases.stored.names import dig
from colletfea.cases.stored.store import Row
from colletfea.cases.report.wording import number, quantity


def pressure(result: Result) -> Drawing | None:
    """Bore above, cone below, over z at the end state. None where neither pair was stored."""
    pairs = [(name, rows) for name, rows in (("bore", result.bore), ("cone", result.cone)) if len(rows) > 1]
    if not pairs:
        return None
    figure, axes = canvas.board(
        8.6, 1.2 + 2.3 * len(pairs), "Contact pressure at the end of the nominal push", rows=len(pairs)
    )
    for ax, (name, rows) in zip(figure.axes, pairs):
        _steps(ax, name, rows, dig(result.summary, f"simulation.at_end.{name}.mean_pressure_MPa"))
    figure.axes[-1].set_xlabel("z, from the back face to the nose [mm]", fontsize=9, color=INK)
    said = " ".join(_said(name, dig(result.summary, f"simulation.at_end.{name}")) for name, _ in pairs)
    png = canvas.finish(figure)
    spots = [spot for ax, (_, rows) in zip(figure.axes, pairs) for spot in _spots(ax, rows)]
    return Drawing("pressure", "Contact pressure", said, png, svg=canvas.vector(figure, "pressure", "Contact pressure", spots))


def _spots(ax: Any, rows: list[Row]) -> list[Spot]:
    """A column an element, with its stored values."""
    rows = sorted(rows, key=lambda row: row["z_mm"])
    bounds = edges(rows)
    return [
        Spot(
            ax, start, end,
            f"z {quantity(row['z_mm'], 'mm')}, pressure {quantity(row['pressure_MPa'], 'MPa')}, shear {quantity(row['shear_MPa'], 'MPa')}, "
            f"slip {quantity(row['slip_mm'], 'mm')}, {row['state']}",
        )
        for row, start, end in zip(rows, bounds, bounds[1:])
    ]


def edges(rows: list[Row]) -> list[float]:
    """Boundaries [mm] between elements, from their middles: half way, the ends as far out as in."""
    z = [row["z_mm"] for row in rows]
    inner = [(a + b) / 2 for a, b in zip(z, z[1:])]
    return [2 * z[0] - inner[0], *inner, 2 * z[-1] - inner[-1]]


def _steps(ax: Any, name: str, rows: list[Row], mean: float | None) -> None:
    rows = sorted(rows, key=lambda row: row["z_mm"])
    bounds, colour = edges(rows), BORE if name == "bore" else CONE
    levels = [row["pressure_MPa"] for row in rows]
    ax.stairs(levels, bounds, fill=True, color=colour, alpha=0.25)
    ax.stairs(levels, bounds, color=colour, linewidth=1.4, label=f"pressure on the {name}")
    ax.stairs(
        [abs(row["shear_MPa"]) for row in rows],
        bounds,
        color=INK,
        linewidth=0.9,
        linestyle=":",
        label="shear, size",
    )
    if mean:
        ax.axhline(mean, color=colour, linewidth=1, linestyle="--", label="mean over the touching area")
    top = 1.18 * max(levels) or 1.0
    ax.set_ylim(-0.09 * top, top)
    ax.axhline(0, color=FAINT, linewidth=0.8)
    for state, (shade, hatch) in STATE_LOOKS.items():
        chosen = [(a, b - a) for row, a, b in zip(rows, bounds, bounds[1:]) if row["state"] == state]
        if chosen:
            ax.broken_barh(chosen, (-0.08 * top, 0.06 * top), facecolor=shade, hatch=hatch, edgecolor=INK, linewidth=0, label=state)
    ax.set_ylabel(f"{name} [MPa]", fontsize=9, color=INK)
    ax.legend(
        fontsize=7.5,
        frameon=False,
        labelcolor=INK,
        loc="upper center",
        ncol=6,
        handlelength=1.2,
        columnspacing=1.0,
        borderaxespad=0.1,
    )


def _said(name: str, pair: dict[str, Any] | None) -> str:
    if not pair or not pair["normal_force_N"]:
        return f"The {name} carries no pressure."
    return (
        f"The {name} touches over {quantity(pair['contact_length_mm'], 'mm', 3)} at a mean of "
        f"{quantity(pair['mean_pressure_MPa'], 'MPa', 3)}; the largest over the touching part of one element, "
        f"{quantity(pair['peak_pressure_MPa'], 'MPa', 3)}, is "
        f"{number(pair['peak_pressure_MPa'] / pair['mean_pressure_MPa'], 3)} times that."
    )
