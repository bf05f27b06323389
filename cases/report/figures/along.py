"""Stress along the shaft's surface, and over the radius at mid-seat with Lamé's thick rings, from the stored rows."""

from typing import Any, Sequence

from colletfea.cases.report import corner_words
from colletfea.cases.report.figures import canvas
from colletfea.cases.report.figures.canvas import BORE, CONE, FAINT, INK, Drawing, Spot
from colletfea.cases.report.wording import deviation, number, quantity
from colletfea.cases.stored.names import PARTS, RADIUS, SURFACE, dig
from colletfea.cases.stored.result import Result
from colletfea.cases.stored.store import Row

#: column, words, and how its curve looks: apart without colour too
_CURVES = {
    "von_mises_MPa": ("von Mises", {"color": INK, "linewidth": 2}),
    "radial_MPa": ("radial", {"color": BORE, "linewidth": 1.6}),
    "hoop_MPa": ("hoop", {"color": CONE, "linewidth": 1.4, "linestyle": "--"}),
    "axial_MPa": ("axial", {"color": BORE, "linewidth": 1.2, "linestyle": ":"}),
}
_LAME = {"radial_MPa": ("lame_radial_MPa", "o", BORE), "hoop_MPa": ("lame_hoop_MPa", "s", CONE)}
#: free room over and under the curves, of their span: for the legend, and for names
_OVER, _UNDER = 0.22, 0.16


def along(result: Result) -> Drawing | None:
    """The shaft's surface above, the radius below; on the page alone, the values are a table. None where no lines were stored."""
    surface, radius = ([row for row in result.lines if row["line"] == line] for line in (SURFACE, RADIUS))
    if not surface or not radius:
        return None
    figure, (upper, lower) = canvas.board(8.6, 6.6, "Stress along two lines", rows=2, shared=False)
    figure.subplots_adjust(hspace=0.42, top=1 - 0.68 / 6.6)
    shown = ("von_mises_MPa", "hoop_MPa", "axial_MPa")
    where = corner_words.name(result.summary, surface[0]["corner"])
    _frame(upper, surface, shown, "z, from the back face to the nose [mm]", f"Shaft's surface: {where}")
    _curves(upper, surface, "z_mm", shown)
    _seat(upper, result.summary)
    _frame(lower, radius, ("radial_MPa", "hoop_MPa", *(of for of, *_ in _LAME.values())), "r [mm]", _station(radius))
    _parts(lower, radius)
    for ax in (upper, lower):
        canvas.legend(ax, loc="upper center", ncol=4, borderaxespad=0.2)
    spots = [*_spots(upper, surface, "z_mm"), *(spot for part in PARTS for spot in _spots(lower, _of(radius, part), "r_mm"))]
    said = _said(result.summary, surface, radius)
    return Drawing("stress_lines", "Stress along two lines", said, b"", svg=canvas.vector(figure, "lines", "Stress along two lines", spots))


def _frame(ax: Any, rows: Sequence[Row], columns: Sequence[str], abscissa: str, title: str) -> None:
    values = [row[name] for row in rows for name in columns if row[name] is not None]
    low, high = min(values), max(values)
    span = high - low or 1.0
    ax.set_ylim(low - _UNDER * span, high + _OVER * span)
    ax.axhline(0, color=FAINT, linewidth=0.8)
    ax.set_xlabel(abscissa, fontsize=9, color=INK)
    ax.set_ylabel("stress [MPa]", fontsize=9, color=INK)
    ax.set_title(title, loc="left", fontsize=9.5, color=INK)


def _curves(ax: Any, rows: Sequence[Row], abscissa: str, columns: Sequence[str], named: bool = True) -> None:
    for name in columns:
        words, looks = _CURVES[name]
        ax.plot([row[abscissa] for row in rows], [row[name] for row in rows], label=words if named else None, **looks)


def _seat(ax: Any, summary: dict[str, Any]) -> None:
    """The stretch under the sleeve."""
    length = summary["case"]["sleeve"]["length"]
    ax.axvspan(0, length, color=FAINT, alpha=0.15, linewidth=0)
    _foot(ax, length / 2, "seat")


def _parts(ax: Any, rows: Sequence[Row]) -> None:
    """Curves part by part, broken where one part ends; Lamé's values as marks, at some of the places."""
    first = True
    for part in PARTS:
        own = _of(rows, part)
        if not own:
            continue
        _curves(ax, own, "r_mm", ("radial_MPa", "hoop_MPa"), first)
        for name, (column, mark, colour) in _LAME.items():
            known = [row for row in own[:: max(1, len(own) // 6)] if row[column] is not None]
            words = f"{_CURVES[name][0]}, Lamé" if first else None
            ax.plot([row["r_mm"] for row in known], [row[column] for row in known], mark, color=colour, markersize=5, markerfacecolor="none", label=words)
        if not first:
            ax.axvline(own[0]["r_mm"], color=FAINT, linewidth=0.8)
        _foot(ax, (own[0]["r_mm"] + own[-1]["r_mm"]) / 2, part)
        first = False


def _foot(ax: Any, x: float, text: str) -> None:
    ax.annotate(text, (x, 0.03), xycoords=("data", "axes fraction"), ha="center", fontsize=8, color=INK)


def _of(rows: Sequence[Row], part: str) -> list[Row]:
    return [row for row in rows if row["part"] == part]


def _station(rows: Sequence[Row]) -> str:
    return f"Over the radius at z = {number(_of(rows, 'shaft')[0]['z_mm'], 3)} mm: end of the nominal push"


def _spots(ax: Any, rows: Sequence[Row], abscissa: str) -> list[Spot]:
    """A column a stored row, with its values."""
    bounds = canvas.between([row[abscissa] for row in rows]) if len(rows) > 1 else []
    return [Spot(ax, start, end, _values(row)) for row, start, end in zip(rows, bounds, bounds[1:])]


def _values(row: Row) -> str:
    names = [f"{words} {quantity(row[name], 'MPa')}" for name, (words, _) in _CURVES.items()]
    names += [f"{_CURVES[name][0]} by Lamé {quantity(row[column], 'MPa')}" for name, (column, *_) in _LAME.items() if row[column] is not None]
    return f"{row['part']}, r {number(row['r_mm'], 4)}, z {number(row['z_mm'], 4)} mm: {', '.join(names)}"


def _flowing(summary: dict[str, Any]) -> str:
    """Lamé's rings are elastic: where metal has flowed in the nominal push, that sets a curve off as well."""
    flowed = [part for part, found in (dig(summary, "simulation.at_end.plastic") or {}).items() if found and found["volume_share"]]
    return f", and in the {' and the '.join(flowed)} what has flowed" if flowed else ""


def _said(summary: dict[str, Any], surface: Sequence[Row], radius: Sequence[Row]) -> str:
    worst = max(surface, key=lambda row: row["von_mises_MPa"])
    words = [
        f"On the shaft's surface von Mises stress is largest at z = {number(worst['z_mm'], 3)} mm, {quantity(worst['von_mises_MPa'], 'MPa', 3)}, "
        "ends of the seat included: sharp ones grow with the mesh, see the table of peaks. The duty's torque is not in it.",
        "Marks are Lamé's thick rings under the pressures that bore and cone have at this place; how far a curve lies off them is what "
        f"bending and the ends of the parts do{_flowing(summary)}.",
    ]
    for part, place in (("ring", "bore"), ("sleeve", "bore")):
        own = _of(radius, part)
        if own and own[0]["lame_hoop_MPa"]:
            off = deviation(own[0]["hoop_MPa"], own[0]["lame_hoop_MPa"])
            words.append(f"Hoop stress at the {part}'s {place}: {quantity(own[0]['hoop_MPa'], 'MPa', 3)}, {off} from Lamé's.")
    if dig(summary, "case.sleeve.slits.pattern") != "none":
        words.append("A slit sleeve is no ring: Lamé says nothing of it.")
    return " ".join(words)
