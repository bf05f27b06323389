"""Verdicts on friction: what a seat carries after a push, and whether the ring stays on its own."""

from __future__ import annotations

from math import atan, degrees

from colletfea.cases.casefile.case import Case
from colletfea.cases.simulation import measures
from colletfea.cases.simulation.model import BORE, CONE
from colletfea.cases.simulation.push import Push
from colletfea.cases.stored.verdict import Verdict

NAMES = {BORE: "slip", CONE: "cone_slip"}


def required_torque(case: Case) -> float:
    """Torque [N·m] that a seat must hold: the duty's times its slip safety."""
    return case.duty.slip_safety * case.duty.torque


def held_torque(case: Case, pushed: Push, pair: str, friction: float) -> float:
    """Torque [N·m] that a pair (BORE or CONE) holds beside the thrust at the end of a push, < 0 where the thrust slips.

    friction is that while it carries; the pressures are those of the push, whatever friction it was made with.
    """
    return measures.usable_torque(case, pushed.model, pushed.states[-1], pair, friction) / 1e3


def slip(case: Case, pushed: Push, pair: str, friction: float, left: float = 1.0) -> Verdict:
    """Torque [N·m] that a pair holds at the end of a push with the friction it carries with, against the duty's.

    left: share of this push's normal force that is counted, below 1 where less may reach the seat. A pair that falls
    short is told what it holds at its nominal friction.
    """
    value, limit = held_torque(case, pushed, pair, friction * left), required_torque(case)
    because = _because(case, pair, friction, left)
    if value < 0:
        value, because = 0.0, because + ". The thrust alone is more than the seat holds"
    found = Verdict.at_least(NAMES[pair], value, limit, "N m", because)
    return found if found.ok else found.adding(_at_nominal(case, pushed, pair))


def self_locking(case: Case, low: float, high: float) -> Verdict:
    """Whether the taper stays below the friction angle [deg] at the low end of the cone's friction; if not, not judged."""
    taper = case.sleeve.taper
    angle, largest = degrees(atan(low)), degrees(atan(high))
    when = (
        f"at cone friction {low:g}, the low end, the ring can let go"
        if taper < largest
        else f"up to cone friction {high:g}, the high end, the ring lets go"
    )
    because = (
        f"the taper stays below the friction angle even at cone friction {low:g}: "
        "the ring must be pushed off with jacking screws"
        if taper < angle
        else f"{when} when the screws are loosened. The screws hold it, so this is no fault; but never loosen them under load"
    )
    found = Verdict.at_most("self_locking", taper, angle, "deg", because)
    return found if taper < angle else found.unjudged()


def _because(case: Case, pair: str, friction: float, left: float) -> str:
    thrust = " beside the thrust" if case.duty.thrust else ""
    because = (
        f"torque that the {pair} holds{thrust} at the end of the push with friction {friction:g}, the low end of what was "
        f"given, against {case.duty.torque:g} N·m times {case.duty.slip_safety:g}"
    )
    if left < 1:
        because += (
            f". At cone friction {case.friction.cone.high:g}, the high end, this clamp force gives only {100 * left:.3g} % "
            "of the grip, by hand: that is counted"
        )
    return because


def _at_nominal(case: Case, pushed: Push, pair: str) -> str:
    """What the pair holds at its nominal friction."""
    held = held_torque(case, pushed, pair, getattr(case.friction, pair).nominal)
    enough = Verdict.at_least(NAMES[pair], held, required_torque(case), "N m", "").ok
    return f". At nominal friction it holds {held:.4g} N·m, which {'is enough' if enough else 'is not enough either'}"
