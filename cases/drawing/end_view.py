"""The coupling seen from its nose: circles, slits, screw heads and jacking threads, and where the section runs."""

import math

from colletfea.cases.drawing import words
from colletfea.cases.drawing.canvas import INK, Canvas
from colletfea.cases.drawing.dimension import Length, rows
from colletfea.cases.drawing.profile import Cut, Profile

MARGIN = 12.0  # round the view on paper, for the trace of the section and the dimension of a slit [mm]


def draw(canvas: Canvas, parts: Profile, x: float, y: float, scale: float) -> None:
    """The view with its centre at (x, y) on paper [mm]."""
    spot = _Spot(x, y, scale)
    _circles(canvas, parts, spot)
    _slits(canvas, parts, spot)
    _holes(canvas, parts, spot)
    _centre_lines(canvas, parts, spot)
    _trace(canvas, parts, spot)
    _texts(canvas, parts, spot)
    if parts.cuts:
        _slit_width(canvas, parts, spot)


class _Spot:
    def __init__(self, x: float, y: float, scale: float):
        self.x, self.y, self.scale = x, y, scale

    def at(self, angle: float, r: float, aside: float = 0.0) -> tuple[float, float]:
        """Paper point at a radius r in a direction, aside [mm] to its left."""
        c, s = math.cos(angle), math.sin(angle)
        return self.x + self.scale * (r * c - aside * s), self.y - self.scale * (r * s + aside * c)


def _circles(canvas: Canvas, parts: Profile, spot: _Spot) -> None:
    """Visible edges from the outside in; what the ring hides of the sleeve is left out."""
    sizes = parts.sizes
    nose, trailing = sizes.wall.outside(sizes.wall.length), parts.ring_bore[1]
    inside = [nose] if sizes.wall.length > sizes.ring.end or nose < trailing else []
    radii = [sizes.flange.radius, sizes.ring.radius, trailing, *inside, sizes.wall.bore_radius, sizes.shaft_radius, sizes.shaft_bore]
    for radius in radii:
        if radius:
            canvas.circle(spot.x, spot.y, spot.scale * radius, "edge", "#ffffff")


def _slits(canvas: Canvas, parts: Profile, spot: _Spot) -> None:
    """Visible on the nose and outside the ring; slits from the back as hidden edges."""
    sizes = parts.sizes
    nose = min(sizes.wall.outside(sizes.wall.length), parts.ring_bore[1])
    for cut in parts.cuts:
        seen = cut.high >= sizes.wall.length
        outer = nose if seen else sizes.wall.outside(cut.high)
        _flanks(canvas, cut, spot, sizes.wall.bore_radius, outer, "edge" if seen else "hidden")
        if cut.low < 0 and sizes.flange.radius > sizes.ring.radius:
            _flanks(canvas, cut, spot, sizes.ring.radius, sizes.flange.radius, "edge")


def _flanks(canvas: Canvas, cut: Cut, spot: _Spot, inner: float, outer: float, kind: str) -> None:
    """Both flanks of a slit between two radii, with white between them where they are visible."""
    half = cut.width / 2
    along = [math.sqrt(max(0.0, r * r - half * half)) for r in (inner, outer)]
    corners = [spot.at(cut.angle, r, side) for side, r in ((half, along[0]), (half, along[1]), (-half, along[1]), (-half, along[0]))]
    if kind == "edge":
        canvas.area(corners)
    canvas.lines([(corners[0], corners[1]), (corners[3], corners[2])], kind)


def _holes(canvas: Canvas, parts: Profile, spot: _Spot) -> None:
    """Heads with their hexagon; jacking threads with three quarters of a thin circle (ISO 6410-1)."""
    if parts.bolting is None:
        return
    screw, circle = parts.bolting.screw, parts.bolting.circle / 2
    for angle in parts.places.screws:
        x, y = spot.at(angle, circle)
        canvas.circle(x, y, spot.scale * screw.head / 2, "edge", "#ffffff")
        across = spot.scale * screw.key / math.sqrt(3)
        corners = [(x + across * math.cos(k * math.pi / 3), y + across * math.sin(k * math.pi / 3)) for k in range(6)]
        canvas.line(*corners, kind="thin", closed=True)
    for angle in parts.places.jacking:
        x, y = spot.at(angle, circle)
        canvas.circle(x, y, spot.scale * parts.bolting.core / 2, "edge", "#ffffff")
        canvas.arc(x, y, spot.scale * screw.thread.diameter / 2, 0.1, 1.5 * math.pi)


def _centre_lines(canvas: Canvas, parts: Profile, spot: _Spot) -> None:
    if parts.bolting:
        canvas.circle(spot.x, spot.y, spot.scale * parts.bolting.circle / 2, "centre")
        reach = parts.bolting.screw.head / 2 + 1.5 / spot.scale
        for angle in (*parts.places.screws, *parts.places.jacking):
            ends = [spot.at(angle, parts.bolting.circle / 2 + way * reach) for way in (-1, 1)]
            canvas.line(*ends, kind="centre")
    reach = parts.radius + 3 / spot.scale
    for angle in (0.0, math.pi / 2):
        canvas.line(spot.at(angle, -reach), spot.at(angle, reach), kind="centre")


def _trace(canvas: Canvas, parts: Profile, spot: _Spot) -> None:
    """Where the section A - A runs: thick at its ends, with the way it is looked at."""
    near, far = parts.radius + 2.5 / spot.scale, parts.radius + 7 / spot.scale
    for angle in (parts.places.upper, parts.places.lower):
        canvas.line((spot.x, spot.y), spot.at(angle, near), kind="trace")
        tip = spot.at(angle, far)
        canvas.line(spot.at(angle, near), tip, kind="edge")
        canvas.line((tip[0] - 9, tip[1]), (tip[0] - 1, tip[1]))
        canvas.arrow(*tip, 1, 0)
        canvas.text(tip[0] - 10, tip[1] + 1.2, "A", anchor="end", bold=True)


def _texts(canvas: Canvas, parts: Profile, spot: _Spot) -> None:
    """Screws at the right above the view, jacking threads at the left."""
    if parts.bolting is None:
        return
    screw, circle, reach = parts.bolting.screw, parts.bolting.circle / 2, spot.scale * parts.radius
    text = f"{parts.bolting.count} × {screw.size} on {words.diameter(parts.bolting.circle)}"
    clear = [angle for angle in parts.places.screws if angle != parts.places.upper] or parts.places.screws
    _callout(canvas, spot, clear, circle, 1, reach, text, "screws.count")
    if parts.bolting.jacking:
        text = f"{parts.bolting.jacking} × {screw.size} jacking"
        _callout(canvas, spot, parts.places.jacking, circle, -1, reach, text, "screws.jacking")


def _callout(canvas: Canvas, spot: _Spot, angles, circle: float, side: int, reach: float, text: str, key: str) -> None:
    """Text beside the top of the view, led to the hole nearest to that corner."""
    corner = math.pi / 2 - side * math.pi / 4
    nearest = max(angles, key=lambda angle: math.cos(angle - corner))
    x, y = spot.at(nearest, circle)
    place = spot.x + side * (0.62 * reach + 2), spot.y - reach - 6
    canvas.line((x, y), (place[0] - side, place[1] - 1))
    canvas.circle(x, y, 0.35, "thin", INK)
    canvas.text(place[0], place[1], text, anchor="start" if side > 0 else "end", key=key)


def _slit_width(canvas: Canvas, parts: Profile, spot: _Spot) -> None:
    """Width of the slit that points downward, measured below the view."""
    cut = parts.cuts[0]
    outer = parts.sizes.flange.radius if cut.low < 0 else parts.sizes.wall.bore_radius
    edge = spot.at(cut.angle, max(outer, 0.0))[1]
    ends = [spot.x + way * spot.scale * cut.width / 2 for way in (-1, 1)]
    rows(canvas, [Length(*ends, edge, edge, words.mm(cut.width), "sleeve.slits.width")], spot.y + spot.scale * parts.radius + 3, 1)
