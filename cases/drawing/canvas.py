"""A sheet of SVG in millimetres: lines, outlines, circles and text, each with what makes it stand alone."""

import math
from html import escape
from typing import Iterable

INK, PAPER = "#1b1f24", "#ffffff"
FONT = "Liberation Sans, Arial, Helvetica, sans-serif"
TEXT, SMALL, LARGE = 3.0, 2.5, 4.2  # heights of letters' boxes [mm]
_EM = 0.56  # width of a mean letter over the height of its box, on the wide side

#: width [mm] and dashes of each kind of line (after ISO 128-2: visible edge, thin, hidden, centre, trace of a cut)
LINES = {
    "edge": (0.5, ""),
    "thin": (0.2, ""),
    "hatch": (0.13, ""),
    "hidden": (0.25, "2.4 0.8"),
    "centre": (0.2, "7 1.2 0.8 1.2"),
    "trace": (0.35, "5 1.2 0.8 1.2"),
}


def width(text: str, size: float) -> float:
    """Estimated width [mm] of a text."""
    return _EM * size * len(text)


class Canvas:
    """Collects elements; x to the right, y downward [mm]. Texts come out above all lines."""

    def __init__(self) -> None:
        self._lines: list[str] = []
        self._texts: list[str] = []

    def line(self, *ends: tuple[float, float], kind: str = "thin", closed: bool = False, fill: str = "none") -> None:
        """A line through points."""
        path = "M" + "L".join(f"{_n(x)} {_n(y)}" for x, y in ends) + ("Z" if closed else "")
        self._lines.append(f'<path d="{path}" {_stroke(kind, fill)}/>')

    def lines(self, pieces: Iterable[tuple[tuple[float, float], tuple[float, float]]], kind: str) -> None:
        """Many straight pieces as one element."""
        path = "".join(f"M{_n(a[0])} {_n(a[1])}L{_n(b[0])} {_n(b[1])}" for a, b in pieces)
        if path:
            self._lines.append(f'<path d="{path}" {_stroke(kind, "none")}/>')

    def area(self, corners: Iterable[tuple[float, float]]) -> None:
        """A white area without an edge, over what was drawn before."""
        path = "M" + "L".join(f"{_n(x)} {_n(y)}" for x, y in corners) + "Z"
        self._lines.append(f'<path d="{path}" fill="{PAPER}"/>')

    def circle(self, x: float, y: float, radius: float, kind: str = "edge", fill: str = "none") -> None:
        """A whole circle."""
        self._lines.append(f'<circle cx="{_n(x)}" cy="{_n(y)}" r="{_n(radius)}" {_stroke(kind, fill)}/>')

    def arc(self, x: float, y: float, radius: float, start: float, turn: float, kind: str = "thin") -> None:
        """Part of a circle from a direction [rad, 0 to the right, positive upward] over a turn below pi either way, or more."""
        begin, end = ((x + radius * math.cos(a), y - radius * math.sin(a)) for a in (start, start + turn))
        flags = f"{int(abs(turn) > math.pi)} {int(turn < 0)}"
        path = f"M{_n(begin[0])} {_n(begin[1])}A{_n(radius)} {_n(radius)} 0 {flags} {_n(end[0])} {_n(end[1])}"
        self._lines.append(f'<path d="{path}" {_stroke(kind, "none")}/>')

    def arrow(self, x: float, y: float, dx: float, dy: float) -> None:
        """A filled arrow head with its tip at (x, y), pointing along (dx, dy)."""
        size = math.hypot(dx, dy)
        ux, uy = 2.2 * dx / size, 2.2 * dy / size
        sides = [(x - ux - uy * k, y - uy + ux * k) for k in (0.16, -0.16)]
        path = "M" + "L".join(f"{_n(a)} {_n(b)}" for a, b in [(x, y), *sides]) + "Z"
        self._lines.append(f'<path d="{path}" fill="{INK}"/>')

    def text(
        self, x: float, y: float, text: str, *, size: float = TEXT, anchor: str = "start", upright: bool = False,
        key: str | None = None, bold: bool = False,
    ) -> None:
        """Text whose base line begins, is centred or ends at (x, y); upright: turned to read from the right.

        key: dotted key of the case file that the text gives the value of.
        """
        turn = f' transform="rotate(-90 {_n(x)} {_n(y)})"' if upright else ""
        tag = f' data-key="{escape(key)}"' if key else ""
        weight = ' font-weight="bold"' if bold else ""
        halo = f'paint-order="stroke" stroke="{PAPER}" stroke-width="{_n(size / 3)}" stroke-linejoin="round"'
        self._texts.append(
            f'<text x="{_n(x)}" y="{_n(y)}" font-size="{size:g}" text-anchor="{anchor}"{weight}{turn}{tag} {halo}>{escape(text)}</text>'
        )

    def svg(self, wide: float, high: float, label: str, left: float = 0.0, top: float = 0.0) -> str:
        """The whole sheet as one SVG element, wide and high in mm, its corner at (left, top); label: what it shows."""
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{_n(wide)}mm" height="{_n(high)}mm" '
            f'viewBox="{_n(left)} {_n(top)} {_n(wide)} {_n(high)}" role="group" font-family="{FONT}" fill="{INK}">'
        )
        paper = f'<rect x="{_n(left)}" y="{_n(top)}" width="{_n(wide)}" height="{_n(high)}" fill="{PAPER}"/>'
        return "\n".join([head, f"<title>{escape(label)}</title>", paper, *self._lines, *self._texts, "</svg>\n"])


def _stroke(kind: str, fill: str) -> str:
    wide, dashes = LINES[kind]
    dash = f' stroke-dasharray="{dashes}"' if dashes else ""
    return f'fill="{fill}" stroke="{INK}" stroke-width="{wide}"{dash}'


def _n(value: float) -> str:
    return f"{round(value, 3) + 0.0:g}"
