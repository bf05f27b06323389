"""Clamp forces, corners, screws and verdicts by formulas alone: what the simulation does with pushes, without one.

Where the formulas are known to miss by more than 10 %, nothing is judged by them.
"""

from __future__ import annotations

from typing import Any

from colletfea.cases.casefile.case import Case
from colletfea.cases.hand import columns, push, shaft, slit_model
from colletfea.cases.hand.corners import GREATEST, GRIP, TIGHT, Clamp, Corner, Reached, Seat, Stress, distinct, rounded_up, table
from colletfea.cases.hand.coupling import Coupling, coupling
from colletfea.cases.judgement import blocks, loads, screws
from colletfea.cases.judgement.corner import gripping
from colletfea.cases.judgement.plausible import asked_about
from colletfea.cases.judgement.verdicts import judge
from colletfea.cases.stored.names import DUTY, FORCE, MET, SHUT, TRAVEL
from colletfea.cases.stored.verdict import Verdict

#: verdicts that stand whatever the formulas of push and grip are worth
EXACT = ("self_locking", "screws", "screw_room")


def decision(case: Case, hand: dict[str, Any], fit=None) -> dict[str, Any]:
    """Blocks clamp, corners, checks, screws, radial, service and verdicts of the results, by hand.

    hand is the hand calculation's block, fit the clearances of the case's fit or None.
    """
    service = loads.service_of(case)
    taken = loads.lost(service)
    corners, clamp = _corners(case, fit, taken)
    grip = gripping(corners)
    chosen, proposed = screws.block(case, clamp, corners), screws.proposal(case, clamp, corners)
    seat = loads.seat_open(case, grip, taken) if grip else None
    more = [*([seat] if seat else []), *screws.verdicts(case, clamp, chosen, proposed)]
    verdicts = [_trusted(case, v) for v in judge(case, hand, clamp, corners, taken, loads.added(service), more)]
    return {
        "clamp": blocks.clamp(clamp),
        "corners": [blocks.corner(case, one, taken) for one in corners],
        "checks": asked_about(case),
        "screws": chosen,
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
    if case.sleeve.held == "fully":
        return "a back face that is held in radius"
    if case.sleeve.flange_thickness > 0 and case.sleeve.slits.pattern != "through":
        return "a sleeve whose flange holds it open"
    return ""


def _trusted(case: Case, verdict: Verdict) -> Verdict:
    why = reservation(case)
    if verdict.name.startswith("yield_") and verdict.ok:
        more = ". Not judged by hand: this is the evenly spread stress, and where the seat presses unevenly it is higher; run the case"
        return verdict.unjudged().adding(more)
    if not why or verdict.name in EXACT:
        return verdict
    return verdict.unjudged().adding(f". Not judged by hand: for {why} the formulas miss by more than 10 %; run the case")


def _corners(case: Case, fit, taken: dict[str, float]) -> tuple[list[Reached], Clamp]:
    c, asked, clamp = coupling(case), table(case, fit), screws.given_clamp(case)
    needed = _needed(case, c, next(corner for corner in asked if corner.name == GRIP), taken)
    if case.push.travel is not None:
        corners = [_at_travel(case, c, corner) for corner in distinct(asked, True)]
        forces = [one.force for one in corners if one.force > 0]
        return corners, Clamp(needed, min(forces, default=None), max(forces, default=None), 1.0, "a travel is given")
    scatter = screws.scatter_of(case)
    if clamp is None and needed is None:
        return [], Clamp(None, None, None, scatter, "by hand no pull carries the duty in the worst corner")
    if clamp is None:
        least = rounded_up(needed)
        clamp = Clamp(needed, least, least * scatter, scatter, "by hand: the force needed in the worst corner, rounded up")
    else:
        clamp = Clamp(needed, clamp.least, clamp.greatest, clamp.scatter, clamp.because)
    kept = distinct(asked, clamp.scatter == 1)
    single = len(kept) == 1 and case.push.force is None and not (case.screws and case.screws.torque)
    pressing = max(-c.thrust, 0.0) if c.carried_by == "ring" else 0.0
    return [
        _at_force(case, c, corner, needed if single else clamp.force(corner.end) + pressing * (corner.end == GREATEST), DUTY if single else FORCE)
        for corner in kept
    ], clamp


def at_clamp(case: Case, fit, lost: dict[str, float], clamp: Clamp) -> tuple[float | None, Reached | None, Reached | None]:
    """Force needed [N], the grip corner at the least clamp force and the tight one at the greatest; None where there is none."""
    c = coupling(case)
    corners = {corner.name: corner for corner in table(case, fit)}
    grip = _at_force(case, c, corners[GRIP], clamp.least, FORCE)
    tight = _at_force(case, c, corners[TIGHT], clamp.greatest or clamp.least, FORCE)
    return _needed(case, c, corners[GRIP], lost), *(one if one.reason != SHUT else None for one in (grip, tight))


def _needed(case: Case, c: Coupling, grip: Corner, taken: dict[str, float]) -> float | None:
    """Force needed [N] in the grip corner, None where it is not carried before the ring meets the flange."""
    lost = taken.get("bore", 0.0), taken.get("cone", 0.0)
    force = push.needed_force(c, grip.pulling, grip.carrying, grip.clearance, lost)
    if force is None:
        return None
    travel = push.travel_at(c, force, grip.pulling.cone, grip.clearance)
    return None if travel is None or (case.sleeve.flange_thickness > 0 and travel > case.ring.start) else force


def _at_travel(case: Case, c: Coupling, corner: Corner) -> Reached:
    force = push.force_at(c, case.push.travel, corner.pulling.cone, corner.clearance)
    return _shut(case, corner) if force is None else _at_force(case, c, corner, force, TRAVEL)


def _at_force(case: Case, c: Coupling, corner: Corner, force: float, reason: str) -> Reached:
    """What a push force [N] comes to in a corner; less where the ring meets the flange before."""
    travel = push.travel_at(c, force, corner.pulling.cone, corner.clearance)
    if travel is None:
        return _shut(case, corner)
    if case.sleeve.flange_thickness > 0 and travel > case.ring.start:
        travel, reason = case.ring.start, MET
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
    """Stresses at the bore of each part under a bore force; the shaft's with the duty's torque and a radial pull apart.

    A torque that the bore's force just carries at friction 1 stands for that force in the columns.
    """
    at = c.changed(torque=bore.normal * c.diameter / 2, thrust=0.0, slip_safety=1.0, bore_friction=1.0, carried_by="sleeve")
    values = columns.stresses(at)
    found = {part: Stress(values[f"{part}_von_mises"]) for part in ("shaft", "sleeve", "ring") if values[f"{part}_von_mises"] is not None}
    load = shaft.duty_load(case)
    if load is None:
        return found, None
    torque, moment = load
    loaded = shaft.shaft_stresses(bore.mean_pressure, torque, case.shaft.diameter, case.shaft.bore, moment)
    return found, Stress(loaded.greatest)
