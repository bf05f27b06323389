"""Sizes of a coupling: from the keys of a case, in mm and degrees, to radii and walls in mm and angles in rad.

z runs from the sleeve's back face (0) to its nose. No other file turns degrees into radians or works out the wall at a height.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import reduce

#: share of the sleeve's length that must lie under the ring, at travel 0 and at the end of any push
LEAST_OVERLAP = 0.05


@dataclass(frozen=True)
class Wall:
    """Sleeve wall between cylindrical bore and cone: bore radius, nose wall, length [mm] and slope tan(alpha)."""

    bore_radius: float
    nose_wall: float
    length: float
    slope: float

    def thickness(self, z: float) -> float:
        """Wall [mm] at z [mm]."""
        return self.nose_wall + (self.length - z) * self.slope

    def radius(self, z: float) -> float:
        """Mean radius [mm] at z [mm]."""
        return self.bore_radius + self.thickness(z) / 2

    def outside(self, z: float) -> float:
        """Radius [mm] of the cone at z [mm]."""
        return self.bore_radius + self.thickness(z)

    def area(self, start: float, end: float) -> float:
        """Area of the section [mm^2] between two stations [mm]."""
        return (end - start) * self.thickness((start + end) / 2)


@dataclass(frozen=True)
class Flange:
    """Flange behind the sleeve: thickness and outer radius [mm]; thickness 0 where there is none."""

    thickness: float = 0.0
    radius: float = 0.0


@dataclass(frozen=True)
class Ring:
    """Clamp ring: length, outer radius, z of its leading face at travel 0 [mm] and half angle [rad]; edges sharp."""

    length: float
    radius: float
    start: float
    taper: float

    @property
    def end(self) -> float:
        """z [mm] of the trailing face at travel 0."""
        return self.start + self.length


@dataclass(frozen=True)
class Sizes:
    """Sizes of a coupling: radii, wall, flange and ring [mm], half angle of the sleeve's cone [rad].

    clearance [mm] is radial. shaft_bore [mm] is a radius, 0 for a solid shaft.
    """

    shaft_radius: float
    shaft_bore: float
    clearance: float
    taper: float
    wall: Wall
    flange: Flange
    ring: Ring

    @property
    def bare_travel(self) -> float:
        """Travel [mm] that closes the clearance where nothing but the sleeve's wall moves."""
        return self.clearance / self.wall.slope

    @property
    def overlap(self) -> float:
        """Axial length [mm] over which ring and cone face each other at travel 0; <= 0: they miss."""
        return min(self.wall.length, self.ring.end) - max(0.0, self.ring.start)

    @property
    def travel_limit(self) -> float:
        """Greatest travel [mm]: to the flange, or until hardly any of the seat is left under the ring."""
        return self.ring.start if self.flange.thickness > 0 else self.ring.end - LEAST_OVERLAP * self.wall.length

    def ring_bore(self, z: float) -> float:
        """Radius [mm] of the ring's bore at z [mm], at travel 0, where its cone just touches the sleeve's.

        Edges are taken as sharp and ring and cone must overlap. Both flanks are straight, so they touch at an end of the
        overlap. Derived here.
        """
        slope = math.tan(self.ring.taper)
        ends = max(0.0, self.ring.start), min(self.wall.length, self.ring.end)
        return max(self.wall.outside(end) + (end - z) * slope for end in ends)


def sizes(case) -> Sizes:
    """Sizes of a case: anything with the attributes of a case's shaft, sleeve and ring, in mm and degrees."""
    return sizes_under(lambda key: reduce(getattr, key.split("."), case))


def sizes_under(value: Callable[[str], float]) -> Sizes:
    """Sizes from a function that gives the value [mm, deg] of a dotted key of the case file."""
    taper = math.radians(value("sleeve.taper"))
    diameter, clearance = value("shaft.diameter"), value("sleeve.clearance")
    ring = Ring(
        value("ring.length"), value("ring.outer_diameter") / 2, value("ring.start"), math.radians(value("ring.taper"))
    )
    return Sizes(
        diameter / 2,
        value("shaft.bore") / 2,
        clearance / 2,
        taper,
        Wall((diameter + clearance) / 2, value("sleeve.nose_wall"), value("sleeve.length"), math.tan(taper)),
        Flange(value("sleeve.flange_thickness"), value("sleeve.flange_diameter") / 2),
        ring,
    )


def push_over_radial_force(taper: float, friction: float) -> float:
    """Push over radial force of a cone that slides all over while it is drawn on, tan(alpha + phi).

    taper alpha [rad], friction coefficient = tan(phi). Holds for any pressure. Source: statics of the wedge, any textbook.
    >>> round(push_over_radial_force(math.radians(3), 0.1), 6)
    0.153211
    """
    return math.tan(taper + math.atan(friction))


def largest_fillet(width: float, depth: float, angles: tuple[float, float]) -> float:
    """Largest radius [mm] that rounds both corners of a face, of width and depth [mm], and leaves a tenth of it straight.

    angles [rad] are the corners' interior ones. A quarter of the depth is the most. Derived here: a corner takes
    r / tan(angle/2) of the face.
    >>> round(largest_fillet(2, 100, (math.pi / 2, math.pi / 2)), 9)
    0.9
    """
    tangents = sum(1 / math.tan(angle / 2) for angle in angles)
    return min(0.9 * width / tangents, depth / 4)
