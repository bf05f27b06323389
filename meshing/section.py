"""The meridional section of shaft, sleeve and clamp ring as plain numbers, and what it must satisfy."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, degrees, inf, isfinite, pi, tan

from colletfea.fea.errors import MeshError
from colletfea.meshing.flanks import ring_bore_radius


@dataclass(frozen=True)
class Section:
    """One coupling in the (r, z) half plane: lengths [mm], half angles [rad].

    z = 0 is the sleeve's back face, z = `length` its nose. Every radial size is a radius,
    `shaft_bore` too (0 for a solid shaft). `ring_start` is the z of the ring's leading face at
    travel 0, where its cone just touches the sleeve's; `ring_length` and `ring_start` are measured
    to the unrounded faces. `travel` is the greatest ring travel (towards -z) the mesh must serve,
    `size` the element size along the contacts (None: `default_size`), `stations` the z at which
    element boundaries of the sleeve must lie. `landings` are the rounded edges that will press, by their
    names in `rounding.rounded_edges`, each with the (r, z) of the partner's point under the beginning of the
    arc, undeformed: elements are made small there. Without them arcs are drawn but not resolved.
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
    landings: tuple[tuple[str, float, float], ...] = ()

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
        leading = ring_bore_radius(self)
        return leading, leading - self.ring_length * tan(self.ring_taper)


def default_size(section: Section) -> float:
    """Element size along the contacts [mm], from wall and lengths alone.

    A fifth of the mean wall, but between a 110th and a 20th of the seat, so that a long thin
    sleeve stays affordable and a short thick one still has a contact to resolve.
    """
    wall = section.nose_wall + section.length * tan(section.taper) / 2
    return min(max(wall / 5, section.length / 110), section.length / 20)


def faults(section: Section) -> list[str]:
    """Sentences, each with the dotted key of the case file, on what keeps a section from being drawn."""
    return _number_faults(section) or _sleeve_faults(section) or _ring_faults(section)


def require_drawable(section: Section) -> None:
    """Raise MeshError with every fault of the section."""
    found = faults(section)
    if found:
        raise MeshError("\n".join(found))


def _number_faults(s: Section) -> list[str]:
    wanted = [  # key, value in the case file's unit, least, is the least allowed, below
        ("shaft.diameter", 2 * s.shaft_radius, 0, False, inf),
        ("shaft.bore", 2 * s.shaft_bore, 0, True, 2 * s.shaft_radius),
        ("shaft.beyond", min(s.beyond_back, s.beyond_front), 0, True, inf),
        ("sleeve.clearance", 2 * (s.bore_radius - s.shaft_radius), 0, True, inf),
        ("sleeve.nose_wall", s.nose_wall, 0, False, inf),
        ("sleeve.length", s.length, 0, False, inf),
        ("sleeve.taper", degrees(s.taper), 0, True, 90),
        ("sleeve.flange_thickness", s.flange_thickness, 0, True, inf),
        ("sleeve.nose_radius", s.nose_radius, 0, True, inf),
        ("ring.length", s.ring_length, 0, False, inf),
        ("ring.taper", degrees(s.ring_taper), 0, True, 90),
        ("ring.edge_radius", s.edge_radius, 0, True, inf),
        ("push.travel", s.travel, 0, True, inf),
        ("mesh.size", 1.0 if s.size is None else s.size, 0, False, inf),
    ]
    return [
        f"{key} = {value:g}: must be {'at least' if closed else 'more than'} {least:g}"
        + (f" and less than {below:g}" if isfinite(below) else "")
        for key, value, least, closed, below in wanted
        if not (least <= value < below and (closed or value > least))
    ]


def _sleeve_faults(s: Section) -> list[str]:
    found = []
    if s.flange_thickness and not s.flange_radius > s.root_radius:
        found.append(
            f"sleeve.flange_diameter = {2 * s.flange_radius:g}: must be more than the cone's "
            f"{2 * s.root_radius:.4g} mm at the back face"
        )
    largest = _largest_fillet(s.nose_wall, s.length, (pi / 2, pi / 2 + s.taper))
    if s.nose_radius > largest:
        found.append(
            f"sleeve.nose_radius = {s.nose_radius:g}: must be at most {largest:.4g} for this wall and length"
        )
    end = s.length - 2 * s.nose_radius
    found += [
        f"sleeve.slits.depth: a station at z = {z:g} must lie between 0 and {end:g}"
        for z in s.stations
        if not 0 < z < end
    ]
    return found


def _ring_faults(s: Section) -> list[str]:
    if s.overlap <= 0:
        return [
            f"ring.start = {s.ring_start:g}: the ring misses the cone, which reaches from 0 to {s.length:g}"
        ]
    rounded = s.ring_length / cos(s.ring_taper)
    largest = _largest_fillet(rounded, inf, (pi / 2 + s.ring_taper, pi / 2 - s.ring_taper))
    if s.edge_radius > largest:
        return [f"ring.edge_radius = {s.edge_radius:g}: must be at most {largest:.4g} for this ring.length"]
    leading, trailing = s.ring_bore()
    found = []
    if s.flange_thickness and s.ring_start < 0:
        found.append(f"ring.start = {s.ring_start:g}: must be at least 0 where there is a flange")
    if not trailing > s.shaft_radius:
        found.append(
            f"ring.length = {s.ring_length:g}: the ring's bore narrows to the shaft before its trailing face"
        )
    if not s.ring_radius > leading + 3 * s.edge_radius:
        found.append(
            f"ring.outer_diameter = {2 * s.ring_radius:g}: must be more than the ring's bore "
            f"of {2 * leading:.4g} mm with its rounded edges"
        )
    return found


def _largest_fillet(width: float, depth: float, angles: tuple[float, float]) -> float:
    """Largest radius [mm] that rounds both corners (interior angles [rad]) of a face of that width."""
    tangents = sum(1 / tan(angle / 2) for angle in angles)
    return min(0.9 * width / tangents, depth / 4)
