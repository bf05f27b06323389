"""Verdicts and peaks of a finished run: value against limit, and why where nothing can be said.

Friction bands: capacity is judged at the low value on the bore, and that of a given clamp force at the high value on
the cone; self-locking at the low value on the cone. Values at other friction than the nominal are scaled from the nominal state, pressures kept.
"""

from __future__ import annotations

from math import atan, degrees, hypot, pi, radians, tan
from typing import Any

from colletfea.cases.simulation import stress, events
from colletfea.cases.simulation.model import BORE, CONE
from colletfea.cases.casefile.case import Case
from colletfea.cases.simulation.plan import closing_travel
from colletfea.cases.simulation.push import Push
from colletfea.cases.hand.slit_model import hoop
from colletfea.cases.judgement.friction import grip_left, more_grip

Verdict = dict[str, Any]
#: a duty is landed on to this, so a verdict on it must not ask for more
_LANDING = 1e-3
_PARTS = ("shaft", "sleeve", "ring")
#: least radius over the nose wall at which peaks were seen to settle. On the bundled example the cone's change from the
#: default to the fine mesh by -1 to -4 % at 0.06 to 0.14, by -4 and -10 % at 0.045
_SETTLES = 0.06


def judge(case: Case, hand: dict, fit, pushed: Push) -> list[Verdict]:
    """All verdicts of a push, by name in fixed order; of a push that never began only what needs none."""
    if pushed.states[-1].t == 0:
        return [_self_locking(case)]
    slip = _slip(case, hand, pushed, "slip", BORE)
    found = [
        slip,
        _slip(case, hand, pushed, "cone_slip", CONE),
        *_bottoming(case, hand, fit, pushed, slip),
        _slots(case, pushed),
        *(_yield(case, hand, pushed, part) for part in _PARTS),
        _self_locking(case),
        _neck(case, pushed),
    ]
    return [v for v in found if v is not None]


def _verdict(name: str, value, limit, unit: str, because: str, *, upper: bool = True, judged: bool = True) -> Verdict:
    """upper: the value must stay below the limit."""
    margin = None
    if value is not None and limit is not None:
        top, bottom = (limit, value) if upper else (value, limit)
        margin = top / bottom if bottom > 0 else None
    ok = None if not judged else True if margin is None else margin >= 1 - _LANDING
    return {"name": name, "value": value, "limit": limit, "unit": unit, "margin": margin, "ok": ok, "because": because}


def _slip(case: Case, hand: dict, pushed: Push, name: str, pair: str) -> Verdict | None:
    if case.duty is None or (pair == CONE and case.duty.carried_by != "ring"):
        return None
    band = getattr(case.friction, pair)
    limit = case.duty.slip_safety * case.duty.torque
    forced = pair == BORE and case.push.force is not None
    left = grip_left(case, hand, pushed) if forced else 1.0
    value = events.usable_torque(case, pushed.model, pushed.states[-1], pair, band.low * left) / 1e3
    thrust = " beside the thrust" if case.duty.thrust else ""
    because = (
        f"torque that the {pair} holds{thrust} at the end of the push with friction {band.low:g}, the low end of what was "
        f"given, against {case.duty.torque:g} N m times {case.duty.slip_safety:g}"
    )
    if left < 1:
        because += (
            f". At cone friction {case.friction.cone.high:g}, the high end, this clamp force grips {100 * left:.3g} % as hard, "
            "by hand: that is counted"
        )
    if value < 0:
        value, because = 0.0, because + ". The thrust alone is more than the seat holds"
    verdict = _verdict(name, value, limit, "N m", because, upper=False)
    if value <= 0:
        verdict = {**verdict, "ok": False}
    return verdict if verdict["ok"] else {**verdict, "because": because + _at_nominal(case, pushed, pair, limit)}


def _at_nominal(case: Case, pushed: Push, pair: str, limit: float) -> str:
    """What the nominal friction holds."""
    nominal = events.usable_torque(case, pushed.model, pushed.states[-1], pair) / 1e3
    held = "is enough" if nominal >= limit * (1 - _LANDING) else "is not enough either"
    return f". At nominal friction it holds {nominal:.4g} N m, which {held}"


def _neck(case: Case, pushed: Push) -> Verdict | None:
    """Stress of the sleeve between seat and hub, where nothing clamps it, under the duty's torque.

    Closed tube tau = T/(2 pi r^2 t); slit tube 3 T/(2 pi r t^2); fingers bend, sigma = 6 T l/(n r t b^2).
    Source: thin-walled torsion and beam bending, any textbook on strength of materials (from memory).
    """
    free = case.ring.start - pushed.states[-1].t
    if case.duty is None or case.duty.carried_by != "sleeve" or free <= 0:
        return None
    sleeve, torque, slits = case.sleeve, case.duty.slip_safety * case.duty.torque * 1e3, case.sleeve.slits
    wall = sleeve.nose_wall + (sleeve.length - free) * tan(radians(sleeve.taper))
    radius = (case.shaft.diameter + sleeve.clearance + wall) / 2
    bent = free - (sleeve.length - slits.depth) if slits.pattern == "fingers" else 0.0
    if slits.pattern == "through":
        kind, neck_stress, share = "shear of the slit tube", 3 * torque / (2 * pi * radius * wall**2), 3**-0.5
    elif bent > 0:
        width = 2 * pi * radius / slits.count - slits.width
        kind, share = "bending of the fingers", 1.0
        neck_stress = 6 * torque * bent / (slits.count * radius * wall * width**2)
    else:
        kind, neck_stress, share = "shear of the closed tube", torque / (2 * pi * radius**2 * wall), 3**-0.5
    where = f"{kind} on the {free:.3g} mm between flange or back face and ring, under torque times slip safety"
    if slits.pattern == "alternating":
        return _verdict("neck", None, None, "MPa", "no simple formula for a neck slotted from both ends", judged=False)
    if sleeve.material.yield_stress is None:
        return _verdict("neck", neck_stress, None, "MPa", where + "; no yield stress is given", judged=False)
    return _verdict("neck", neck_stress, share * sleeve.material.yield_stress / events.yield_safety(case), "MPa", where)


def _bottomed(case: Case, hand: dict, pushed: Push) -> Verdict:
    """The ring stands on the flange: from here on its push no longer reaches the seat."""
    if case.sleeve.clearance > 0 and pushed.landed(events.TOUCH) is None:
        because = "the ring meets the flange before the sleeve touches the shaft: nothing is gripped"
    else:
        because = "the ring meets the flange before the push is done: pulled further, it presses on the flange and not on the seat"
    needed, duty = hand["refined"]["clamp_travel_mm"], pushed.landed(events.DUTY)
    if duty is not None:
        because += f". The duty was reached at {duty.t:.3g} mm already: this push goes beyond it"
    elif needed is not None and needed < case.sleeve.length:
        more = "that" if needed > case.ring.start else "now, for the simulation asks for more"
        because += f". By hand the duty asks for {needed:.3g} mm of travel: give ring.start more than {more}"
    elif needed is not None:
        because += ". What the duty asks for is out of this seat's reach, whatever ring.start"
    verdict = _verdict("bottoming", pushed.states[-1].t, case.ring.start, "mm", because)
    return {**verdict, "ok": False}


def _bottoming(case: Case, hand: dict, fit, pushed: Push, slip: Verdict | None) -> list[Verdict]:
    """Travel for the duty with bore friction at its low end against the way to the flange, at the run's fit and the loosest."""
    if case.sleeve.flange_thickness <= 0:
        return []
    start, duty = case.ring.start, pushed.landed(events.DUTY)
    if pushed.reason == events.MET:
        return [_bottomed(case, hand, pushed)]
    if case.duty is None:
        why = "no duty is given, so there is no travel to compare with the way to the flange"
        return [_verdict("bottoming", None, start, "mm", why, judged=False)]
    if duty is None:
        why = "the duty was not reached before the push ended, so how far it would go is not known"
        return [_verdict("bottoming", None, start, "mm", why, judged=False)]
    wanted = _wanted(case, hand, pushed, duty.t, slip)
    because = f"travel at the duty against the way to the flange; {start - wanted:.3g} mm are left"
    if wanted > duty.t:
        ended = wanted == pushed.states[-1].t
        how = "at most where this push ended" if ended else f"by hand from the {duty.t:.4g} mm at the nominal one"
        because = (
            f"travel for the duty with bore friction {case.friction.bore.low:g}, the low end, {how}, against the way to the flange; {start - wanted:.3g} mm are left"
        )
    found = [_bottoms(_verdict("bottoming", wanted, start, "mm", because))]
    if fit is not None:
        slope = duty_touch_ratio(case, hand) / 2 / tan(radians(case.sleeve.taper))
        loosest, tightest = (wanted + slope * (limit - case.sleeve.clearance) for limit in (fit.loosest, fit.tightest))
        because = (
            f"the same at the loosest fit, {fit.loosest * 1e3:.0f} micrometres on diameter, by hand "
            f"from the travel at the middle one; {start - loosest:.3g} mm are left, {start - tightest:.3g} at the tightest"
        )
        found.append(_bottoms(_verdict("bottoming_loosest", loosest, start, "mm", because)))
    return found


def _bottoms(verdict: Verdict) -> Verdict:
    """The verdict, told what happens where the way is too short."""
    if verdict["ok"]:
        return verdict
    more = "the ring would meet the flange first, and pulled further press on it and not on the seat: give ring.start more"
    return {**verdict, "because": f"{verdict['because']}; {more}"}


def _wanted(case: Case, hand: dict, pushed: Push, nominal: float, slip: Verdict | None) -> float:
    """Travel [mm] for the duty with bore friction at its low end, given that at the nominal one.

    Grip goes on along the line through touch and duty; that of fingers grows faster. A push that holds there ended late
    enough.
    """
    touch = pushed.landed(events.TOUCH)
    begins = touch.t if touch else 0.0
    wanted = begins + (nominal - begins) * max(1.0, more_grip(case, hand) or 1.0)
    return min(wanted, max(nominal, pushed.states[-1].t)) if slip and slip["ok"] else wanted


def duty_touch_ratio(case: Case, hand: dict) -> float:
    """Closing travel by hand over the bare geometry's: the ring widens while the sleeve closes."""
    bare = case.sleeve.clearance / 2 / tan(radians(case.sleeve.taper))
    return closing_travel(case, hand) / bare if bare > 0 else 1.0


def _slots(case: Case, pushed: Push) -> Verdict | None:
    shuts = hoop(case).shuts_at
    if shuts is None:
        return None
    value = events.closing(pushed.model, pushed.states[-1])
    because = "radial closing of the sleeve against the closing that shuts its slots"
    if pushed.reason == events.SHUT:
        because += "; they are shut, and from here on it is a closed ring that hardly closes further: give it wider slots"
        return {**_verdict("slots", value, shuts, "mm", because), "ok": False}
    return _verdict("slots", value, shuts, "mm", because)


def _yield(case: Case, hand: dict, pushed: Push, part: str) -> Verdict:
    material, safety = getattr(case, part).material, events.yield_safety(case)
    peak = stress.believable(case, pushed.model, pushed.states[-1])[part]
    away = stress.CLEAR_OF_EDGE * case.sleeve.nose_wall
    name = f"yield_{part}"
    bending = _slit_bending(case, hand, pushed) if part == "sleeve" else 0.0
    value = peak.value + bending
    if material.yield_stress is None:
        return _verdict(name, value, None, "MPa", f"{material.name} is given without a yield stress", judged=False)
    because = (
        f"largest von Mises stress at the end of the push, at r {peak.r:.3g}, z {peak.z:.3g} mm, at least {away:.2g} mm "
        f"away from edges of contact, against {material.yield_stress:g} MPa over {safety:g}"
    )
    if bending:
        because += f"; {bending:.3g} MPa of it are the slit sleeve's bending by hand, put on top wherever the two stand"
    elif part == "sleeve" and case.sleeve.slits.pattern != "none":
        because += "; bending between the slots is not in it, and no simple formula gives it"
    verdict = _verdict(name, value, material.yield_stress / safety, "MPa", because)
    if pushed.reason == events.YIELD and verdict["margin"] is not None and verdict["margin"] < 1 + 2 * _LANDING:
        return {**verdict, "ok": False}  # what the push stopped at is reached, whichever side it landed on
    return verdict


def _slit_bending(case: Case, hand: dict, pushed: Push) -> float:
    """Bending [MPa] of a through-slit sleeve as far as it has closed, 0 where the hand calculation has none."""
    whole = (hand["slits"] or {}).get("bending_stress_MPa") or 0.0
    return whole * min(1.0, events.closing(pushed.model, pushed.states[-1]) / (case.sleeve.clearance / 2)) if whole else 0.0


def _self_locking(case: Case) -> Verdict:
    angle, highest = (degrees(atan(x)) for x in (case.friction.cone.low, case.friction.cone.high))
    locks = case.sleeve.taper < angle
    when = (
        f"at cone friction {case.friction.cone.low:g}, the low end, it can let go"
        if case.sleeve.taper < highest
        else f"up to cone friction {case.friction.cone.high:g}, the high end, it lets go"
    )
    because = (
        f"the taper stays below the friction angle even at cone friction {case.friction.cone.low:g}: it must be jacked off"
        if locks
        else f"{when} when the screws are loosened: "
        "the screws hold it, so this is no fault, but never loosen them under load"
    )
    verdict = _verdict("self_locking", case.sleeve.taper, angle, "deg", because)
    return verdict if locks else {**verdict, "ok": None}


def peaks(case: Case, pushed: Push) -> list[dict[str, Any]]:
    """Raw peaks at the end of a push, and the largest values away from where contacts end."""
    away = stress.CLEAR_OF_EDGE * case.sleeve.nose_wall
    model, state = pushed.model, pushed.states[-1]
    raw, clear = stress.raw(model, state), stress.believable(case, model, state)
    found = []
    for part in _PARTS:
        edge = raw[part].value > clear[part].value * (1 + 1e-9)
        word = _edge_word(case, pushed, raw[part]) if edge else "away from edges of contact"
        found.append(_peak(raw[part], "von Mises stress, raw", word))
        found.append(_peak(clear[part], f"von Mises stress {away:.2g} mm and more from edges of contact", "judged in the verdicts"))
    return found


def _edge_word(case: Case, pushed: Push, peak: stress.Peak) -> str:
    """What a peak beside the end of a contact is worth."""
    ends = stress.contact_ends(pushed.model, pushed.states[-1])
    # an end that hangs over faces the same place as the one that presses there: what is resolved tells
    distance = lambda place: hypot(place[0] - peak.r, place[1] - peak.z)
    name, _ = min(ends, key=lambda end: (distance(end[1]), end[0] not in pushed.resolved))
    radius = case.ring.edge_radius if name.startswith("ring") else case.sleeve.nose_radius if name else 0.0
    if name in pushed.resolved and radius < _SETTLES * case.sleeve.nose_wall:
        return f"at a rounded edge of less than {_SETTLES:g} nose walls: not known to settle with the mesh"
    if name in pushed.resolved:
        return "at a rounded edge: settles with the mesh; where it passes yield, a thin strip flows"
    if radius:
        return "at a rounded edge that this mesh does not resolve: not settled"
    return "at a sharp edge or corner: grows with the mesh, not a stress"


def _peak(peak: stress.Peak, quantity: str, verdict: str) -> dict[str, Any]:
    return {"part": peak.part, "quantity": quantity, "value": peak.value, "unit": "MPa",
            "r_mm": peak.r, "z_mm": peak.z, "verdict": verdict}
