"""Verdicts on friction: what the seats carry in a corner, and whether the ring stays on its own."""

from __future__ import annotations

from math import atan, cos, degrees, sin

from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.text import plain
from colletfea.cases.hand.corners import Reached, Seat
from colletfea.cases.hand.geometry import sizes
from colletfea.cases.judgement.corner import cut_short, where
from colletfea.cases.stored.verdict import Verdict


def slip(case: Case, reached: Reached, lost: float) -> Verdict | None:
    """What the bore carries beside the thrust in a corner, against the duty; None without a duty.

    lost [N]: what service takes off its normal force by formulas. N·m; N where the duty is a thrust alone.
    """
    if case.duty is None:
        return None
    return _carries(case, reached, "slip", "bore", reached.bore, reached.taken({"bore": lost})["bore"], case.duty.slip_safety * abs(case.duty.thrust))


def cone_slip(case: Case, reached: Reached, lost: float) -> Verdict | None:
    """What the cone carries in a corner [N·m] where the hub sits on the ring; None elsewhere.

    The thrust is in the force on the cone already: the cone counted is that of the push less the thrust. Of a thrust alone that
    draws the ring off, the push force [N] is judged.
    """
    if case.duty is None or case.duty.carried_by != "ring":
        return None
    if case.duty.torque <= 0:
        return _stays_on(case, reached) if case.duty.thrust > 0 else None
    return _carries(case, reached, "cone_slip", "cone", reached.cone_carrying, reached.taken({"cone": lost})["cone"], 0.0)


def _stays_on(case: Case, reached: Reached) -> Verdict:
    """The push force [N] of a corner against the thrust, times slip safety, that draws the ring off the cone."""
    limit, name = case.drawn_off, reached.corner.name
    early = cut_short(reached)
    if early:
        return Verdict.unknown("cone_slip", early, value=reached.force, limit=limit, unit="N").at(name)
    because = f"force that presses the ring on {where(case, reached)}, against {case.duty.thrust:g} N of thrust times {case.duty.slip_safety:g}, which draws it off"
    return Verdict.at_least("cone_slip", reached.force, limit, "N", because).at(name)


def self_locking(case: Case, least: float | None) -> Verdict:
    """Whether the ring stays on the cone at the low end of its friction: by the taper [deg], else by the least clamp force [N].

    A cone that does not lock drives its ring off with N (sin a - mu cos a), where pulling with F made N = F/(sin a + mu cos a):
    a share of the clamp force below 1, which the screws must keep up. A thrust that draws the ring off comes on top; a cone that
    locks is not counted on against it, for the torque may take its friction round. Not judged where no clamp force is known.
    """
    taper, low, off = case.sleeve.taper, case.friction.cone.low, case.drawn_off
    angle = degrees(atan(low))
    alone = taper < angle and not off
    if alone or not least:
        found = Verdict.at_most("self_locking", taper, angle, "deg", _lets_go(case))
        return found if alone else found.unjudged()
    sine, cosine = sin(sizes(case).taper), cos(sizes(case).taper)
    driving = least * max(sine - low * cosine, 0.0) / (sine + low * cosine) + off
    thrust = f", {plain(off, 4)} N of it the thrust with its slip safety" if off else ""
    said = f". Force that drives it off{thrust}, against the least clamp force, which the screws must keep up: {plain(driving, 4)} of {plain(least, 4)} N"
    return Verdict.at_most("self_locking", driving, least, "N", _lets_go(case) + said)


def _lets_go(case: Case) -> str:
    """Whether a ring whose screws are loosened stays on its cone, and what is to be heeded."""
    taper, low, high = case.sleeve.taper, case.friction.cone.low, case.friction.cone.high
    if taper < degrees(atan(low)):
        off = ". The thrust draws it off all the same, and the lock is not counted on against that" if case.drawn_off else ""
        return f"the taper stays below the friction angle even at cone friction {low:g}: the ring must be pushed off with jacking screws{off}"
    when = (
        f"at cone friction {low:g}, the low end, the ring can let go"
        if taper < degrees(atan(high))
        else f"up to cone friction {high:g}, the high end, the ring lets go"
    )
    held = "The screws must hold it against the thrust as well" if case.drawn_off else "The screws hold it, so this is no fault"
    return f"{when} when the screws are loosened. {held}; but never loosen them under load"


def _how(reached: Reached) -> str:
    """How what service takes is known."""
    if reached.unserved:
        return f", by ring formulas, because {reached.unserved}"
    return ", by simulation, at most" if reached.served is not None else ", by ring formulas"


def _carries(case: Case, reached: Reached, name: str, pair: str, seat: Seat, lost: float, thrust: float) -> Verdict:
    duty, friction = case.duty, getattr(reached.corner.carrying, pair)
    torque = duty.slip_safety * duty.torque
    if torque > 0:
        value, limit, unit = seat.usable(friction, thrust, lost) / 1e3, torque, "N m"
        asked = f"{duty.torque:g} N·m times {duty.slip_safety:g}"
    else:
        value, limit, unit = friction * max(seat.normal - lost, 0.0), thrust, "N"
        asked = f"{abs(duty.thrust):g} N of thrust times {duty.slip_safety:g}"
    early = cut_short(reached)
    if early:
        return Verdict.unknown(name, early, value=max(value, 0.0), limit=limit, unit=unit).at(reached.corner.name)
    beside = " beside the thrust" if thrust and torque else " after the thrust" if pair == "cone" and duty.thrust > 0 else ""
    because = f"what the {pair} carries{beside} {where(case, reached)}, against {asked}"
    if lost > 0:
        because += f"; speed and temperature have taken {plain(lost, 4)} N of its grip{_how(reached)}"
    if value < 0:
        value, because = 0.0, because + ". The thrust alone is more than the seat holds"
    found = Verdict.at_least(name, value, limit, unit, because).at(reached.corner.name)
    pressed = seat.share(friction, torque * 1e3, thrust, lost)
    if found.ok and thrust and pressed < found.margin:  # beside a great thrust a little less grip takes much of the torque
        found = found.adding(f". What presses the seat is {plain(pressed, 3)} times what is needed").at_best(pressed)
    return found
