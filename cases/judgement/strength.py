"""Verdicts on strength: yield of the parts at the end of a push, and the sleeve's neck under the duty's torque."""

from __future__ import annotations

from math import pi, radians, sqrt, tan
from typing import Any

from colletfea.cases.casefile.case import Case
from colletfea.cases.simulation import measures, stress
from colletfea.cases.simulation.push import Push
from colletfea.cases.stored import names
from colletfea.cases.stored.verdict import LANDING, Verdict

SHEAR = 1 / sqrt(3)  # shear stress over the von Mises stress that it makes


def yields(case: Case, hand: dict[str, Any], pushed: Push, part: str) -> Verdict:
    """Largest von Mises stress [MPa] of a part at the end of a push, clear of the ends of contacts, against its yield.

    A through-slit sleeve's bending by hand is added. hand is the hand calculation's block of the results.
    """
    name, material = f"yield_{part}", getattr(case, part).material
    peak = stress.believable(case, pushed.model, pushed.states[-1])[part]
    bending = slit_bending(case, hand, pushed) if part == "sleeve" else 0.0
    value = peak.value + bending
    if material.yield_stress is None:
        return Verdict.unknown(name, f"{part}.material has no yield stress to compare with", value=value, unit="MPa")
    safety = measures.yield_safety(case)
    because = (
        f"largest von Mises stress at the end of the push, at r {peak.r:.3g}, z {peak.z:.3g} mm, at least "
        f"{stress.CLEAR_OF_EDGE * case.sleeve.nose_wall:.2g} mm away from the ends of the contacts, against "
        f"{material.yield_stress:g} MPa over {safety:g}"
    )
    if bending:
        because += (
            f"; {bending:.3g} MPa of it is the slit sleeve's bending by hand, added in full although the two may be "
            "largest at different places"
        )
    elif part == "sleeve" and case.sleeve.slits.pattern != "none":
        because += "; bending between the slots is not included: there is no simple formula for it"
    found = Verdict.at_most(name, value, material.yield_stress / safety, "MPa", because)
    if pushed.reason == names.YIELD and found.margin < 1 + 2 * LANDING:
        return found.reached()
    return found


def slit_bending(case: Case, hand: dict[str, Any], pushed: Push) -> float:
    """Bending [MPa] of a through-slit sleeve as far as it has closed, 0 where the hand calculation has none."""
    whole = (hand["slits"] or {}).get("bending_stress_MPa") or 0.0
    closed = measures.closing(pushed.model, pushed.states[-1])
    return whole * min(1.0, closed / (case.sleeve.clearance / 2)) if whole else 0.0


def neck(case: Case, travel: float) -> Verdict | None:
    """Stress of the sleeve between seat and hub, where nothing clamps it, under torque times slip safety.

    travel [mm] is the ring's. None where the sleeve does not carry the hub, or no neck is left.
    """
    if case.duty is None or case.duty.carried_by != "sleeve" or case.ring.start - travel <= 0:
        return None
    if case.sleeve.slits.pattern == "alternating":
        return Verdict.unknown("neck", "there is no simple formula for a neck that is slotted from both ends", unit="MPa")
    free, yield_stress = case.ring.start - travel, case.sleeve.material.yield_stress
    kind, value, share = neck_stress(case, free)
    part = "flange" if case.sleeve.flange_thickness else "back face"
    because = f"{kind} over the free length of {free:.3g} mm between {part} and ring, under torque times slip safety"
    if yield_stress is None:
        return Verdict.unknown("neck", f"{because}; sleeve.material has no yield stress to compare with", value=value, unit="MPa")
    return Verdict.at_most("neck", value, share * yield_stress / measures.yield_safety(case), "MPa", because)


def neck_stress(case: Case, free: float) -> tuple[str, float, float]:
    """What loads a neck of free length [mm], its stress [MPa], and the share of the yield stress that it may reach.

    Closed tube tau = T/(2 pi r^2 t); tube slit along its length tau = 3 T/(2 pi r t^2); fingers bend, sigma =
    6 T l/(n r t b^2) for each one's width b and free length l. r and t are mean radius and wall at the ring's leading
    face, T torque times slip safety [N mm]. Source: thin-walled torsion and beam bending, any textbook on strength of
    materials (from memory).
    """
    sleeve, slits = case.sleeve, case.sleeve.slits
    torque = case.duty.slip_safety * case.duty.torque * 1e3
    wall = sleeve.nose_wall + (sleeve.length - free) * tan(radians(sleeve.taper))
    radius = (case.shaft.diameter + sleeve.clearance + wall) / 2
    if slits.pattern == "through":
        return "shear of the slit tube", 3 * torque / (2 * pi * radius * wall**2), SHEAR
    bent = free - (sleeve.length - slits.depth) if slits.pattern == "fingers" else 0.0
    if bent > 0:
        width = 2 * pi * radius / slits.count - slits.width
        return "bending of the fingers", 6 * torque * bent / (slits.count * radius * wall * width**2), 1.0
    return "shear of the closed tube", torque / (2 * pi * radius**2 * wall), SHEAR
