"""Figures of a study: curves over one key, maps over two, histograms and cumulative shares of samples."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from colletfea.cases.report.figures import canvas
from colletfea.cases.report.figures.canvas import BORE, FAINT, INK, REFINED, WARNING, Drawing
from colletfea.cases.report.wording import deviation
from colletfea.cases.stored.store import Row
from colletfea.cases.study import trend
from colletfea.cases.study.quantities import Quantity
from colletfea.cases.study.vary import sides

_WIDTH, _HEIGHT = 8.6, 3.2
#: least span of an axis, in parts of its end
_SPAN = 0.2


def curve(key: str, quantity: Quantity, rows: Sequence[Row]) -> Drawing | None:
    """A quantity over one key, its limit drawn in, cases that break it marked; None where fewer than two rows have a value."""
    found = [row for row in rows if row.get("exit_code") == 0 and quantity.of(row) is not None]
    if len(found) < 2:
        return None
    ticks, place = _places(key, rows)
    found.sort(key=lambda row: place(row))
    figure, ax = canvas.board(_WIDTH, _HEIGHT, _title(quantity))
    x, y = [place(row) for row in found], [quantity.of(row) for row in found]
    ax.plot(x, y, color=BORE, linewidth=1.6 if ticks is None else 0, marker="o", markersize=4, label="simulated")
    limits = [quantity.limit(row) for row in found]
    if None not in limits:
        ax.plot(x, limits, color=WARNING, linewidth=1.2, linestyle="--", label=_side(quantity))
    bad = [(a, b) for a, b, row in zip(x, y, found) if quantity.fails(row)]
    if bad:
        ax.plot(*zip(*bad), color=WARNING, linestyle="none", marker="x", markersize=8, label="beyond the limit")
    if ticks is not None:
        ax.set_xticks(range(len(ticks)), ticks)
    low, high = ax.get_ylim()
    if 0 < high - low < _SPAN * abs(high):  # scatter of the landing is no trend
        ax.set_ylim(low - _SPAN / 2 * abs(high), high + _SPAN / 2 * abs(high))
    _label(ax, key, _axis(quantity))
    canvas.legend(ax)
    return Drawing(f"sweep_{quantity.name}", _title(quantity), trend.of_key(key, quantity, rows), canvas.finish(figure))


def heatmap(keys: Sequence[str], quantity: Quantity, rows: Sequence[Row]) -> Drawing | None:
    """A quantity over two keys as a map, cells beyond the limit crossed, cells without a value white."""
    found = [row for row in rows if row.get("exit_code") == 0 and quantity.of(row) is not None]
    if len(found) < 4:
        return None
    across, up = ([*dict.fromkeys(_hashable(row.get(key)) for row in rows)] for key in keys)
    cells = [[float("nan")] * len(across) for _ in up]
    crossed = []
    for row in found:
        i, j = across.index(_hashable(row.get(keys[0]))), up.index(_hashable(row.get(keys[1])))
        cells[j][i] = quantity.of(row)
        crossed += [(i, j)] if quantity.fails(row) else []
    figure, ax = canvas.board(_WIDTH, 4.6, _title(quantity))
    image = ax.imshow(cells, origin="lower", aspect="auto", cmap=canvas.FIELD_COLOURS)
    if crossed:
        ax.plot(*zip(*crossed), color=WARNING, linestyle="none", marker="x", markersize=8, label=f"beyond: {_side(quantity)}")
        canvas.legend(ax, loc="upper right", bbox_to_anchor=(1.0, 1.1))
    for values, ticks in ((across, ax.set_xticks), (up, ax.set_yticks)):
        step = max(1, len(values) // 8)
        ticks(range(0, len(values), step), [trend.shown(v) for v in values[::step]])
    ax.grid(False)
    figure.colorbar(image, ax=ax)
    _label(ax, *keys)
    said = " ".join(_read_along(keys, quantity, rows))
    return Drawing(f"sweep_{quantity.name}", _title(quantity), said, canvas.finish(figure))


def histogram(quantity: Quantity, rows: Sequence[Row]) -> Drawing | None:
    """Samples of a quantity as histogram and cumulative share, with its limit where it is one for all."""
    found = [row for row in rows if row.get("exit_code") == 0 and quantity.of(row) is not None]
    values = sorted(quantity.of(row) for row in found)
    if len(values) < 2:
        return None
    figure, (ax, below) = canvas.board(_WIDTH, 4.4, _title(quantity), rows=2, ratios=[1, 1])
    ax.hist(values, bins=min(40, max(8, round(len(values) ** 0.5))), color=BORE, alpha=0.6)
    below.plot(values, [100 * (k + 1) / len(values) for k in range(len(values))], color=BORE, linewidth=1.6, drawstyle="steps-post")
    below.set_ylim(0, 100)
    limits = {quantity.limit(row) for row in found}
    if len(limits) == 1 and None not in limits:
        for one in (ax, below):
            one.axvline(next(iter(limits)), color=WARNING, linewidth=1.2, linestyle="--", label=_side(quantity))
        canvas.legend(ax, loc="lower right", bbox_to_anchor=(1.0, 1.0))  # above: bars may fill the whole width
    for share in (5, 50, 95):
        below.axhline(share, color=FAINT, linewidth=0.6)
    _label(ax, "", "samples")
    ax.yaxis.get_major_locator().set_params(integer=True)
    _label(below, _axis(quantity), "share below [%]")
    return Drawing(f"sweep_{quantity.name}", _title(quantity), trend.spread(quantity, values), canvas.finish(figure))


def bars(keys: Sequence[str], quantity: Quantity, rows: Sequence[Row]) -> Drawing | None:
    """Relative change of a quantity by each key moved 5 % (a whole number by one) down and up; None where no change is known."""
    found = [(key, change) for key in keys if (change := trend.steepness(key, quantity, rows)) != [None, None]]
    if not found:
        return None
    figure, ax = canvas.board(_WIDTH, 1.4 + 0.4 * len(found), _title(quantity))
    for side, colour in enumerate((REFINED, BORE)):
        known = [(k + 0.2 * (2 * side - 1), 100 * change[side]) for k, (_, change) in enumerate(found) if change[side] is not None]
        if known:
            ax.barh(*zip(*known), 0.36, color=colour, label=", ".join(dict.fromkeys(sides(key)[side] for key, _ in found)))
    ax.set_yticks(range(len(found)), [key for key, _ in found])
    figure.subplots_adjust(left=0.25)
    ax.axvline(0, color=INK, linewidth=0.8)
    _label(ax, "change [%]", "")
    canvas.legend(ax, loc="lower right", bbox_to_anchor=(1, 1), borderaxespad=0.2, ncols=2)  # above the bars, which reach every corner
    return Drawing(f"sweep_{quantity.name}", _title(quantity), _strongest(found), canvas.finish(figure))


def _strongest(found: Sequence[tuple[str, Sequence[float | None]]]) -> str:
    """Which key changes a quantity most, and by how much either way, where that is known."""
    key, changes = max(found, key=lambda pair: max(abs(change) for change in pair[1] if change is not None))
    told = [f"{deviation(1 + change, 1)} where it is {words}" for change, words in zip(changes, sides(key)) if change is not None]
    return f"{key} changes it most: {', '.join(told)}."


def _places(key: str, rows: Sequence[Row]) -> tuple[list[str] | None, Any]:
    """Words of the ticks (None for a key of numbers) and where a row stands along the axis."""
    values = [*dict.fromkeys(_hashable(row.get(key)) for row in rows)]
    if all(isinstance(value, (int, float)) for value in values):
        return None, lambda row: row[key]
    return [trend.shown(value) for value in values], lambda row: values.index(_hashable(row.get(key)))


def _read_along(keys: Sequence[str], quantity: Quantity, rows: Sequence[Row]) -> list[str]:
    """How a quantity goes with each of two keys, the other at its middle value."""
    said = []
    for key, other in (tuple(keys), tuple(reversed(keys))):
        values = [*dict.fromkeys(_hashable(row.get(other)) for row in rows)]
        middle = values[len(values) // 2]
        sentence = trend.of_key(key, quantity, [row for row in rows if _hashable(row.get(other)) == middle])
        said += [f"At {other} {trend.shown(middle)}: {sentence[0].lower()}{sentence[1:]}"] if sentence else []
    return said


def _hashable(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value


def _title(quantity: Quantity) -> str:
    return quantity.words[0].upper() + quantity.words[1:]


def _axis(quantity: Quantity) -> str:
    return f"[{quantity.unit}]" if quantity.unit else ""


def _side(quantity: Quantity) -> str:
    return quantity.parts or ("at least this is asked for" if quantity.least else "at most this is allowed")


def _label(ax: Any, x: str, y: str) -> None:
    ax.set_xlabel(x, fontsize=9, color=INK)
    ax.set_ylabel(y, fontsize=9, color=INK)
