"""Dimension lines and callouts, laid out so that none stands on another. Paper coordinates in mm."""

from collections.abc import Sequence
from typing import NamedTuple

from colletfea.cases.drawing.canvas import TEXT, Canvas, width

STEP = 7.0  # between two rows of dimension lines
_PAST = 1.5  # what an extension line goes past the dimension line
_OUTSIDE = 5.0  # length of a dimension line outside, where arrows point inward
_APART = 5.5  # between the base lines of two callouts
_OFF = 3.2  # from a callout's middle to a line that is not its own
_ROOM = 6.0  # least length between two arrows that point outward


class Length(NamedTuple):
    """A length along x: from, to, the y of the edges it is taken at, its text and key."""

    start: float
    end: float
    start_edge: float
    end_edge: float
    text: str
    key: str | None = None


class Callout(NamedTuple):
    """A text with a line to a point."""

    x: float
    y: float
    text: str
    key: str | None = None


def rows(canvas: Canvas, lengths: list[Length], base: float, way: int) -> float:
    """Lengths in rows away from y = base, downward (way = 1) or upward (-1), short ones nearest; the last row's y."""
    taken: list[list[tuple[float, float]]] = []
    for length in sorted(lengths, key=lambda x: (x.end - x.start, x.start)):
        low, high = _span(length)
        row = next((i for i, row in enumerate(taken) if all(high < a or low > b for a, b in row)), len(taken))
        if row == len(taken):
            taken.append([])
        taken[row].append((low, high))
        _across(canvas, length, base + way * (STEP * row + 6), way)
    return base + way * (STEP * max(0, len(taken) - 1) + 6)


def _fits(long: float, text: str) -> bool:
    return long >= width(text, TEXT) + 5.5


def _span(length: Length) -> tuple[float, float]:
    if _fits(length.end - length.start, length.text):
        return length.start + 0.1, length.end - 0.1
    return length.start - _OUTSIDE - 1, length.end + _OUTSIDE + width(length.text, TEXT) + 2


def _across(canvas: Canvas, length: Length, y: float, way: int) -> None:
    for x, edge in ((length.start, length.start_edge), (length.end, length.end_edge)):
        canvas.line((x, edge + way), (x, y + way * _PAST))
    fits = _fits(length.end - length.start, length.text)
    inside = fits or length.end - length.start >= _ROOM
    out = 0.0 if inside else _OUTSIDE
    canvas.line((length.start - out, y), (length.end + (0 if fits else _OUTSIDE), y))
    for x, side in ((length.start, -1), (length.end, 1)):
        canvas.arrow(x, y, side if inside else -side, 0)
    if fits:
        canvas.text((length.start + length.end) / 2, y - 0.9, length.text, anchor="middle", key=length.key)
    else:
        canvas.text(length.end + _OUTSIDE + 0.5, y + 1, length.text, key=length.key)


def height(
    canvas: Canvas, x: float, edges: tuple[float, float], top: float, bottom: float, text: str, key: str | None, line: float | None = None
) -> float:
    """A length along y from top to bottom, drawn at x and taken from edges at x = edges[0] (top) and edges[1]; its highest y.

    line: y of a line that runs past there; a text that finds no room between the arrows stands beyond it.
    """
    for y, edge in ((top, edges[0]), (bottom, edges[1])):
        side = 1 if x > edge else -1
        canvas.line((edge + side, y), (x + side * _PAST, y))
    inside = bottom - top >= _ROOM
    long = width(text, TEXT)
    start = top - (1.5 if inside else 2.6)
    if line is not None and start - long - 1 < line < top:
        start = line - 1.5
    highest = top if _fits(bottom - top, text) else start - long - 1.5
    canvas.line((x, highest), (x, bottom + (0 if inside else _OUTSIDE)))
    for y, side in ((top, -1), (bottom, 1)):
        canvas.arrow(x, y, 0, side if inside else -side)
    if highest == top:
        canvas.text(x - 0.9, (top + bottom) / 2, text, anchor="middle", upright=True, key=key)
    else:
        canvas.text(x - 0.9, start, text, upright=True, key=key)
    return highest


def column(canvas: Canvas, callouts: list[Callout], x: float, top: float, bottom: float, lines: Sequence[float] = ()) -> None:
    """Callouts with their texts below one another from x on, in the order of their points, near them as far as there is room.

    lines: y of lines that run past there; no text stands on one of them, and where that leaves too little room they go on outside.
    """
    callouts = sorted(callouts, key=lambda c: (c.y, -c.x))
    places = _clear(spread([c.y for c in callouts], _APART, top, bottom), lines, (top + bottom) / 2)
    for callout, y in zip(callouts, places):
        canvas.line((callout.x, callout.y), (x - 5, y), (x - 1, y))
        canvas.circle(callout.x, callout.y, 0.35, "thin", "#1b1f24")
        canvas.text(x, y + 1, callout.text, key=callout.key)


def _clear(places: list[float], lines: Sequence[float], middle: float) -> list[float]:
    """Rising places moved outward, away from the lines nearest to them and from each other."""
    outside = [y for y in lines if any(abs(p - y) < _OFF for p in places)]
    if not outside:
        return places
    line = min(outside, key=lambda y: abs(y - middle))
    way = 1 if line > middle else -1
    moved: list[float] = []
    for place in places if way > 0 else reversed(places):
        place = line + way * _OFF if abs(place - line) < _OFF else place
        moved.append(place if not moved or way * (place - moved[-1]) >= _APART else moved[-1] + way * _APART)
    return moved if way > 0 else moved[::-1]


def spread(wanted: list[float], step: float, low: float, high: float) -> list[float]:
    """Rising places at least a step apart, near the wanted rising ones, from low up to high where that many find room."""
    places: list[float] = []
    for y in wanted:
        places.append(max(y, low, places[-1] + step if places else low))
    limit = high
    for i in reversed(range(len(places))):
        places[i] = min(places[i], limit)
        limit = places[i] - step
    return places
