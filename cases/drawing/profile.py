"""What there is to draw and to make: outlines of the three parts, slits, holes, all in mm and rad.

A corner of an outline is (r, z, radius it is rounded with). Outlines run round the part with its material on the left,
r to the right and z upward. The sleeve's bore is drawn at its nominal diameter: the shaft's where a fit is given, else the
shaft's plus the clearance.
"""

import math
from dataclasses import dataclass
from functools import reduce

from colletfea.cases.drawing.places import Places, places
from colletfea.cases.hand.geometry import Sizes, sizes_under
from colletfea.cases.hand.threads import Screw, screw

Corner = tuple[float, float, float]


@dataclass(frozen=True)
class Cut:
    """A slit outwards from the axis: direction [rad], width and the z between which it runs [mm]."""

    angle: float
    width: float
    low: float
    high: float


@dataclass(frozen=True)
class Bolting:
    """Screws of a coupling: their sizes, the diameter of their circle, and the drill for a thread of that size [mm]."""

    screw: Screw
    count: int
    jacking: int
    circle: float

    @property
    def core(self) -> float:
        """Drill of the threaded holes [mm]: nominal diameter less pitch, common practice, no source."""
        return self.screw.thread.diameter - self.screw.thread.pitch


@dataclass(frozen=True)
class Profile:
    """One coupling at travel 0: outlines of its parts, cuts in the sleeve, screws (None without) and where they sit."""

    sizes: Sizes
    shaft: tuple[Corner, ...]
    sleeve: tuple[Corner, ...]
    ring: tuple[Corner, ...]
    cuts: tuple[Cut, ...]
    bolting: Bolting | None
    places: Places

    @property
    def low(self) -> float:
        """z [mm] of the sleeve's back end, its flange included."""
        return -self.sizes.flange.thickness

    @property
    def ends(self) -> tuple[float, float]:
        """z [mm] of the shaft's ends."""
        return min(z for _, z, _ in self.shaft), max(z for _, z, _ in self.shaft)

    @property
    def ring_bore(self) -> tuple[float, float]:
        """Unrounded radii [mm] of the ring's bore at its leading and at its trailing face."""
        return self.ring[0][0], self.ring[-1][0]

    @property
    def tapped(self) -> bool:
        """Whether the screws end in threads of the flange; a flange that stays inside their circle has none."""
        return bool(self.bolting and self.low and self.sizes.flange.radius > self.bolting.circle / 2)

    @property
    def pieces(self) -> int:
        """How many pieces the sleeve is in: two slits through all there is of it leave halves."""
        return max(1, sum(cut.low <= self.low and cut.high >= self.sizes.wall.length for cut in self.cuts))

    def slit_in(self, half: int) -> Cut | None:
        """The slit that the section's upper half (1) or lower half (-1) runs through."""
        angle = self.places.upper if half > 0 else self.places.lower
        return next((cut for cut in self.cuts if abs(cut.angle - angle) < 1e-9), None)

    @property
    def radius(self) -> float:
        """Greatest radius of any part [mm]."""
        return max(r for part in (self.shaft, self.sleeve, self.ring) for r, _, _ in part)


def profile(case, leading: float | None = None) -> Profile:
    """Profile of a case: anything with the attributes of a case's shaft, sleeve, ring and screws, in mm and degrees.

    leading [mm]: radius of the ring's bore at its leading face, unrounded, where it is known better than from sharp edges.
    """
    sizes = sizes_under(lambda key: _value(case, key))
    lead = sizes.ring_bore(sizes.ring.start) if leading is None else leading
    bolting = _bolting(case.screws)
    found = places(case.sleeve.slits, bolting.count if bolting else 0, bolting.jacking if bolting else 0)
    return Profile(
        sizes, _shaft(case, sizes), _sleeve(case, sizes), _ring(case, sizes, lead), _cuts(case, sizes, found), bolting, found
    )


def _value(case, key: str) -> float:
    if key == "sleeve.clearance" and case.sleeve.fit is not None:
        return 0.0
    return reduce(getattr, key.split("."), case)


def _shaft(case, s: Sizes) -> tuple[Corner, ...]:
    low, high = -s.flange.thickness - case.shaft.beyond[0], s.wall.length + case.shaft.beyond[1]
    inside, outside = s.shaft_bore, s.shaft_radius
    return (inside, low, 0.0), (outside, low, 0.0), (outside, high, 0.0), (inside, high, 0.0)


def _sleeve(case, s: Sizes) -> tuple[Corner, ...]:
    bore, root, back, rim = s.wall.bore_radius, s.wall.outside(0.0), -s.flange.thickness, s.flange.radius
    nose, edge = s.wall.length, case.sleeve.nose_radius
    foot = ((bore, back, 0.0), (rim, back, 0.0), (rim, 0.0, 0.0)) if back else ((bore, 0.0, 0.0),)
    return *foot, (root, 0.0, 0.0), (s.wall.outside(nose), nose, edge), (bore, nose, edge)


def _ring(case, s: Sizes, lead: float) -> tuple[Corner, ...]:
    ring, edge = s.ring, case.ring.edge_radius
    trail = lead - ring.length * math.tan(ring.taper)
    return (lead, ring.start, edge), (ring.radius, ring.start, 0.0), (ring.radius, ring.end, 0.0), (trail, ring.end, edge)


def _bolting(screws) -> Bolting | None:
    return None if screws is None else Bolting(screw(screws.size), screws.count, screws.jacking, screws.circle)


def _cuts(case, s: Sizes, found: Places) -> tuple[Cut, ...]:
    """Slits with the z they run between; a cut that ends outside the part ends at its face."""
    slits = case.sleeve.slits
    nose, back = s.wall.length, -s.flange.thickness
    if slits.pattern == "through":
        return tuple(Cut(angle, slits.width, back if slits.cuts_flange else 0.0, nose) for angle in found.slits)
    front = tuple(Cut(angle, slits.width, nose - slits.depth, nose) for angle in found.slits)
    return front + tuple(Cut(angle, slits.width, 0.0, slits.depth) for angle in found.back_slits)
