"""A pull across the shaft (belt, chain, gear): where it would open the seat, and the bending beside it.

Lengths mm, forces N, moments N mm, pressures MPa. The amplitude is the statics of a frictionless first harmonic round
the circumference, p cos(theta) with a linear course along z, derived here; that course assumes a rigid shaft. Against
opening loads found with 3D finite elements (values from this project's study) true amplitudes were up to 1.7 times as
high for seats up to 1.25 diameters long and pulls within 1.5 lengths of their middle, and 4 to 7 times on seats of two
diameters. So 1.7 is used inside that range, and nothing is judged outside.
"""

import math
from dataclasses import dataclass

from colletfea.cases.hand.shaft import bending, pull_moment

#: true amplitude over that of statics, upper end; its range in lengths over diameter and lever over length
FACTOR = 1.7
LONGEST, FARTHEST = 1.25, 1.5
#: share of the closing pressure q by which a through slit's edges press less on the shaft than the mean
BESIDE_SLIT = 0.7


@dataclass(frozen=True)
class Seat:
    """The stretch that touches: start and end [mm, z], diameter [mm], fill fraction, slit pattern.

    pressure: mean on the land [MPa] after what service takes. closing_pressure: q = E t c/r^2 [MPa] of a bore, whose pressure
    is 0.7 q below the mean beside a through slit; it counts for that pattern alone. 0 on a cone: a slit's edges press more there.
    """

    start: float
    end: float
    diameter: float
    pressure: float
    fill: float = 1.0
    pattern: str = "none"
    closing_pressure: float = 0.0

    @property
    def length(self) -> float:
        """Length [mm] of the touching stretch."""
        return self.end - self.start

    @property
    def middle(self) -> float:
        """Its middle z_m [mm]."""
        return (self.start + self.end) / 2


@dataclass(frozen=True)
class RadialPull:
    """What a radial pull does to a seat.

    amplitude: pressure round the circumference [MPa], factor 1.7 included. least_pressure: what is left where the pull
    takes it off [MPa], negative where the seat opens. Both None where not judged. bending: stress of the shaft at the
    seat's edge [MPa]. judged, reason: whether the amplitude holds, and a sentence that says so, else `not_judged`.
    """

    amplitude: float | None
    least_pressure: float | None
    bending: float
    judged: bool
    reason: str

    def block(self) -> dict:
        """The block `radial` of the stored results."""
        return {
            "pressure_amplitude_MPa": self.amplitude,
            "least_pressure_MPa": self.least_pressure,
            "bending_MPa": self.bending,
        }


def amplitude(pull: float, lever: float, length: float, diameter: float, fill: float = 1.0) -> float:
    """Pressure amplitude [MPa] by statics, 2 F/(pi d L f) + 12 F |lever|/(pi d L^2 f), at the end it tilts to.

    lever [mm]: of the pull from the middle of the touching stretch.
    >>> round(amplitude(1200, 13, 26, 22), 3)
    5.342
    """
    return 2 * abs(pull) / (math.pi * diameter * length * fill) * (1 + 6 * abs(lever) / length)


def not_judged(seat: Seat, at: float) -> str | None:
    """Why the amplitude of a pull at z = at [mm] is not judged, as a clause that others put "not judged" before; None where it is."""
    if seat.pattern in ("fingers", "alternating"):
        words = {"fingers": "fingers", "alternating": "alternating slots"}[seat.pattern]
        return f"the formula was not measured on a sleeve with {words}, which bends under a radial pull."
    if seat.length <= 0:
        return "no part of the seat touches."
    slender, lever = seat.length / seat.diameter, abs(at - seat.middle)
    if slender > LONGEST:
        return (
            f"the touching stretch is {slender:.2f} diameters long. Beyond {LONGEST:g} the true pressure change "
            "was measured at up to seven times the formula's."
        )
    if lever > FARTHEST * seat.length:
        return (
            f"the pull acts {lever:.4g} mm from the middle of the touching stretch, measured up to "
            f"{FARTHEST:g} times its length ({FARTHEST * seat.length:.4g} mm)."
        )
    return None


def radial_pull(seat: Seat, pull: float, at: float, sleeve_length: float, shaft: tuple[float, float]) -> RadialPull:
    """What a pull [N] at z = at [mm] does; shaft: diameter and bore diameter [mm] that take the bending.

    For the cone of a hub that sits on the ring give a Seat of the cone, with the pressure there and no closing pressure.
    """
    stress = bending(pull_moment(pull, at, sleeve_length), *shaft)
    why = not_judged(seat, at)
    if why:
        return RadialPull(None, None, stress, False, why)
    change = FACTOR * amplitude(pull, at - seat.middle, seat.length, seat.diameter, seat.fill)
    beside = BESIDE_SLIT * seat.closing_pressure if seat.pattern == "through" else 0.0
    left = seat.pressure - beside - change
    return RadialPull(change, left, stress, True, _sentence(seat, change, beside, left))


def _sentence(seat: Seat, change: float, beside: float, left: float) -> str:
    slit = f", less {beside:.3g} MPa beside the slit" if beside else ""
    end = f"{left:.3g} MPa are left" if left > 0 else f"the seat opens there (short by {-left:.3g} MPa)"
    return (
        f"The pull takes up to {change:.3g} MPa off the mean seat pressure of {seat.pressure:.3g} MPa{slit}: {end}. "
        f"The formula's value is multiplied by {FACTOR:g}, the greatest ratio that was measured."
    )
