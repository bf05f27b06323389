"""Verdicts on the ways that a push uses up: the ring's to the flange, the sleeve's until its slots shut."""

from __future__ import annotations

from colletfea.cases.casefile.case import Case
from colletfea.cases.hand import slit_model
from colletfea.cases.hand.corners import Reached
from colletfea.cases.hand.geometry import sizes
from colletfea.cases.judgement.corner import cut_short, where
from colletfea.cases.stored.names import MET, SHUT, TRAVEL
from colletfea.cases.stored.verdict import Verdict


def bottoming(case: Case, reached: Reached, lost: dict[str, float]) -> Verdict | None:
    """Travel [mm] of a corner at its own pull against the way to the flange; without one, that a ring came to the end of its seat, else None.

    A ring that meets the flange is no fault where what is gripped by then carries the duty with low friction on both seats. At the
    end of its seat nothing stops it: the pull that was asked for can't be reached.
    """
    if case.sleeve.flange_thickness <= 0:
        return _off_its_seat(case, reached) if reached.reason == TRAVEL and case.push.travel is None else None
    left = case.ring.start - case.ring.start_tolerance
    name = reached.corner.name
    if reached.reason == MET:
        return _met(case, reached, lost).at(name)
    early = cut_short(reached, strained=True)
    if early:
        return Verdict.unknown("bottoming", early, value=reached.travel, limit=left, unit="mm").at(name)
    because = f"travel {where(case, reached)} against the way to the flange; {left - reached.travel:.3g} mm are left"
    if case.ring.start_tolerance:
        because += f", with {case.ring.start_tolerance:g} mm taken off for ring.start_tolerance"
    found = Verdict.at_most("bottoming", reached.travel, left, "mm", because).at(name)
    more = ". The ring can meet the flange first, and pulled further it presses on it and not on the seat: give ring.start more"
    return found if found.ok else found.adding(more)


def slots(case: Case, reached: Reached) -> Verdict | None:
    """Radial closing [mm] of the sleeve against the one that shuts its slots; None where it has none."""
    shuts = slit_model.of(case).shuts_at
    if shuts is None:
        return None
    because = f"radial closing of the sleeve {where(case, reached)} against the closing that shuts its slots"
    found = Verdict.at_most("slots", reached.closing, shuts, "mm", because).at(reached.corner.name)
    if reached.reason != SHUT:
        early = cut_short(reached, strained=True)
        return Verdict.unknown("slots", early, value=reached.closing, limit=shuts, unit="mm").at(reached.corner.name) if early else found
    return found.reached().adding(
        ". They are shut, and from here on the sleeve is a closed ring that hardly closes further: give it wider slots"
    )


def _off_its_seat(case: Case, reached: Reached) -> Verdict:
    """Not ok: the ring is pulled off the cone before the force that was asked for."""
    because = (
        f"the ring comes to the end of its seat {where(case, reached)}, hardly any of which is left under it: no greater pull can be reached"
    )
    return Verdict.at_most("bottoming", reached.travel, sizes(case).travel_limit, "mm", because).reached().at(reached.corner.name)


def _met(case: Case, reached: Reached, lost: dict[str, float]) -> Verdict:
    """The ring stands on the flange: from here on its pull no longer reaches the seat."""
    stands = f"the ring meets the flange {where(case, reached)}; what is pulled further stands on the flange and not on the seat"
    found = Verdict.at_most("bottoming", reached.travel, case.ring.start, "mm", stands)
    if reached.bore.normal <= 0:
        return found.reached().adding(". The sleeve has not gripped the shaft by then: give ring.start more")
    share = _share_at_low_friction(case, reached, lost)
    if share is None:
        return found.reached()
    if share >= 1 and case.ring.start_tolerance == 0:
        return found.adding(f". By then the seat carries {share:.3g} times the duty with its safety at low friction: that is enough")
    if share >= 1:
        return found.reached().adding(". ring.start can be less by its tolerance, and what is gripped then is not known")
    return found.reached().adding(f". By then it carries {share:.3g} of the duty with its safety at low friction: give ring.start more")


def _share_at_low_friction(case: Case, reached: Reached, lost: dict[str, float]) -> float | None:
    """What the seats carry over the duty with its safety, at low friction on both; None without a duty."""
    duty = case.duty
    if duty is None:
        return None
    torque, thrust = duty.slip_safety * duty.torque * 1e3, duty.slip_safety * abs(duty.thrust)
    lost = reached.taken(lost)
    shares = [reached.bore.share(case.friction.bore.low, torque, thrust, lost.get("bore", 0.0))]
    if duty.carried_by == "ring" and torque:
        shares.append(reached.cone_carrying.share(case.friction.cone.low, torque, 0.0, lost.get("cone", 0.0)))
    return min(shares)
