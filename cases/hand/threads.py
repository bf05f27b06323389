"""Tables of screws: coarse threads M3 to M24, socket heads, clearance holes, property classes. Lengths in mm, stresses in MPa.

Sources, all from memory unless said otherwise: pitches ISO 261; profile ISO 68-1 and ISO 724; heads and hexagons ISO 4762
(M18 and M22, which it leaves out, after the older DIN 912); clearance holes ISO 273, medium row; classes 8.8, 10.9 and
12.9 ISO 898-1:2013 (its table seen in a reprint), stainless 70 and 80 EN ISO 3506-1. Stress areas are checked against the
printed ones of ISO 898-1, bearing diameters against mean head diameters of printed torque tables.
"""

import math
from dataclasses import dataclass

HEIGHT = math.sqrt(3) / 2  # of the thread's sharp triangle, over the pitch (ISO 68-1)


@dataclass(frozen=True)
class Thread:
    """ISO metric thread of nominal diameter and pitch [mm]; sizes are nominal, tolerances left out.

    >>> m8 = Thread(8, 1.25)
    >>> round(m8.pitch_diameter, 4), round(m8.root_diameter, 4), round(m8.stress_area, 4)
    (7.1881, 6.4664, 36.6085)
    """

    diameter: float
    pitch: float

    @property
    def pitch_diameter(self) -> float:
        """d2 = d - 3/4 H [mm] (ISO 724)."""
        return self.diameter - 0.75 * HEIGHT * self.pitch

    @property
    def minor_diameter(self) -> float:
        """D1 = d - 5/4 H [mm], the bore of the threaded hole (ISO 724)."""
        return self.diameter - 1.25 * HEIGHT * self.pitch

    @property
    def root_diameter(self) -> float:
        """d3 = d - 17/12 H [mm], the core of the screw (ISO 68-1, rounded root)."""
        return self.diameter - 17 / 12 * HEIGHT * self.pitch

    @property
    def stress_diameter(self) -> float:
        """(d2 + d3)/2 [mm]."""
        return (self.pitch_diameter + self.root_diameter) / 2

    @property
    def stress_area(self) -> float:
        """A_s [mm^2] (ISO 898-1)."""
        return math.pi / 4 * self.stress_diameter**2

    @property
    def root_area(self) -> float:
        """Area of the core [mm^2]."""
        return math.pi / 4 * self.root_diameter**2


@dataclass(frozen=True)
class Screw:
    """A socket head screw with coarse thread: head's diameter and height, width of the hexagon, least diameter of
    the bearing face (d_w) and the clearance hole, all in mm."""

    size: str
    thread: Thread
    head: float
    head_height: float
    key: float
    bearing: float
    hole: float

    @property
    def mean_head_diameter(self) -> float:
        """D_Km = (d_w + d_h)/2 [mm], at which friction under the head acts (VDI 2230-1)."""
        return (self.bearing + self.hole) / 2


@dataclass(frozen=True)
class PropertyClass:
    """Least strength of a screw [MPa]: tensile R_m, yield R_p0.2, proof stress S_p (None where none is tabled), and E."""

    name: str
    tensile: float
    yield_strength: float
    proof: float | None
    young: float


def _screw(d: int, pitch: float, head: float, key: float, bearing: float, hole: float) -> Screw:
    return Screw(f"M{d}", Thread(d, pitch), head, d, key, bearing, hole)


#: by size, in rising order: pitch, head, hexagon, bearing face, hole
SCREWS = {
    screw.size: screw
    for screw in (
        _screw(3, 0.5, 5.5, 2.5, 5.07, 3.4),
        _screw(4, 0.7, 7, 3, 6.53, 4.5),
        _screw(5, 0.8, 8.5, 4, 8.03, 5.5),
        _screw(6, 1, 10, 5, 9.38, 6.6),
        _screw(8, 1.25, 13, 6, 12.33, 9),
        _screw(10, 1.5, 16, 8, 15.33, 11),
        _screw(12, 1.75, 18, 10, 17.23, 13.5),
        _screw(14, 2, 21, 12, 20.17, 15.5),
        _screw(16, 2, 24, 14, 23.17, 17.5),
        _screw(18, 2.5, 27, 14, 25.87, 20),
        _screw(20, 2.5, 30, 17, 28.87, 22),
        _screw(22, 2.5, 33, 17, 31.81, 24),
        _screw(24, 3, 36, 19, 34.81, 26),
    )
}
SIZES = tuple(SCREWS)

#: E: 205 000 of steel screws (VDI 2230-1), 200 000 of austenitic ones (EN 10088-1)
_STEEL, _AUSTENITIC = 205000.0, 200000.0
_CLASSES = {
    "8.8": PropertyClass("8.8", 800, 640, 580, _STEEL),
    "10.9": PropertyClass("10.9", 1040, 940, 830, _STEEL),
    "12.9": PropertyClass("12.9", 1220, 1100, 970, _STEEL),
    "70": PropertyClass("70", 700, 450, None, _AUSTENITIC),
    "80": PropertyClass("80", 800, 600, None, _AUSTENITIC),
}
_THICK_8_8 = PropertyClass("8.8", 830, 660, 600, _STEEL)
CLASSES = tuple(_CLASSES)


def screw(size: str) -> Screw:
    """The screw of a size such as "M6"; KeyError for a size that is not in SIZES."""
    return SCREWS[size]


def property_class(name: str, diameter: float) -> PropertyClass:
    """Strength of a class for a nominal diameter [mm]: 8.8 is a little stronger above 16 mm (ISO 898-1). KeyError if unknown.

    >>> property_class("8.8", 16).yield_strength, property_class("8.8", 18).yield_strength
    (640, 660)
    """
    return _THICK_8_8 if name == "8.8" and diameter > 16 else _CLASSES[name]
