"""One A3 sheet for making the parts: section, view on the nose, tables, title block. Nothing on it comes from a solver."""

import math
from typing import NamedTuple, Sequence

from colletfea.cases.drawing import end_view, section, words
from colletfea.cases.drawing.canvas import LARGE, SMALL, Canvas
from colletfea.cases.drawing.profile import Profile
from colletfea.cases.drawing.tables import ROW, short, table

WIDE, HIGH = 420.0, 297.0  # A3, landscape
FRAME = (20.0, 10.0, 410.0, 287.0)  # left, top, right, bottom; the wide edge is for filing
_VIEWS = (388.0, 218.0)  # room for both views side by side, with their dimensions
_BLANK = "________"


class Listed(NamedTuple):
    """What the sheet says of a part: its name, material, density [kg/m3] and mass [kg]."""

    name: str
    material: str
    density: float
    mass: float


class Limits(NamedTuple):
    """Limits of a diameter [mm]: what it is of, its designation, the greatest and the least; None where none were given."""

    of: str
    designation: str
    greatest: float | None
    least: float | None


class Torque(NamedTuple):
    """Tightening torque of a screw [N·m], and in words where it comes from."""

    value: float
    origin: str


class Facts(NamedTuple):
    """What the sheet needs beside the case: parts, limits, tightening torque of a screw where known, and version."""

    made: Sequence[Listed]
    limits: Sequence[Limits]
    torque: Torque | None
    version: str


def sheet_svg(case, parts: Profile, facts: Facts) -> str:
    """The sheet as SVG, 420 by 297 mm, for paper of that size; print it unscaled and the views are to scale.

    case: as for `section.section_svg`; parts: its profile.
    """
    canvas = Canvas()
    scale = _scale(parts)
    left, top, right, bottom = FRAME
    canvas.line((left, top), (right, top), (right, bottom), (left, bottom), kind="edge", closed=True)
    _views(canvas, case, parts, scale)
    _tables(canvas, case, parts, facts)
    _title(canvas, case, facts, scale)
    return canvas.svg(WIDE, HIGH, f"{case.title}: drawing, scale {section.scale_words(scale)}")


def _scale(parts: Profile) -> float:
    low, high = parts.ends
    beside, above = section.LEFT + section.RIGHT + 2 * end_view.MARGIN, section.ABOVE + section.BELOW
    return section.fitting(
        (high - low + 2 * parts.radius, _VIEWS[0] - beside), (2 * parts.radius, _VIEWS[1] - above)
    )


def _views(canvas: Canvas, case, parts: Profile, scale: float) -> None:
    """Section and view with their axes at one height, the width that is left shared out round them."""
    left, top, right, _ = FRAME
    low, high = parts.ends
    first = scale * (high - low) + section.LEFT + section.RIGHT
    second = 2 * scale * parts.radius + 2 * end_view.MARGIN
    space = (right - left - first - second) / 3
    axis = top + (_VIEWS[1] + section.ABOVE - section.BELOW) / 2
    section.draw(canvas, case, parts, section.View(left + space + section.LEFT - scale * low, axis, scale))
    end_view.draw(canvas, parts, right - space - second / 2, axis, scale)
    straight = abs(math.remainder(parts.places.upper - parts.places.lower - math.pi, 2 * math.pi)) < 1e-9
    canvas.text(left + 6, top + 8, "A – A" if straight else "A – A, both halves turned into one plane", size=LARGE, bold=True)
    if _halves(parts):
        canvas.text(left + 6, top + 13, _halves(parts), size=SMALL)
    canvas.text(right - space - second, top + 8, "View on the nose", size=LARGE, bold=True)


def _halves(parts: Profile) -> str:
    """What either half of the section is cut through."""
    upper = lower = ""
    if parts.bolting:
        upper = "upper half through a screw"
    elif parts.slit_in(1):
        upper = "upper half through a slit"
    if parts.slit_in(-1):
        lower = "lower half through a slit"
    elif parts.bolting and parts.bolting.jacking:
        lower = "lower half through a jacking thread"
    said = ", ".join(filter(None, (upper, lower)))
    return said[:1].upper() + said[1:]


def _tables(canvas: Canvas, case, parts: Profile, facts: Facts) -> None:
    left, bottom = FRAME[0] + 4, FRAME[3] - 4
    cones = _cones(parts)
    low = bottom - ROW * len(cones)
    table(canvas, left, low, (30, 26, 24, 28, 28, 26, 26), cones, "Cones, diameters at the unrounded faces; blanks to fill in")
    screws = _screws(case, parts, facts.torque) if parts.bolting else []
    fits = [["Fit", "Size", "Greatest", "Least", "Roughness"], *[_limit(limit) for limit in facts.limits]]
    high = low - 8 - ROW * max(len(fits), len(screws))
    table(canvas, left, high, (26, 22, 16, 16, 18), fits, "Limits (ISO 286)")
    if screws:
        table(canvas, left + 100, high, (44, 44), screws, "Screws")


def _limit(limit: Limits) -> list[str]:
    ends = [_BLANK[:6] if value is None else f"{value:.3f}" for value in (limit.greatest, limit.least)]
    return [limit.of, limit.designation, *ends, _BLANK[:6]]


def _cones(parts: Profile) -> list[list[str]]:
    """Both cones: half angle, ratio, diameters at the faces, and blanks for tolerance and roughness."""
    sizes, wall, ring = parts.sizes, parts.sizes.wall, parts.sizes.ring
    rows = [["Cone", "Half angle", "Ratio", "Wide end", "Thin end", "Tolerance", "Roughness"]]
    for name, taper, radii in (
        ("Sleeve outside", sizes.taper, (wall.outside(0.0), wall.outside(wall.length))),
        ("Ring inside", ring.taper, parts.ring_bore),
    ):
        angle = f"{round(math.degrees(taper), 4):.10g}°"
        rows.append([name, angle, words.ratio(taper), *[words.diameter(2 * r) for r in radii], _BLANK, _BLANK])
    return rows


def _screws(case, parts: Profile, torque: Torque | None) -> list[list[str]]:
    bolting, screw = parts.bolting, parts.bolting.screw
    drilled = f"drilled {words.diameter(bolting.core)}"
    return [
        [f"{bolting.count} × {screw.size}, class {case.screws.property_class}", f"circle {words.diameter(bolting.circle)}"],
        ["Tightening torque", f"{_BLANK} after the run" if torque is None else f"{torque.value:.3g} N·m {torque.origin}"],
        [f"{bolting.count} holes in the ring", f"{words.diameter(screw.hole)}, ISO 273 medium"],
        *([[f"{bolting.count} threads in the flange", f"{screw.size}, {drilled}"]] if parts.tapped else []),
        *([[f"{bolting.jacking} jacking thread{'s' * (bolting.jacking > 1)} in the ring", f"{screw.size}, {drilled}"]] if bolting.jacking else []),
        *([["Slit to the next screw", f"{_apart(parts):.4g}°"]] if parts.tapped and parts.low in {c.low for c in parts.cuts} else []),
    ]


def _apart(parts: Profile) -> float:
    """Least angle between a slit and a screw [deg]."""
    turns = (math.remainder(cut.angle - screw, 2 * math.pi) for cut in parts.cuts for screw in parts.places.screws)
    return math.degrees(min(abs(turn) for turn in turns))


def _title(canvas: Canvas, case, facts: Facts, scale: float) -> None:
    right, bottom = FRAME[2:]
    left = right - 176
    made = [["Part", "Material", "Density kg/m³", "Mass kg"]]
    made += [[m.name, m.material, f"{m.density:g}", f"{m.mass:.4g}"] for m in facts.made]
    block = bottom - 26
    table(canvas, left, block - ROW * len(made) - 3, (34, 78, 34, 30), made)
    canvas.line((left, bottom), (left, block), (right, block), kind="edge")
    canvas.line((left, block + 10), (right, block + 10))
    canvas.text(left + 3, block + 6.8, short(case.title, 170, LARGE), size=LARGE, bold=True)
    canvas.text(left + 3, block + 15, "Design sketch, check before making", bold=True)
    canvas.text(left + 3, block + 19.5, "Sleeve, ring and shaft at travel 0, sizes in mm", size=SMALL)
    canvas.text(left + 3, block + 24, f"Drawn by colletfea {facts.version}", size=SMALL)
    canvas.line((left + 100, block + 10), (left + 100, bottom))
    canvas.text(left + 103, block + 15, f"Scale {section.scale_words(scale)} on A3", bold=True)
    canvas.text(left + 138, block + 15, f"General tolerances {_BLANK}", size=SMALL)
    canvas.text(left + 103, block + 19.5, f"Drawn {_BLANK}   Checked {_BLANK}", size=SMALL)
    canvas.text(left + 103, block + 24, f"Date {_BLANK}   Number {_BLANK}", size=SMALL)
