"""The section through shaft, sleeve and ring at travel 0: upper half through a screw where there are any, lower half through a slit."""

from colletfea.cases.drawing import words
from colletfea.cases.drawing.canvas import Canvas
from colletfea.cases.drawing.curves import between, hatch, points
from colletfea.cases.drawing.dimension import Callout, Length, column, height, rows
from colletfea.cases.drawing.profile import Profile, profile

SCALES = (50, 20, 10, 5, 2, 1, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01)  # of ISO 5455, with 1:50 and 1:100
HATCH = 2.2  # pitch of the hatching on paper [mm]
LEFT, RIGHT, ABOVE, BELOW = 30.0, 70.0, 24.0, 32.0  # room for dimensions round the parts on paper [mm]
_EDGE = 5.0  # beyond the outermost dimension lines, for their texts [mm]


class View:
    """Where a point of the coupling comes to lie: z to the right, r upward in the upper half."""

    def __init__(self, x: float, axis: float, scale: float):
        self.x0, self.axis, self.scale = x, axis, scale

    def x(self, z: float) -> float:
        return self.x0 + self.scale * z

    def y(self, r: float, half: int = 1) -> float:
        return self.axis - half * self.scale * r

    def path(self, outline, half: int) -> list[tuple[float, float]]:
        return [(self.x(z), self.y(r, half)) for r, z in outline]


def section_svg(case, wide: float = 260.0, high: float = 200.0) -> str:
    """The section of a case as one SVG with its main sizes, to the largest usual scale that fits wide by high [mm].

    case: anything with the attributes of a case's shaft, sleeve, ring and screws. The text of every size bears its
    dotted key as `data-key`. The SVG is as large as it must be, in mm, so printed unscaled it is to scale.
    """
    parts = profile(case)
    low, high_end = parts.ends
    scale = fitting((high_end - low, wide - LEFT - RIGHT), (2 * parts.radius, high - ABOVE - BELOW))
    canvas = Canvas()
    view = View(LEFT - scale * low, ABOVE + scale * parts.radius, scale)
    _, lowest = draw(canvas, case, parts, view)
    size = LEFT + scale * (high_end - low) + RIGHT, lowest + 10
    canvas.text(2, size[1] - 2, f"Scale {scale_words(scale)}, sizes in mm")
    return canvas.svg(*size, f"Section through the coupling, scale {scale_words(scale)}")


def filling_svg(case, wide: float, high: float) -> str:
    """The same to the scale, usual or not, that fills wide or high [mm], with nothing beyond its outermost sizes."""
    parts = profile(case)
    low, high_end = parts.ends
    scale = (wide - LEFT - RIGHT) / (high_end - low)
    while True:
        canvas = Canvas()
        highest, lowest = draw(canvas, case, parts, View(LEFT - scale * low, 0.0, scale))
        if lowest - highest + 2 * _EDGE <= high or scale < SCALES[-1]:
            break
        scale *= 0.97
    size = LEFT + scale * (high_end - low) + RIGHT, lowest - highest + 2 * _EDGE
    return canvas.svg(*size, "Section through the coupling, sizes in mm", top=highest - _EDGE)


def fitting(*rooms: tuple[float, float]) -> float:
    """The largest usual scale at which every size [mm] stays within its room on paper [mm]."""
    return next((s for s in SCALES if all(s * size <= room for size, room in rooms)), SCALES[-1])


def scale_words(scale: float) -> str:
    """A scale as it is written, such as 2 : 1 or 1 : 5."""
    return f"{scale:g} : 1" if scale >= 1 else f"1 : {1 / scale:g}"


def draw(canvas: Canvas, case, parts: Profile, view: View) -> tuple[float, float]:
    """The section with its dimensions; returns the y [mm] of the highest and of the lowest dimension line."""
    for half in (1, -1):
        _shaft(canvas, parts, view, half)
        _sleeve(canvas, parts, view, half)
        _ring(canvas, parts, view, half)
    low, high = parts.ends
    canvas.line((view.x(low) - 4, view.axis), (view.x(high) + 4, view.axis), kind="centre")
    _screw(canvas, parts, view)
    top = _diameters(canvas, case, parts, view)
    _callouts(canvas, case, parts, view)
    highest, lowest = _lengths(canvas, parts, view)
    return min(top, highest), lowest


def _body(canvas: Canvas, view: View, half: int, outline, rising: bool, gaps=(), cut=None) -> None:
    """Outline of a part, hatched where it is cut: not in the gaps (outlines), and only what `cut` holds of it."""
    canvas.line(*view.path(outline, half), kind="edge", closed=True, fill="#ffffff")
    cut = [outline] if cut is None else cut
    canvas.lines(hatch([view.path(piece, half) for piece in [*cut, *gaps] if len(piece) > 2], HATCH, rising), "hatch")


def _shaft(canvas: Canvas, parts: Profile, view: View, half: int) -> None:
    """A solid shaft is not hatched, as shafts are drawn; a hollow one shows its wall and its hole's far edge."""
    corners = view.path([corner[:2] for corner in parts.shaft], half)
    if parts.sizes.shaft_bore:
        _body(canvas, view, half, points(parts.shaft), False)
        for x, y in (corners[0], corners[-1]):
            canvas.line((x, y), (x, view.axis), kind="edge")
    else:
        canvas.line(*corners, kind="edge", fill="#ffffff")


def _sleeve(canvas: Canvas, parts: Profile, view: View, half: int) -> None:
    outline, gaps, cut = points(parts.sleeve), [], None
    if half > 0 and parts.tapped:
        gaps = [_hole(parts, parts.bolting.core, parts.low, 0.0)]
    slit = parts.slit_in(half)
    if slit:
        cut = [between(outline, parts.low, slit.low), between(outline, slit.high, parts.sizes.wall.length)]
    _body(canvas, view, half, outline, True, gaps, cut)
    for end in (slit.low, slit.high) if slit else ():
        if parts.low < end < parts.sizes.wall.length:
            canvas.line(*view.path([(parts.sizes.wall.bore_radius, end), (parts.sizes.wall.outside(end), end)], half), kind="edge")
    _threaded(canvas, parts, view, half, gaps, parts.low, 0.0)


def _ring(canvas: Canvas, parts: Profile, view: View, half: int) -> None:
    ring, gaps = parts.sizes.ring, []
    if half > 0 and parts.bolting:
        gaps = [_hole(parts, parts.bolting.screw.hole, ring.start, ring.end)]
    jacked = half < 0 and not parts.places.slits and parts.bolting and parts.bolting.jacking
    if jacked:
        gaps = [_hole(parts, parts.bolting.core, ring.start, ring.end)]
    _body(canvas, view, half, points(parts.ring), False, gaps)
    if jacked:
        _threaded(canvas, parts, view, half, gaps, ring.start, ring.end)
    else:
        for gap in gaps:
            canvas.line(*view.path(gap, half), kind="edge", closed=True, fill="#ffffff")


def _hole(parts: Profile, diameter: float, low: float, high: float) -> list[tuple[float, float]]:
    middle = parts.bolting.circle / 2
    near, far = middle - diameter / 2, middle + diameter / 2
    return [(near, low), (far, low), (far, high), (near, high)]


def _threaded(canvas: Canvas, parts: Profile, view: View, half: int, gaps, low: float, high: float) -> None:
    """A threaded hole: its core by thick lines, the thread's outside by thin ones (ISO 6410-1)."""
    for gap in gaps:
        canvas.line(*view.path(gap, half), kind="edge", closed=True, fill="#ffffff")
        for r in (parts.bolting.circle + way * parts.bolting.screw.thread.diameter for way in (-1, 1)):
            canvas.line((view.x(low), view.y(r / 2, half)), (view.x(high), view.y(r / 2, half)))


def _screw(canvas: Canvas, parts: Profile, view: View) -> None:
    """The clamp screw of the upper half, not cut, from the ring's trailing face into the flange; its length is for show."""
    if parts.bolting is None:
        return
    screw, middle = parts.bolting.screw, parts.bolting.circle / 2
    seat, tip = parts.sizes.ring.end, parts.low if parts.tapped else parts.sizes.ring.start
    for half_width, low, high in ((screw.thread.diameter / 2, tip, seat), (screw.head / 2, seat, seat + screw.head_height)):
        corners = [(middle - half_width, low), (middle + half_width, low), (middle + half_width, high), (middle - half_width, high)]
        canvas.line(*view.path(corners, 1), kind="edge", closed=True, fill="#ffffff")
    if parts.tapped:
        for r in (middle - screw.thread.root_diameter / 2, middle + screw.thread.root_diameter / 2):
            canvas.line((view.x(parts.low), view.y(r)), (view.x(0), view.y(r)))
    ends = view.x(min(tip, parts.low)) - 3, view.x(seat + screw.head_height) + 3
    canvas.line((ends[0], view.y(middle)), (ends[1], view.y(middle)), kind="centre")


def _lengths(canvas: Canvas, parts: Profile, view: View) -> tuple[float, float]:
    """Ring and start above; shaft, flange, sleeve and slits below."""
    ring, wall, flange = parts.sizes.ring, parts.sizes.wall, parts.sizes.flange
    low, high = parts.ends
    top, bottom = view.y(parts.radius), view.y(parts.radius, -1)
    rim = view.y(ring.radius)
    face = view.y(flange.radius or wall.outside(0.0))
    above = [Length(view.x(ring.start), view.x(ring.end), rim, rim, words.mm(ring.length), "ring.length")]
    ends = sorted(((0.0, face), (ring.start, rim)))
    if ring.start:
        above.append(Length(view.x(ends[0][0]), view.x(ends[1][0]), ends[0][1], ends[1][1], words.mm(abs(ring.start)), "ring.start"))
    highest = rows(canvas, above, top, -1)
    end, back = view.y(parts.sizes.shaft_radius, -1), view.y(flange.radius or wall.outside(0.0), -1)
    nose = view.y(wall.outside(wall.length), -1)
    below = [
        Length(view.x(low), view.x(parts.low), end, back, words.mm(parts.low - low), "shaft.beyond"),
        Length(view.x(0), view.x(wall.length), back, nose, words.mm(wall.length), "sleeve.length"),
        Length(view.x(wall.length), view.x(high), nose, end, words.mm(high - wall.length), "shaft.beyond"),
    ]
    if parts.low:
        below.append(Length(view.x(parts.low), view.x(0), back, back, words.mm(-parts.low), "sleeve.flange_thickness"))
    cut = parts.slit_in(-1)
    if cut and cut.low > 0:
        near = view.y(wall.outside(cut.low), -1)
        below.append(Length(view.x(cut.low), view.x(cut.high), near, nose, words.mm(cut.high - cut.low), "sleeve.slits.depth"))
    return highest, rows(canvas, below, bottom, 1)


def _diameters(canvas: Canvas, case, parts: Profile, view: View) -> float:
    """Shaft and flange to the left, the ring's outside to the right of all callouts; the highest y."""
    low, high = view.x(parts.ends[0]), view.x(parts.ends[1])
    fit = f" {case.sleeve.fit}" if case.sleeve.fit else ""
    shaft = parts.sizes.shaft_radius
    rim = parts.sizes.flange.radius
    line = view.y(rim) if rim else None
    top = height(canvas, low - 8, (low, low), view.y(shaft), view.y(-shaft), words.diameter(2 * shaft) + fit, "shaft.diameter", line)
    if rim:
        back = view.x(parts.low)
        height(canvas, low - 18, (back, back), view.y(rim), view.y(-rim), words.diameter(2 * rim), "sleeve.flange_diameter")
    ring, end = parts.sizes.ring.radius, view.x(parts.sizes.ring.end)
    height(
        canvas, high + RIGHT - 3, (end, end), view.y(ring), view.y(-ring), words.diameter(2 * ring), "ring.outer_diameter"
    )
    return top


def _callouts(canvas: Canvas, case, parts: Profile, view: View) -> None:
    x = view.x(parts.ends[1]) + 14
    edges = [view.y(parts.sizes.ring.radius, half) for half in (1, -1)]  # the lines that its outside is taken at run past here
    upper, lower = _upper(case, parts, view), _lower(case, parts, view)
    rim = max(view.scale * parts.sizes.ring.radius - 3, 5.5 * max(len(upper), len(lower)))
    column(canvas, upper, x, view.axis - rim, view.axis - 3, edges)
    column(canvas, lower, x, view.axis + 4, view.axis + rim + 1, edges)


def _upper(case, parts: Profile, view: View) -> list[Callout]:
    sizes, wall, ring = parts.sizes, parts.sizes.wall, parts.sizes.ring
    nose = wall.length
    leading, trailing = parts.ring_bore
    middle = max(ring.start, 0.0) * 0.3 + min(ring.end, nose) * 0.7
    found = [
        Callout(view.x(middle), view.y(wall.outside(middle)), f"Cone {words.cone(sizes.taper)}", "sleeve.taper"),
        Callout(view.x(nose), view.y(wall.radius(nose)), f"Wall at nose {words.mm(wall.nose_wall)}", "sleeve.nose_wall"),
    ]
    if parts.bolting:
        screw = parts.bolting.screw
        words_ = f"{parts.bolting.count} × {screw.size} on {words.diameter(parts.bolting.circle)}"
        found.append(Callout(view.x(ring.end + screw.head_height), view.y(parts.bolting.circle / 2), words_, "screws.size"))
    if case.ring.edge_radius:
        radius = case.ring.edge_radius
        found.append(Callout(view.x(ring.end - 0.3 * radius), view.y(trailing + 0.3 * radius), f"R{words.mm(radius)} both ends", "ring.edge_radius"))
    if ring.taper != sizes.taper:
        at = ring.start + 0.85 * ring.length
        found.append(Callout(view.x(at), view.y(leading - 0.85 * (leading - trailing)), f"Ring {words.cone(ring.taper)}", "ring.taper"))
    return found


def _lower(case, parts: Profile, view: View) -> list[Callout]:
    sizes, wall = parts.sizes, parts.sizes.wall
    nose, found = wall.length, []
    if case.sleeve.slits.pattern != "none":
        at = nose - 0.12 * min(nose, case.sleeve.slits.depth or nose)
        found.append(Callout(view.x(at), view.y(wall.radius(at), -1), words.slits(case), "sleeve.slits.width"))
    key = "sleeve.fit" if case.sleeve.fit else "sleeve.clearance"
    bore = words.diameter(2 * wall.bore_radius) + f" {words.fit_of(case)[0]}".rstrip()
    found.append(Callout(view.x(nose - 0.03 * nose), view.y(wall.bore_radius, -1), f"Bore {bore}", key))
    if case.sleeve.nose_radius:
        radius = case.sleeve.nose_radius
        at = wall.outside(nose) - 0.3 * radius
        found.append(Callout(view.x(nose - 0.3 * radius), view.y(at, -1), f"R{words.mm(radius)} both corners", "sleeve.nose_radius"))
    if sizes.shaft_bore:
        end = parts.ends[1]
        found.append(Callout(view.x(end), view.y(sizes.shaft_bore, -1), f"Hole {words.diameter(2 * sizes.shaft_bore)}", "shaft.bore"))
    return found
