"""How far two flanks stand apart when they just touch: where the ring sits on the sleeve at travel 0.

Seen along r, the ring's flank (straight, bent outwards by its rounded edges) is a convex function
of z, the sleeve's (straight, bent inwards by the rounded nose) a concave one. Their gap is then
convex: its smallest value is where its slope changes sign, or at an end of the overlap.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, inf, sin, sqrt, tan

_HALVINGS = 200


@dataclass(frozen=True)
class Flank:
    """A straight flank falling by `angle` [rad] from z = `low` to `high` [mm], rounded at its ends.

    `inward` is +1 where the body lies outside the flank (ring), -1 where it lies inside (sleeve).
    """

    low: float
    high: float
    angle: float
    inward: int
    low_radius: float
    high_radius: float

    def height(self, z: float) -> float:
        """Radial height [mm] at z [mm] above the unrounded flank's value at `low`."""
        arc = self._arc(z)
        if arc is None:
            return -(z - self.low) * tan(self.angle)
        centre, radius = arc
        middle = (self.inward * radius - (centre - self.low) * sin(self.angle)) / cos(self.angle)
        return middle - self.inward * sqrt(max(0.0, radius**2 - (z - centre) ** 2))

    def slope(self, z: float) -> float:
        """Derivative of `height` by z [-]; infinite where an arc meets the end face."""
        arc = self._arc(z)
        if arc is None:
            return -tan(self.angle)
        centre, radius = arc
        rise = sqrt(max(0.0, radius**2 - (z - centre) ** 2))
        return self.inward * (z - centre) / rise if rise else self.inward * (inf if z > centre else -inf)

    def _arc(self, z: float) -> tuple[float, float] | None:
        """Centre z and radius of the arc at that station, None on the straight part."""
        shift = self.inward * sin(self.angle)
        low, high = self.low + self.low_radius, self.high - self.high_radius
        if self.low_radius and z < low - shift * self.low_radius:
            return low, self.low_radius
        if self.high_radius and z > high - shift * self.high_radius:
            return high, self.high_radius
        return None


def lift(outer: Flank, inner: Flank) -> float:
    """Radial height [mm] of the outer flank's unrounded value at its `low` over the inner's at its own, where the two touch.

    outer and inner overlap along z. Derived here.
    """
    low, high = max(outer.low, inner.low), min(outer.high, inner.high)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if outer.slope(middle) < inner.slope(middle):
            low = middle
        else:
            high = middle
    return -min(outer.height(z) - inner.height(z) for z in (low, high))
