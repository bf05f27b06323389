"""Tables on a sheet: rows of texts in columns with lines between. Paper coordinates in mm."""

from typing import Sequence

from colletfea.cases.drawing.canvas import SMALL, Canvas, width

ROW = 5.2


def table(
    canvas: Canvas, x: float, y: float, widths: Sequence[float], rows: Sequence[Sequence[str]], title: str = "",
) -> float:
    """A table with its top left corner at (x, y), the first row bold; returns the y of its lower edge.

    Text that is too long for its column is cut short with an ellipsis.
    """
    if title:
        canvas.text(x, y - 1.2, title, size=SMALL, bold=True)
    wide, high = sum(widths), ROW * len(rows)
    canvas.line((x, y), (x + wide, y), (x + wide, y + high), (x, y + high), closed=True)
    for i, row in enumerate(rows):
        top = y + ROW * i
        canvas.line((x, top), (x + wide, top))
        left = x
        for text, column in zip(row, widths):
            canvas.text(left + 1.2, top + 3.6, short(text, column - 2), size=SMALL, bold=i == 0)
            left += column
    for k in range(1, len(widths)):
        left = x + sum(widths[:k])
        canvas.line((left, y), (left, y + high))
    return y + high


def short(text: str, room: float, size: float = SMALL) -> str:
    """The text, cut short where it is wider than the room [mm]."""
    while width(text, size) > room and len(text) > 2:
        text = text.rstrip("…")[:-1] + "…"
    return text
