"""Room for clamp and jacking screws in a ring: heads on the trailing face, holes and threads at the leading end, webs.

Lengths in mm. The clamp screws stand evenly on one circle and pass the ring through clearance holes (ISO 273, medium); jacking
screws of the same size stand midway between them, in threads cut into the ring. The cone is widest at the leading end, so
webs are looked at there, and the ring's outside is taken as a cylinder. Not looked at: room for the tool, edge radii, a slit of the sleeve's flange.
"""

import math
from dataclasses import dataclass

from colletfea.cases.hand.threads import Screw

LEAST_WEB, WEB_OVER_HOLE = 1.0, 0.2  # the larger of 1 mm and a fifth of the hole; common practice, no source
ROUNDING = 1e-9  # [mm]


@dataclass(frozen=True)
class RingShape:
    """Bore radii of the ring at its leading face (toward the flange, the wider one) and its trailing face, its outside
    diameter and the circle's diameter, all in mm; circle None: the default. flange_diameter 0: no flange."""

    bore_leading: float
    bore_trailing: float
    outer_diameter: float
    circle: float | None = None
    flange_diameter: float = 0.0

    @property
    def default_circle(self) -> float:
        """Diameter [mm] in the middle between cone and outside, at the ring's mid-length."""
        return (self.bore_leading + self.bore_trailing) / 2 + self.outer_diameter / 2


@dataclass(frozen=True)
class Room:
    """Whether screws find room on a circle [mm, diameter]; least and greatest are the circles that would do (none does
    where least > greatest), outer_diameter the smallest ring [mm] that has room; because says what is in the way, else ""."""

    fits: bool
    circle: float
    least: float
    greatest: float
    outer_diameter: float
    because: str


def web(hole: float) -> float:
    """Least web [mm] beside a hole.

    >>> web(3.4), round(web(6.6), 2)
    (1.0, 1.32)
    """
    return max(LEAST_WEB, WEB_OVER_HOLE * hole)


def room(screw: Screw, count: int, jacking: int, ring: RingShape) -> Room:
    """Room for `count` clamp screws and `jacking` jacking screws on the ring's circle; never an exception.

    >>> from colletfea.cases.hand.threads import screw
    >>> room(screw("M4"), 6, 3, RingShape(15, 13, 46)).fits
    True
    """
    inner, outer = _inner_limits(screw, count, jacking, ring), _outer_limits(screw, ring)
    circle = ring.default_circle if ring.circle is None else ring.circle
    least, greatest = max(limit for limit, _ in inner), min(limit for limit, _ in outer)
    wide = max(screw.hole + 2 * web(screw.hole), screw.head)
    needed = max(ring.outer_diameter, least + wide) if least > greatest else least + wide
    because = _because(circle, inner, outer, ring)
    return Room(not because, circle, least, greatest, needed, because)


def _inner_limits(screw: Screw, count: int, jacking: int, ring: RingShape) -> list[tuple[float, str]]:
    """Least circles [mm] with what asks for them."""
    hole, head, thread = screw.hole, screw.head, screw.thread.diameter
    least = web(hole)
    limits = [
        (2 * ring.bore_leading + hole + 2 * least, f"a web of {least:.2f} mm between hole and cone at the leading end"),
        (2 * ring.bore_trailing + head, "heads clear of the cone on the trailing face"),
        (_spread(hole + least, count), f"a web of {least:.2f} mm between holes"),
        (_spread(head, count), "heads clear of each other"),
    ]
    if jacking:
        between = count * (1 + math.ceil(jacking / count))  # places on the circle, evenly spread
        limits += [
            (_spread((hole + thread) / 2 + least, between), f"a web of {least:.2f} mm between holes and jacking threads"),
            (_spread((head + thread) / 2, between), "heads clear of the jacking threads"),
        ]
    return limits


def _spread(distance: float, places: int) -> float:
    """Circle [mm] on which so many evenly spread places are `distance` apart (chord)."""
    return distance / math.sin(math.pi / places)


def _outer_limits(screw: Screw, ring: RingShape) -> list[tuple[float, str]]:
    """Greatest circles [mm] with what asks for them."""
    hole, least = screw.hole, web(screw.hole)
    limits = [
        (ring.outer_diameter - hole - 2 * least, f"a web of {least:.2f} mm between hole and the ring's outside"),
        (ring.outer_diameter - screw.head, "heads whole on the trailing face"),
    ]
    if ring.flange_diameter:
        edge = ring.flange_diameter - screw.thread.diameter - 2 * least
        limits.append((edge, f"a web of {least:.2f} mm between thread and the flange's edge"))
    return limits


def _because(circle: float, inner: list[tuple[float, str]], outer: list[tuple[float, str]], ring: RingShape) -> str:
    """What the worst limit asks for, and where no circle does, that; empty where there is room."""
    bore = 2 * ring.bore_leading
    if not bore < circle < ring.outer_diameter:
        return f"a circle of {circle:.4g} mm lies outside the ring, which reaches from {bore:.4g} to {ring.outer_diameter:.4g} mm"
    (least, low), (greatest, high) = max(inner), min(outer)
    if least > greatest + ROUNDING:
        return f"no circle has room: {low} asks for {least:.2f} mm or more, {high} for {greatest:.2f} mm or less"
    if circle < least - ROUNDING:
        return f"{low} asks for a circle of {least:.2f} mm or more; it is {circle:.2f} mm"
    if circle > greatest + ROUNDING:
        return f"{high} asks for a circle of {greatest:.2f} mm or less; it is {circle:.2f} mm"
    return ""
