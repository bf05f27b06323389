"""Clamp forces, corners, screws and verdicts by formulas alone: what the simulation does with pushes, without one.

Where the formulas are known to miss by more than 10 %, nothing is judged by them.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

from colletfea.cases.casefile.case import Case
from colletfea.cases.hand import columns, covered, push, shaft, slit_model
from colletfea.cases.hand.corners import GRIP, NOMINAL, Clamp, Corner, Reached, Seat, Stress, distinct, pressed_on, rounded_up, table
from colletfea.cases.hand.coupling import Coupling, coupling
from colletfea.cases.hand.geometry import sizes
from colletfea.cases.judgement import blocks, loads, screws, settling
from colletfea.cases.judgement.corner import clamp_at_travel, gripping
from colletfea.cases.judgement.plausible import asked_about
from colletfea.cases.judgement.verdicts import judge
from colletfea.cases.stored.names import DUTY, FORCE, MET, SHUT, TRAVEL
from colletfea.cases.stored.verdict import BY_HAND, Verdict


def decision(case: Case, hand: dict[str, Any], fit=None) -> dict[str, Any]:
    """Blocks clamp, corners, checks, screws, radial, service and verdicts of the results, by hand.

    hand is the hand calculation's block, fit the clearances of the case's fit or None.
    """
    service = loads.service_of(case)
    taken = loads.lost(service)
    corners, clamp = _corners(case, fit, taken)
    grip = gripping(corners)
    doubt = reservation(case)
    counted = replace(clamp, needed=None) if doubt else clamp  # no set is named for a force that is not trusted
    chosen = screws.block(case, counted, corners)
    proposed = None if doubt and not _known(case) else screws.proposal(case, counted, corners)
    seat = loads.seat_open(case, grip, taken) if grip else None
    more = [*([seat] if seat else []), *screws.verdicts(case, counted, chosen, proposed, screws.in_vain(case, clamp))]
    left = settling.left(case, corners, taken, chosen)
    verdicts = settling.told([_trusted(case, v) for v in judge(case, hand, clamp, corners, taken, loads.added(service), more)], left)
    return {
        "clamp": blocks.clamp(clamp),
        "corners": [blocks.corner(case, one, taken) for one in corners],
        "checks": asked_about(case),
        "screws": chosen and chosen | {"grip_after_settling": left},
        "screws_proposed": proposed,
        "radial": loads.radial_block(case, grip, taken) if grip else None,
        "shaft_load": loads.shaft_block(case),
        "service": loads.service_block(service, None),
        "verdicts": [v.to_dict() for v in verdicts],
    }


def reservation(case: Case) -> str:
    """Why the formulas are not trusted within 10 % for this sleeve; empty where they are."""
    if case.sleeve.slits.pattern == "fingers":
        return "a sleeve with fingers"
    if slit_model.of(case).kind == "through, flange not cut":
        return "a slit sleeve whose flange is not cut"
    if not math.isclose(case.ring.taper, case.sleeve.taper):
        return "a ring whose taper differs from the sleeve's"
    if case.sleeve.held == "fully":
        return "a back face that is held in radius"
    if case.sleeve.flange_thickness > 0 and case.sleeve.slits.pattern != "through":
        return "a sleeve whose flange holds it open"
    pulled = _hardest(case)
    if not covered.known(pulled):
        return "a closed sleeve that its own push swells this much"
    if pulled.closed and not covered.measured(pulled):
        return "a closed sleeve steeper than 10 degrees, or one that its own push swells this much,"
    return ""


def _hardest(case: Case) -> Coupling:
    """The coupling in the corner whose push is greatest for what it presses: the cone's friction at its high end."""
    return coupling(case).changed(cone_friction=case.friction.cone.high)


def _trusted(case: Case, verdict: Verdict) -> Verdict:
    why = reservation(case)
    if verdict.name.startswith("yield_") and verdict.ok:
        more = f". {BY_HAND}this is the evenly spread stress, and where the seat presses unevenly it is higher; run the case"
        return verdict.unjudged().adding(more)
    if not why or _stands(case, verdict):
        return verdict
    return verdict.unjudged().adding(f". {BY_HAND}for {why} the formulas miss by more than 10 %; run the case")


def _stands(case: Case, verdict: Verdict) -> bool:
    """Whether a verdict holds whatever the formulas of push and grip are worth: by geometry, or by a force that is known without them."""
    if verdict.name == "screw_room" or verdict.name == "self_locking" and verdict.unit == "deg":
        return True
    return verdict.name in ("self_locking", "screws") and _known(case)


def _known(case: Case) -> bool:
    """Whether the clamp forces are known without any formula of the push: a force is given, or a torque."""
    return screws.given_clamp(case) is not None


def _corners(case: Case, fit, taken: dict[str, float]) -> tuple[list[Reached], Clamp]:
    c, asked, clamp = coupling(case), table(case, fit), screws.given_clamp(case)
    if not covered.known(_hardest(case)):
        return [], clamp or Clamp(None, None, None, screws.scatter_of(case), f"not known by hand: {reservation(case)}")
    grip = next(corner for corner in asked if corner.name == GRIP)
    needed = _needed(case, c, grip, taken)
    if case.push.travel is not None:
        corners = [_at_travel(case, c, corner, case.push.travel, TRAVEL) for corner in distinct(asked, True)]
        return corners, clamp_at_travel(case, needed, corners)
    scatter, ended = screws.scatter_of(case), None
    if clamp is None and needed is None:
        ended = _at_travel(case, c, grip, sizes(case).travel_limit, _last_reason(case))
        clamp = _where_it_ended(ended, scatter)
        if not clamp.least:
            return [ended], clamp
    elif clamp is None:
        least = rounded_up(needed)
        clamp = Clamp(needed, least, least * scatter, scatter, "by hand: the force needed in the worst corner, rounded up")
    else:
        clamp = Clamp(needed, clamp.least, clamp.greatest, clamp.scatter, clamp.because)
    return _to_their_ends(case, c, distinct(asked, clamp.scatter == 1), clamp, ended), clamp


def _where_it_ended(grip: Reached, scatter: float) -> Clamp:
    """The clamp forces where no pull carries the duty; none where the formulas end before any force."""
    why = "by hand no pull carries the duty in the worst corner"
    if grip.force <= 0:
        return Clamp(None, None, None, scatter, why)
    return Clamp(None, grip.force, grip.force * scatter, scatter, f"{why}: the least force is where that push ended")


def _to_their_ends(case: Case, c: Coupling, kept: tuple[Corner, ...], clamp: Clamp, ended: Reached | None) -> list[Reached]:
    """Every corner at its clamp force; ended: the grip corner, where that was pushed to its end for a duty that no pull carries."""
    finder = GRIP if any(corner.name == GRIP for corner in kept) else NOMINAL
    single = len(kept) == 1 and case.push.force is None and not (case.screws and case.screws.torque) and not case.drawn_off
    found = []
    for corner in kept:
        if ended and corner.name == finder:
            found.append(replace(ended, corner=corner))
        elif single:
            found.append(_at_force(case, c, corner, clamp.needed, DUTY))
        else:
            found.append(_at_force(case, c, corner, _pull(c, corner, clamp), FORCE))
    return found


def needed(case: Case, fit, lost: dict[str, float]) -> float | None:
    """Force needed [N] by hand, None where there is none; lost [N]: what service takes off each pair."""
    return _needed(case, coupling(case), next(corner for corner in table(case, fit) if corner.name == GRIP), lost)


def in_corner(case: Case, fit, name: str, clamp: Clamp, travel: float | None = None) -> Reached | None:
    """A corner by hand at its clamp force, or at a travel [mm] that ends it whatever the force; None where the formulas end before."""
    c = coupling(case)
    corner = next(one for one in table(case, fit) if one.name == name)
    found = _at_force(case, c, corner, _pull(c, corner, clamp), FORCE) if travel is None else _at_travel(case, c, corner, travel, TRAVEL)
    return None if found.reason == SHUT else found


def _pull(c: Coupling, corner: Corner, clamp: Clamp) -> float:
    """Force [N] on the ring: that of the clamp, with the thrust that presses on a ring which carries the hub where it is greatest."""
    return (clamp.force(corner.end) or clamp.least) + pressed_on(c, corner.end)


def _needed(case: Case, c: Coupling, grip: Corner, taken: dict[str, float]) -> float | None:
    """Force needed [N] in the grip corner, None where it is not carried before the ring meets the flange or leaves the cone."""
    lost = taken.get("bore", 0.0), taken.get("cone", 0.0)
    force = push.needed_force(c, grip.pulling, grip.carrying, grip.clearance, lost)
    if force is None:
        return None
    travel = push.travel_at(c, force, grip.pulling.cone, grip.clearance)
    return None if travel is None or travel > sizes(case).travel_limit else force


def _last_reason(case: Case) -> str:
    """What ends a push that nothing ends before."""
    return MET if case.sleeve.flange_thickness > 0 else TRAVEL


def _at_travel(case: Case, c: Coupling, corner: Corner, travel: float, reason: str) -> Reached:
    force = push.force_at(c, travel, corner.pulling.cone, corner.clearance)
    return _shut(case, corner) if force is None else _at_force(case, c, corner, force, reason)


def _at_force(case: Case, c: Coupling, corner: Corner, force: float, reason: str) -> Reached:
    """What a push force [N] comes to in a corner; less where the ring meets the flange before, or all but leaves the cone."""
    travel = push.travel_at(c, force, corner.pulling.cone, corner.clearance)
    if travel is None:
        return _shut(case, corner)
    end = sizes(case).travel_limit
    if travel > end:
        travel, reason = end, _last_reason(case)
        force = push.force_at(c, travel, corner.pulling.cone, corner.clearance)
    bore, cone = push.grip_at(c, force, corner.pulling.cone, corner.clearance)
    drawn = push.cone_carrying(c, force, corner.pulling.cone, corner.clearance) if c.carried_by == "ring" else cone
    stresses, loaded = _stresses(case, push.at_corner(c, corner.pulling.cone, corner.clearance), bore)
    closes = columns.refined_closing_travel(push.at_corner(c, corner.pulling.cone, corner.clearance))
    closing = corner.clearance / 2 * (min(1.0, travel / closes) if closes else 1.0)
    return Reached(corner, force, travel, reason, bore, cone, drawn, stresses, closing, shaft_under_duty=loaded)


def _shut(case: Case, corner: Corner) -> Reached:
    """The slots shut before the bore is closed: from there the formulas know nothing."""
    shuts = slit_model.of(case).shuts_at or 0.0
    return Reached(corner, 0.0, shuts, SHUT, Seat(), Seat(), Seat(), {}, shuts)


def _stresses(case: Case, c: Coupling, bore: Seat) -> tuple[dict[str, Stress], Stress | None]:
    """Stresses at the bore of each part under a bore force, as a simulation of whole rings has them: a slit's bending is added
    where they are judged. The shaft's with the duty's torque and a radial pull apart.

    A torque that the bore's force just carries at friction 1 stands for that force in the columns.
    """
    at = c.changed(torque=bore.normal * c.diameter / 2, thrust=0.0, slip_safety=1.0, bore_friction=1.0, carried_by="sleeve")
    values = columns.stresses(at, bent=False)
    found = {part: Stress(values[f"{part}_von_mises"]) for part in ("shaft", "sleeve", "ring") if values[f"{part}_von_mises"] is not None}
    load = shaft.duty_load(case)
    if load is None:
        return found, None
    torque, moment = load
    loaded = shaft.shaft_stresses(bore.mean_pressure, torque, case.shaft.diameter, case.shaft.bore, moment)
    return found, Stress(loaded.greatest)
