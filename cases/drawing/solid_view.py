"""The coupling in three dimensions, a quarter of sleeve and ring cut away: plane pieces, drawn over one another in an order.

Seen along parallel rays from beside, above and the nose, z to the right. A ray from a point to the eye gains in z, and leaves
the axis where the point lies on the eye's side. So this order of layers is right for every coupling: what lies behind the
shaft, the shaft, what lies before it; behind it ring before sleeve, before it sleeve before ring, the flange first in both.
"""

import math
from itertools import groupby
from typing import Iterable, NamedTuple

from colletfea.cases.drawing.canvas import FONT, INK
from colletfea.cases.drawing.curves import Point
from colletfea.cases.drawing.profile import Corner, Cut, Profile

Space = tuple[float, float, float]
EYE = (-0.66, 0.42, 0.62)  # towards the eye: z is the axis, y up
LIGHT = (-0.25, 0.85, 0.47)
COLOURS = {"shaft": (169, 180, 191), "sleeve": (217, 163, 91), "ring": (111, 154, 141), "screw": (90, 100, 110), "slit": (122, 88, 46)}
TURNS = 48  # pieces round a whole turn
PIECES = 3  # strips along the whole length
OPEN = math.pi / 2  # what is cut away


#: order of what lies behind the shaft, and of what lies before it
BEHIND = ("flange", "shank", "ring", "head", "sleeve")
BEFORE = ("flange", "sleeve", "shank", "ring", "head")
FLANK, FACE, EDGE = range(3)  # order inside a layer


class Piece(NamedTuple):
    """A plane piece of a surface, or an edge of it (colour empty): corners in space, colour, and its order inside its layer."""

    corners: tuple[Space, ...]
    colour: str
    layer: str
    order: int


def solid_svg(parts: Profile, wide: float = 150.0) -> str:
    """The picture as one SVG element, wide [mm] across; parts: profile of a case."""
    view = _View(parts)
    pieces = sorted(_pieces(parts, view), key=view.rank)
    flat = [[view.flat(corner) for corner in piece.corners] for piece in pieces]
    xs, ys = [x for piece in flat for x, _ in piece], [y for piece in flat for _, y in piece]
    margin = 0.03 * (max(xs) - min(xs))
    left, top = min(xs) - margin, min(ys) - margin
    scale = 1000 / (max(xs) - left + margin)
    high = scale * (max(ys) - top + margin)
    drawn = [([(scale * (x - left), scale * (y - top)) for x, y in piece], colour.colour) for piece, colour in zip(flat, pieces)]
    label = "The coupling cut open, drawn from its sizes; clearances are too small to be seen"
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:g}mm" height="{wide * high / 1000:.1f}mm" viewBox="0 0 1000 {high:.0f}" '
        f'role="group" font-family="{FONT}" stroke-linejoin="round" stroke-linecap="round">'
    )
    paper = f'<rect width="1000" height="{high:.0f}" fill="#ffffff"/>'
    return "\n".join([head, f"<title>{label}</title>", paper, *_paths(drawn), "</svg>\n"])


def _paths(drawn: Iterable[tuple[list[Point], str]]) -> Iterable[str]:
    """Neighbours in the order that look the same as one path."""
    for colour, group in groupby(drawn, key=lambda piece: piece[1]):
        path = "".join("M" + " ".join(f"{x:.0f} {y:.0f}" for x, y in corners) + ("Z" if colour else "") for corners, _ in group)
        looks = f'fill="{colour}" stroke="{colour}" stroke-width="1.2"' if colour else f'fill="none" stroke="{INK}" stroke-width="1.8"'
        yield f'<path d="{path}" {looks}/>'


class _View:
    """Where the eye is, and which directions round the axis are cut away: the quarter that faces it."""

    def __init__(self, parts: Profile):
        size = math.hypot(*EYE)
        self.eye = tuple(value / size for value in EYE)
        flat = math.hypot(self.eye[0], self.eye[2])
        self.across = (self.eye[2] / flat, 0.0, -self.eye[0] / flat)
        self.up = _cross(self.eye, self.across)
        self.facing = math.atan2(self.eye[1], self.eye[0])
        self.start, self.end = self.facing - OPEN / 2, self.facing + OPEN / 2
        self.turn = self._turn(parts)
        self.step = (parts.ends[1] - parts.ends[0]) / PIECES

    def _turn(self, parts: Profile) -> float:
        """Turn of the coupling that puts a slit beside the opening, above it, and else a screw."""
        first = next(iter(parts.places.slits or parts.places.screws), 0.0)
        return self.start - math.radians(24) - first

    def flat(self, p: Space) -> Point:
        return _dot(p, self.across), -_dot(p, self.up)

    def rank(self, piece: Piece) -> tuple[int, int, int, float]:
        """Where a piece comes in the order of drawing."""
        x, y, z = (sum(axis) / len(piece.corners) for axis in zip(*piece.corners))
        near = _dot((x, y, z), self.eye)
        if piece.layer == "shaft":
            return 1, 0, piece.order, near
        before = x * self.eye[0] + y * self.eye[1] > 0
        layer = "flange" if piece.layer == "sleeve" and z < 1e-9 else piece.layer
        return (2, BEFORE.index(layer), piece.order, near) if before else (0, BEHIND.index(layer), piece.order, near)

    def taken(self, angle: float) -> bool:
        """Whether a direction lies in the opening."""
        return abs(math.remainder(angle - self.facing, 2 * math.pi)) < OPEN / 2 - 1e-9

    def shade(self, part: str, normal: Space) -> str:
        bright = 0.62 + 0.42 * max(0.0, _dot(normal, LIGHT) / math.hypot(*LIGHT))
        return "#" + "".join(f"{min(255, round(value * bright / 8) * 8):02x}" for value in COLOURS[part])


def _pieces(parts: Profile, view: _View) -> Iterable[Piece]:
    cuts = [(cut, cut.angle + view.turn) for cut in parts.cuts]
    yield from _turned(_sharp(parts.shaft), "shaft", view, (), whole=True)
    yield from _turned(_divided(_sharp(parts.sleeve), (0.0,)), "sleeve", view, cuts)
    yield from _turned(_sharp(parts.ring), "ring", view, ())
    if parts.bolting:
        for angle in parts.places.screws:
            if not view.taken(angle + view.turn):
                yield from _screw(parts, view, angle + view.turn)


def _sharp(corners: Iterable[Corner]) -> list[Point]:
    """An outline without its roundings, which are too small to be seen here."""
    return [corner[:2] for corner in corners]


def _turned(outline: list[Point], part: str, view: _View, cuts, whole: bool = False) -> Iterable[Piece]:
    """Surface of a body of revolution that faces the eye, the two faces of the opening, and the flanks of its slits."""
    for (r0, z0), (r1, z1), before in _runs(outline):
        if max(r0, r1) < 1e-9:
            continue
        count = max(1, math.ceil(math.hypot(r1 - r0, z1 - z0) / view.step))
        marks = _marks(z0, z1, count, cuts)
        for a, b in zip(marks, marks[1:]):
            ends = [(r0 + (r1 - r0) * t, z0 + (z1 - z0) * t) for t in (a, b)]
            yield from _band(ends, part, view, cuts, whole, before if a == 0 else None)
    if not whole:
        for angle, way in ((view.start, 1), (view.end, -1)):
            normal = (-way * math.sin(angle), way * math.cos(angle), 0.0)
            gone = [cut for cut, at in cuts if abs(math.remainder(at - angle, 2 * math.pi)) < 1e-9]
            if not gone:
                yield from _plate(outline, part, view, lambda r, a=angle: a, normal)
    for cut, at in cuts:
        yield from _flanks(outline, part, view, cut, at)


def _runs(outline: list[Point]):
    """Straight pieces of an outline, each with the normal (r, z) of the one before where they meet in an edge, else None."""
    for i, here in enumerate(outline):
        before, after = _normal(outline[i - 1], here), _normal(here, outline[(i + 1) % len(outline)])
        yield here, outline[(i + 1) % len(outline)], before if _dot(before, after) < math.cos(0.3) else None


def _normal(a: Point, b: Point) -> Point:
    """Outwards: the material is on the left."""
    long = math.hypot(b[0] - a[0], b[1] - a[1]) or 1.0
    return (b[1] - a[1]) / long, -(b[0] - a[0]) / long


def _marks(z0: float, z1: float, count: int, cuts) -> list[float]:
    """Shares of a piece's length where it is divided: evenly, and where slits end."""
    ends = {z for cut, _ in cuts for z in (cut.low, cut.high)}
    at = [(z - z0) / (z1 - z0) for z in ends if min(z0, z1) + 1e-9 < z < max(z0, z1) - 1e-9]
    return sorted({*(k / count for k in range(count + 1)), *at})


def _band(ends, part: str, view: _View, cuts, whole: bool, before: Point | None) -> Iterable[Piece]:
    """One ring of pieces between two circles; before: normal of the surface that meets it in an edge at the first circle."""
    (r0, z0), (r1, z1) = ends
    inside = (z0 + z1) / 2 - 1e-6 * _normal(*ends)[1] * view.step  # a face at a slit's end belongs to the material behind it
    slits = [(cut, at) for cut, at in cuts if cut.low < inside < cut.high]
    for a, b in _angles(view, slits, max(r0, r1), whole):
        own, other = (_round(normal, (a + b) / 2) for normal in (_normal(*ends), before or (0.0, 0.0)))
        seen = _dot(own, view.eye) > 0
        if seen:
            corners = (_at(r0, a, z0), _at(r0, b, z0), _at(r1, b, z1), _at(r1, a, z1))
            yield Piece(corners, view.shade(part, own), part, FACE)
        if before and r0 > 1e-9 and (seen or _dot(other, view.eye) > 0):
            in_a_hole = not (seen and _normal(*ends)[0] >= 0 or _dot(other, view.eye) > 0 and before[0] >= 0)
            yield Piece((_at(r0, a, z0), _at(r0, b, z0)), "", part, FLANK if in_a_hole else EDGE)
    for cut, at in slits:
        half = _half(cut, max(r0, r1))
        for angle in (at - half, at + half):
            if not view.taken(angle) and _dot(_round(_normal(*ends), angle), view.eye) > 0:
                yield Piece((_at(r0, angle, z0), _at(r1, angle, z1)), "", part, EDGE)


def _half(cut: Cut, radius: float) -> float:
    """Half the angle that a slit takes of a circle."""
    return math.asin(min(1.0, cut.width / 2 / max(radius, 1e-9)))


def _round(normal: Point, angle: float) -> Space:
    return normal[0] * math.cos(angle), normal[0] * math.sin(angle), normal[1]


def _angles(view: _View, slits, radius: float, whole: bool) -> Iterable[tuple[float, float]]:
    """Pieces of a turn that are there: neither cut away nor in a slit."""
    start = view.start if whole else view.end
    room = 2 * math.pi if whole else 2 * math.pi - OPEN
    count = round(TURNS * room / (2 * math.pi))
    gaps = []
    for cut, at in slits:
        half = _half(cut, radius)
        middle = (at - start) % (2 * math.pi)
        gaps.append((middle - half, middle + half))
    marks = sorted({*(room * k / count for k in range(count + 1)), *(x for gap in gaps for x in gap if 0 < x < room)})
    for a, b in zip(marks, marks[1:]):
        if not any(low - 1e-9 <= a and b <= high + 1e-9 for low, high in gaps):
            yield start + a, start + b


def _plate(outline: list[Point], part: str, view: _View, angle, normal: Space, flank: bool = False) -> Iterable[Piece]:
    """A flat face through the part at a direction, in strips along z, with its edge."""
    if _dot(normal, view.eye) <= 0:
        return
    low, high = min(z for _, z in outline), max(z for _, z in outline)
    count = max(1, math.ceil((high - low) / view.step))
    marks = sorted({low + (high - low) * k / count for k in range(count + 1)} | {z for _, z in outline})
    for z0, z1 in zip(marks, marks[1:]):
        if z1 - z0 < 1e-6 * (high - low):
            continue
        inner, outer = _reach(outline, z0, z1)
        strip = (inner[0], z0), (outer[0], z0), (outer[1], z1), (inner[1], z1)
        corners = tuple(_at(r, angle(r), z) for r, z in strip)
        yield Piece(corners, view.shade("slit" if flank else part, normal), part, FLANK if flank else FACE)
    for (r0, z0), (r1, z1) in zip(outline, [*outline[1:], outline[0]]):
        count = max(1, math.ceil(math.hypot(r1 - r0, z1 - z0) / view.step))
        steps = [(r0 + (r1 - r0) * k / count, z0 + (z1 - z0) * k / count) for k in range(count + 1)]
        for (ra, za), (rb, zb) in zip(steps, steps[1:]):
            yield Piece((_at(ra, angle(ra), za), _at(rb, angle(rb), zb)), "", part, FLANK if flank else EDGE)


def _reach(outline: list[Point], z0: float, z1: float) -> tuple[tuple[float, float], tuple[float, float]]:
    """Inner and outer radius of a part just inside both ends of a strip."""
    ends = []
    for z, towards in ((z0, z1), (z1, z0)):
        level = z + 1e-6 * (towards - z)
        met = [
            r0 + (r1 - r0) * (level - za) / (zb - za)
            for (r0, za), (r1, zb) in zip(outline, [*outline[1:], outline[0]])
            if (za < level) != (zb < level)
        ]
        ends.append((min(met), max(met)))
    return (ends[0][0], ends[1][0]), (ends[0][1], ends[1][1])


def _flanks(outline: list[Point], part: str, view: _View, cut: Cut, at: float) -> Iterable[Piece]:
    """Both flanks of a slit, parallel to its middle plane."""
    inside = [(r, min(max(z, cut.low), cut.high)) for r, z in _divided(outline, (cut.low, cut.high))]
    inside = [p for i, p in enumerate(inside) if p != inside[i - 1]]
    for way in (1, -1):
        if view.taken(at):
            continue
        normal = (way * math.sin(at), -way * math.cos(at), 0.0)
        yield from _plate(inside, part, view, lambda r, w=way: at + w * _half(cut, r), normal, True)


def _divided(outline: list[Point], levels: tuple[float, ...]) -> list[Point]:
    """An outline with points of its own where it crosses given z."""
    found: list[Point] = []
    for (r0, z0), (r1, z1) in zip(outline, [*outline[1:], outline[0]]):
        shares = sorted((z - z0) / (z1 - z0) for z in levels if min(z0, z1) < z < max(z0, z1))
        found += [(r0, z0), *((r0 + (r1 - r0) * t, z0 + (z1 - z0) * t) for t in shares)]
    return found


def _screw(parts: Profile, view: _View, angle: float) -> Iterable[Piece]:
    """A screw's head on the ring, and its shank where it is bare between flange and ring."""
    screw, ring = parts.bolting.screw, parts.sizes.ring
    x, y, _ = _at(parts.bolting.circle / 2, angle, 0.0)
    top = ring.end + screw.head_height
    yield from _barrel((x, y), screw.head / 2, ring.end, top, "head", view)
    if parts.tapped:
        yield from _barrel((x, y), screw.thread.diameter / 2, 0.0, ring.start, "shank", view)
    for radius, sides, colour, order in (
        (screw.head / 2, 24, view.shade("screw", (0.0, 0.0, 1.0)), FACE), (screw.key / math.sqrt(3), 6, "#2a3138", EDGE),
    ):
        turns = [2 * math.pi * k / sides for k in range(sides)]
        yield Piece(tuple((x + radius * math.cos(t), y + radius * math.sin(t), top) for t in turns), colour, "head", order)


def _barrel(middle: Point, radius: float, low: float, high: float, layer: str, view: _View) -> Iterable[Piece]:
    for k in range(24):
        turns = math.pi * k / 12, math.pi * (k + 1) / 12
        normal = (math.cos(sum(turns) / 2), math.sin(sum(turns) / 2), 0.0)
        near, far = [(middle[0] + radius * math.cos(t), middle[1] + radius * math.sin(t)) for t in turns]
        if _dot(normal, view.eye) > 0:
            yield Piece(((*near, low), (*far, low), (*far, high), (*near, high)), view.shade("screw", normal), layer, FACE)


def _at(r: float, angle: float, z: float) -> Space:
    return r * math.cos(angle), r * math.sin(angle), z


def _dot(a, b) -> float:
    return sum(x * y for x, y in zip(a, b))


def _cross(a, b) -> Space:
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]
