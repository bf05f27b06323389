"""The corners of fit and friction in which a case is pushed, and the clamp forces they are pushed to.

One nominal push decides nothing: the fit, the friction and the scatter of tightening decide whether a seat holds. mm, N;
clearances on diameter; every force is for the whole ring.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

NOMINAL, GRIP, TIGHT, LOOSE = "nominal", "grip", "tight", "loose"
LEAST, GREATEST = "least", "greatest"


class Rub(NamedTuple):
    """Friction coefficients of the two pairs."""

    cone: float
    bore: float


@dataclass(frozen=True)
class Corner:
    """One push that is asked for: clearance [mm], friction while the ring is pulled and while it carries, and its end."""

    name: str
    clearance: float
    pulling: Rub
    carrying: Rub
    end: str


@dataclass(frozen=True)
class Clamp:
    """Clamp forces [N] of the whole ring: needed and least None where they are not known; because says where they come from."""

    needed: float | None
    least: float | None
    greatest: float | None
    scatter: float
    because: str

    def force(self, end: str) -> float | None:
        """The force that a corner with this end is pushed to."""
        return self.least if end == LEAST else self.greatest


def table(case, fit=None) -> tuple[Corner, ...]:
    """All four corners of a case; fit has its clearances tightest, middle, loosest, None where one clearance is given."""
    low, middle, high = (Rub(*values) for values in zip(_band(case.friction.cone), _band(case.friction.bore)))
    tightest, loosest = (fit.tightest, fit.loosest) if fit else (case.sleeve.clearance,) * 2
    return (
        Corner(NOMINAL, case.sleeve.clearance, middle, middle, LEAST),
        Corner(GRIP, loosest, high, low, LEAST),
        Corner(TIGHT, tightest, low, middle, GREATEST),
        Corner(LOOSE, loosest, low, middle, GREATEST),
    )


def _band(friction) -> tuple[float, float, float]:
    return friction.low, friction.nominal, friction.high


def distinct(corners: tuple[Corner, ...], same_ends: bool) -> tuple[Corner, ...]:
    """The corners without those that repeat one above them: same clearance, same friction, same end.

    same_ends: least and greatest are one end (no scatter, or a travel that is given).
    """
    kept: dict[tuple, Corner] = {}
    for corner in corners:
        end = LEAST if same_ends else corner.end
        kept.setdefault((corner.clearance, corner.pulling, corner.carrying, end), corner)
    return tuple(kept.values())


def rounded_up(force: float) -> float:
    """A force rounded up to three digits, so that what is read off is never too little.

    >>> rounded_up(22971.3), rounded_up(8720.0), rounded_up(23000.0)
    (23000.0, 8720.0, 23000.0)
    """
    step = 10.0 ** (math.floor(math.log10(force)) - 2)
    steps = force / step
    return float(f"{step * math.ceil(steps - 1e-9):.3g}")


def usable_torque(normal: float, moment: float, friction: float, thrust: float) -> float:
    """Torque [N mm] that a pair carries beside a thrust, r sqrt((mu N)^2 - X^2); below 0 where the thrust alone slips.

    normal [N] is the integral of p dA, moment [N mm] that of p r dA, so r = moment/normal; thrust [N] with its safety in it.

    >>> round(usable_torque(10000, 110000, 0.1, 600), 6)
    8800.0
    """
    if normal <= 0 or friction <= 0:
        return 0.0
    square = (friction * normal) ** 2 - thrust**2
    return moment / normal * math.copysign(math.sqrt(abs(square)), square)
