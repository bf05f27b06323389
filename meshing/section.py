"""The meridional section of shaft, sleeve and clamp ring as plain numbers, and what it must satisfy."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, inf, isfinite, pi, tan

from colletfea.fea.errors import MeshError
from colletfea.meshing.flanks import Flank, lift

#: share of a face that its rounded corners must leave straight, or its elements are cut too thin
_LEAST_STRAIGHT = 0.1


@dataclass(frozen=True)
class Section:
    """One coupling in the (r, z) half plane: lengths [mm], half angles [rad].

    z = 0 is the sleeve's back face, z = `length` its nose. Every radial size is a radius,
    `shaft_bore` too (0 for a solid shaft). `ring_start` is the z of the ring's leading face at
    travel 0, where its cone just touches the sleeve's; `ring_length` and `ring_start` are measured
    to the unrounded faces. `travel` is the greatest ring travel (towards -z) the mesh must serve,
    `size` the element size along the contacts (None: `default_size`), `stations` the z at which
    element boundaries of the sleeve must lie, `least` the fewest elements across the ring's wall (every
    other wall has three). Rounded edges
    are drawn, not resolved: peaks there are looked at in `zoom`.
    """

    shaft_radius: float
    shaft_bore: float
    beyond_back: float
    beyond_front: float
    bore_radius: float
    nose_wall: float
    length: float
    taper: float
    flange_thickness: float
    flange_radius: float
    nose_radius: float
    ring_length: float
    ring_radius: float
    ring_start: float
    ring_taper: float
    edge_radius: float
    travel: float
    size: float | None = None
    stations: tuple[float, ...] = ()
    least: int = 1

    @property
    def nose_cone_radius(self) -> float:
        """Unrounded radius of the sleeve's cone at the nose [mm]."""
        return self.bore_radius + self.nose_wall

    @property
    def root_radius(self) -> float:
        """Radius of the sleeve's cone at its back face [mm]."""
        return self.nose_cone_radius + self.length * tan(self.taper)

    @property
    def ring_end(self) -> float:
        """z of the ring's unrounded trailing face at travel 0 [mm]."""
        return self.ring_start + self.ring_length

    @property
    def overlap(self) -> float:
        """Axial length over which ring and sleeve face each other at travel 0 [mm]; <= 0: they miss."""
        return min(self.length, self.ring_end) - max(0.0, self.ring_start)

    def ring_bore(self) -> tuple[float, float]:
        """Unrounded radii of the ring's bore at its leading and its trailing face [mm]."""
        edge = self.edge_radius
        ring = Flank(self.ring_start, self.ring_end, self.ring_taper, 1, edge, edge)
        sleeve = Flank(0.0, self.length, self.taper, -1, 0.0, self.nose_radius)
        leading = self.root_radius + lift(ring, sleeve)
        return leading, leading - self.ring_length * tan(self.ring_taper)


def default_size(section: Section) -> float:
    """Element size along the contacts [mm], from wall and lengths alone.

    A fifth of the mean wall, but between a 110th and a 20th of the seat, so that a long thin
    sleeve stays affordable and a short thick one still has a contact to resolve.
    """
    wall = section.nose_wall + section.length * tan(section.taper) / 2
    return min(max(wall / 5, section.length / 110), section.length / 20)


def faults(section: Section) -> list[str]:
    """Sentences, each with a name of the section and its value [mm, rad], on what keeps it from being drawn."""
    return _number_faults(section) or _sleeve_faults(section) or _ring_faults(section)


def require_drawable(section: Section) -> None:
    """Raise MeshError with every fault of the section."""
    found = faults(section)
    if found:
        raise MeshError("\n".join(found))


def _number_faults(s: Section) -> list[str]:
    limits = [  # name, least, is the least allowed, below
        ("shaft_radius", 0, False, inf),
        ("shaft_bore", 0, True, s.shaft_radius),
        ("beyond_back", 0, True, inf),
        ("beyond_front", 0, True, inf),
        ("bore_radius", s.shaft_radius, True, inf),
        ("nose_wall", 0, False, inf),
        ("length", 0, False, inf),
        ("taper", 0, True, pi / 2),
        ("flange_thickness", 0, True, inf),
        ("nose_radius", 0, True, inf),
        ("ring_length", 0, False, inf),
        ("ring_taper", 0, True, pi / 2),
        ("edge_radius", 0, True, inf),
        ("travel", 0, True, inf),
        ("size", 0, False, inf),
    ]
    given = [(name, value, *rest) for name, *rest in limits if (value := getattr(s, name)) is not None]
    return [
        f"{name} = {value:g}: must be {'at least' if closed else 'more than'} {least:g}"
        + (f" and less than {below:g}" if isfinite(below) else "")
        for name, value, least, closed, below in given
        if not (least <= value < below and (closed or value > least))
    ]


def _sleeve_faults(s: Section) -> list[str]:
    found = []
    if s.flange_thickness and not s.flange_radius > s.root_radius:
        found.append(f"flange_radius = {s.flange_radius:g}: must be more than the cone's {s.root_radius:.4g} mm at the back face")
    if s.nose_radius > s.length / 4 or _straight(s.nose_wall, s.nose_radius, s.taper) < _LEAST_STRAIGHT:
        found.append(f"nose_radius = {s.nose_radius:g}: two such corners don't fit this nose and length")
    end = s.length - 2 * s.nose_radius
    found += [f"stations: {z:g} must lie between 0 and {end:g}" for z in s.stations if not 0 < z < end]
    return found


def _ring_faults(s: Section) -> list[str]:
    if s.overlap <= 0:
        return [f"ring_start = {s.ring_start:g}: the ring misses the cone, which reaches from 0 to {s.length:g}"]
    if _straight(s.ring_length / cos(s.ring_taper), s.edge_radius, s.ring_taper, -s.ring_taper) < _LEAST_STRAIGHT:
        return [f"edge_radius = {s.edge_radius:g}: two such edges don't fit this ring_length"]
    leading, trailing = s.ring_bore()
    found = []
    if s.flange_thickness and s.ring_start < 0:
        found.append(f"ring_start = {s.ring_start:g}: must be at least 0 where there is a flange")
    if not trailing > s.shaft_radius:
        found.append(f"ring_length = {s.ring_length:g}: the ring's bore narrows to the shaft before its trailing face")
    if not s.ring_radius > leading + 3 * s.edge_radius:
        found.append(f"ring_radius = {s.ring_radius:g}: must be more than the ring's bore of {leading:.4g} mm with its rounded edges")
    return found


def _straight(width: float, radius: float, lean: float, other: float = 0.0) -> float:
    """Share of a face of that width [mm] left straight between two corners of interior angle pi/2 + lean [rad]."""
    return 1 - radius / width * sum(1 / tan(pi / 4 + angle / 2) for angle in (lean, other))
