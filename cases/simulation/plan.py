"""How far a push may go, and in which increments: from the case and its hand calculation.

Only the size of first guesses comes from here; where the push really ends is decided by what it meets.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log

from colletfea.cases.casefile.case import Case
from colletfea.cases.hand.geometry import sizes
from colletfea.fea.stepping.run import Steps

#: mesh size, steps: factors of each level to the default
LEVELS = {"quick": (2.0, 2.0), "default": (1.0, 1.0), "fine": (0.5, 0.5)}

#: travels expected after which a push that has no end yet hurries on: a force that is never reached took
#: 100 000 increments, and a corner of a ring whose taper differs eats up ten times the travel that the hand calculation knows
_DOUBT = 4

#: share of all work that an increment may miss by its length
_SPILL = 0.0075
#: of the row of travels to which increments are made. Hand and simulated forces differ by 4 % as a rule
_RATIO = 1.25
#: the first increment is shortened to a touch that comes early, at most by this factor: the hand calculation may see it too early
_TO_TOUCH = 100.0


@dataclass(frozen=True)
class Plan:
    """end [mm]: the travel at which the push stops at the latest; expected [mm]: where it probably ends."""

    end: float
    expected: float
    steps: Steps


def plan(case: Case, hand: dict, level: str) -> Plan:
    """Travels [mm] and first increments of the push. hand is the hand calculation's block, level one of LEVELS."""
    limit = sizes(case).travel_limit
    touch = closing_travel(case, hand)
    if case.push.travel is not None:
        end = expected = case.push.travel
    else:
        end, expected = limit, _about(min(limit, _expected(case, hand, touch)), limit)
    return Plan(end, expected, _steps(case, expected, touch, LEVELS[level][1]))


def _about(travel: float, limit: float) -> float:
    """A travel [mm] to the nearest of a geometric row below the limit; 0 where nothing is left to travel.

    Pushes whose forces differ little then go the same way, increment by increment, as far as they go together.
    """
    return limit * _RATIO ** round(log(travel / limit) / log(_RATIO)) if travel > 0 else travel


def increments(case: Case) -> int:
    """First guess of the number of increments: the case's own or the default."""
    return case.solver.increments or (10 if case.ring.taper == case.sleeve.taper else 25)


def penetration_scale(case: Case) -> float:
    """g0 [mm], what penetration is measured by: the radial clearance, or d/10 000 where that is larger."""
    return max(case.sleeve.clearance / 2, case.shaft.diameter / 1e4)


def closing_travel(case: Case, hand: dict) -> float:
    """Travel at first touch by hand [mm]; the bare geometry where the hand calculation has none."""
    given = hand["refined"]["closing_travel_mm"]
    return sizes(case).bare_travel if given is None else given


def _expected(case: Case, hand: dict, touch: float) -> float:
    refined = hand["refined"]
    closing, grip = refined["closing_force_N"], refined["grip_travel_mm"]
    if case.push.force is not None and closing:
        if case.push.force < closing:
            return max(touch * case.push.force / closing, 1e-3 * touch) or 1.0
        if grip:
            return touch + grip * (case.push.force - closing) / refined["grip_force_N"]
    return touch + grip if grip else 2 * touch or 1.0


def _steps(case: Case, expected: float, touch: float, coarse: float) -> Steps:
    """First guesses: a few increments to the touch, then growing geometrically, for the shaft's friction.

    On a dozen unlike designs the push force then differs from that of four times as many increments by at
    most 0.02 %; the work balance closes to 1 %. The shaft's reaction differs from that of eight times as many by 1.9 % of itself
    in the mean of eleven, by 7 % at worst (benchmarks/friction_increments.py), of which points whose slip turns round within one
    increment bear 0.2 % of the reaction at most. Longer increments up to the touch are no cheaper, and double what the work balance
    misses. Where the tapers differ the force
    grows with a power of the travel from the corner on, and the trapezoids of the work need more.
    The first increment goes no further than the touch, which ends it: where a force is asked for that is never reached, it would go
    a tenth of the way to that, and be halved down to the touch from pushes ten times as far, which took half of such a push's time.
    """
    count = increments(case)
    rest = max(expected - touch, 0.2 * expected)
    unit = 10 / count * coarse
    first, largest = min(0.1 * unit, 0.5) * expected, min(0.25 * unit, 0.5) * expected
    first = min(first, max(touch, first / _TO_TOUCH)) if touch > 0 else first
    after = 0.03 * unit * rest, min(0.3 * unit, 0.6) * rest
    return Steps(first, largest, 2.5, after, doubt=_DOUBT * expected, seat=case.ring.start + case.ring.length, spill=_SPILL)
