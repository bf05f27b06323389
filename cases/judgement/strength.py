"""Verdicts on strength: yield of the parts in a corner, and the sleeve's neck under the duty's torque."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import hypot, pi
from typing import Any

from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.text import plain
from colletfea.cases.hand import slit_model
from colletfea.cases.hand.corners import Believed, Flowed, Reached, Stress
from colletfea.cases.hand.geometry import sizes
from colletfea.cases.judgement.corner import cut_short, where
from colletfea.cases.stored.names import COLLAPSE, YIELD
from colletfea.cases.stored.verdict import FLOW_WARNED, LANDING, Verdict

SHEAR = 3**-0.5  # shear stress over the von Mises stress that it makes
#: plastic strain above which nothing is judged: the flow stress is off by twice the strain
FLOW_LIMIT = 0.05
#: why finer meshes tell nothing where metal has flowed: a ladder solves its neighbourhood in one increment from the end of the push. With
#: its flow it would take all the push's increments, ten to twenty times the cost of ladders, which is that of about a push (estimate)
UNREFINED = "not judged by refinement: metal has flowed in this push, and what has flowed hangs on its whole way, which each finer mesh would have to repeat"


@dataclass(frozen=True)
class Added:
    """What service adds to the stresses of a push, by hand: hoop stress of the turning ring [MPa], and the force [N] by which it
    tightens the bore; every stress is then taken to grow as the bore's normal force does."""

    ring_speed: float = 0.0
    tightened: float = 0.0

    def growth(self, reached: Reached) -> float:
        """Share by which the stresses of a corner grow: 0.1 is a tenth more; 0 where the simulation tells what they grow by."""
        if reached.served is not None:
            return 0.0
        return self.tightened / reached.bore.normal if reached.bore.normal > 0 else 0.0


def yields(case: Case, hand: dict[str, Any], reached: Reached, part: str, added: Added) -> Verdict:
    """Largest von Mises stress [MPa] of a part in a corner against its yield stress over the yield safety.

    The shaft's holds the duty's torque and the bending of a radial pull, a through-slit sleeve's its bending by hand, the
    ring's its own speed. hand is the hand calculation's block of the results.
    """
    name, material = f"yield_{part}", getattr(case, part).material
    believed = reached.believed.get(part)
    stress = believed.stress if believed else reached.stress(part)
    if stress is None:
        return Verdict.unknown(name, "no formula gives this stress; the simulation does", unit="MPa").at(reached.corner.name)
    bending = slit_bending(case, hand, reached) if part == "sleeve" else 0.0
    speed = added.ring_speed if part == "ring" and reached.served is None else 0.0
    grown = reached.served.grown.get(part, 0.0) if reached.served else 0.0
    value = stress.value * (1 + added.growth(reached)) + grown + bending + speed
    if material.yield_stress is None:
        why = f"{part}.material has no yield stress to compare with"
        why += ", so the part was kept elastic" if case.solver.plastic else ""
        return Verdict.unknown(name, why, value=value, unit="MPa").at(reached.corner.name)
    limit = material.yield_stress / case.yield_safety
    early = cut_short(reached, strained=value <= limit)
    over = reached.reason == COLLAPSE and value > limit  # at a greater force it would be no less
    if early and reached.reason != YIELD and not over:
        return Verdict.unknown(name, early, value=value, limit=limit, unit="MPa").at(reached.corner.name)
    stands_in = _stands_in(case, stress) if part == "sleeve" else ""
    if stands_in:
        why = f"its largest stress{_place(stress)}, lies {stands_in}"
        return Verdict.unknown(name, why, value=value, limit=limit, unit="MPa").at(reached.corner.name)
    flowed = reached.flowed.get(part)
    if flowed and flowed.strain > FLOW_LIMIT:
        why = f"{_flows(flowed)}, and the law of flow is for small strains: nothing is judged above {100 * FLOW_LIMIT:g} %"
        return Verdict.unknown(name, why, value=value, limit=limit, unit="MPa").at(reached.corner.name)
    because = (
        f"largest von Mises stress {where(case, reached)}{_place(stress)}, against {material.yield_stress:g} MPa over "
        f"{case.yield_safety:g}{_agreed(believed, reached)}{_included(case, part, bending, speed, added.growth(reached), grown)}"
        f"{_at_an_edge(believed, material.yield_stress)}{_what_flows(case, flowed, value > material.yield_stress)}"
    )
    found = Verdict.at_most(name, value, limit, "MPa", because).at(reached.corner.name)
    if reached.reason == YIELD and found.margin is not None and found.margin < 1 + 2 * LANDING:
        return found.reached()
    return found


def collapse(case: Case, reached: Reached) -> Verdict | None:
    """Not ok where the push of a corner ended with a plastic collapse, at its greatest force [N]; None where it did not."""
    if reached.collapse is None:
        return None
    part, force, travel = reached.collapse
    because = (
        f"the {part} collapsed: from {travel:.3g} mm of travel on it flowed through its wall and the force grew no more, "
        f"{where(case, replace(reached, force=force))}. No greater clamp force can be reached: give the {part} more wall or a stronger material"
    )
    return Verdict("collapse", force, None, "N", None, False, because).at(reached.corner.name)


def _stands_in(case: Case, stress: Stress) -> str:
    """Why a place of a through-slit sleeve has no stress of metal, because its hoop stiffness stands for something else; empty elsewhere.

    Source: theory of colletfea.cases.hand.slit_formulas. Beside a flange that is not cut it is a panel in shear, over about the mean
    radius; that of a cut flange is in the sleeve.
    """
    sleeve = case.sleeve
    if stress.z is None or sleeve.slits.pattern != "through" or not sleeve.flange_thickness:
        return ""
    if stress.z < 0:
        return "in the flange that the slit cuts, whose stiffness is put into the sleeve: it is no stress of the metal" if sleeve.slits.cuts_flange else ""
    if slit_model.of(case).kind == "through, flange not cut" and stress.z <= sizes(case).wall.radius(stress.z):
        return "beside a flange that is not cut, where hoop stiffness stands for the wall's shear: it is no stress of the metal"
    return ""


def _place(stress) -> str:
    return "" if stress.r is None else f", clear of the ends of the contacts, at r {stress.r:.3g}, z {stress.z:.3g} mm"


def _flows(flowed: Flowed) -> str:
    place = "" if flowed.r is None or not flowed.strain else f", at r {flowed.r:.3g}, z {flowed.z:.3g} mm"
    return f"metal flows in {plain(100 * flowed.share, 2)} % of its volume, by up to {100 * flowed.strain:.2g} % plastic strain clear of edges{place}"


def _what_flows(case: Case, flowed: Flowed | None, passes: bool) -> str:
    """What a plastic push found, or what finds it where an elastic one passes yield."""
    if passes and not case.solver.plastic:
        return "; above yield this elastic stress is no more than a sign: solver.plastic = true computes what flows"
    if not flowed:
        return ""
    warned = f"; above {100 * FLOW_WARNED:g} % the flow stress is off by twice the strain" if flowed.strain > FLOW_WARNED else ""
    return f"; {_flows(flowed)}{warned}"


def _agreed(believed: Believed | None, reached: Reached) -> str:
    if believed is None:
        return f"; {UNREFINED}" if reached.flowed else ""
    return f"; two meshes agree within 5 % in {100 * believed.share:.4g} % of the part"


def _at_an_edge(believed: Believed | None, yield_stress: float) -> str:
    """What a stress that has settled at a rounded edge says beside the verdict, which leaves edges out."""
    if believed is None or believed.edge <= yield_stress:
        return ""
    return f"; left out: at the {believed.at} {believed.edge:.3g} MPa, settled, passes yield, and a little metal flows there"


def _included(case: Case, part: str, bending: float, speed: float, growth: float, grown: float) -> str:
    said = []
    if part == "shaft" and case.duty is not None:
        said.append("the duty's torque with its slip safety is in it at every point" + (", and the bending of the radial pull" if case.duty.radial else ""))
    if bending:
        said.append(
            f"{bending:.3g} MPa of it is the slit sleeve's bending by hand, added in full although the two may be largest at "
            "different places"
        )
        if bending > case.sleeve.material.yield_stress:
            said.append("this bending alone passes yield: the slit wall bends plastically as it closes, which no part of the model follows")
    elif part == "sleeve" and case.sleeve.slits.pattern not in ("none", "through"):
        said.append("bending between the slots is not included: there is no simple formula for it")
    if speed:
        said.append(f"{speed:.3g} MPa of it comes from the ring's own speed")
    if growth > 0:
        said.append(f"service tightens the seat by {100 * growth:.2g} %, which is in it")
    if grown > 0:
        said.append(f"{grown:.3g} MPa of it is what service adds by simulation, cold or warm")
    return "".join(f"; {words}" for words in said)


def slit_bending(case: Case, hand: dict[str, Any], reached: Reached) -> float:
    """Bending [MPa] of a through-slit sleeve as far as it has closed, 0 where the hand calculation has none.

    The hand value is for the case's own clearance; bending goes with the closing.
    """
    whole = (hand["slits"] or {}).get("bending_stress_MPa") or 0.0
    own, closed = case.sleeve.clearance / 2, min(reached.closing, reached.corner.clearance / 2)
    return whole * closed / own if whole and own > 0 else 0.0


def neck(case: Case, reached: Reached) -> Verdict | None:
    """Von Mises stress [MPa] of the sleeve between seat and hub, where nothing clamps it, under torque times slip safety and the push.

    None where the sleeve does not carry the hub by torque, or no neck is left.
    """
    free = case.ring.start - reached.travel
    if case.duty is None or case.duty.torque <= 0 or case.duty.carried_by != "sleeve" or free <= 0:
        return None
    if case.sleeve.slits.pattern == "alternating":
        why = "there is no simple formula for a neck that is slotted from both ends"
        return Verdict.unknown("neck", why, unit="MPa").at(reached.corner.name)
    push = max(reached.force, reached.served.force if reached.served else 0.0)
    thrust = case.duty.slip_safety * max(case.duty.thrust, 0.0)  # it presses the shaft toward the hub, through the same section
    kind, by_torque, by_push, value = neck_stress(case, free, reached.corner.clearance, push + thrust)
    part, yield_stress = "flange" if case.sleeve.flange_thickness else "back face", case.sleeve.material.yield_stress
    because = (
        f"{kind} under torque times slip safety, {by_torque:.3g} MPa, and the push{' and the thrust' if thrust else ''} that runs through it, {by_push:.3g} MPa, "
        f"over the free length of {free:.3g} mm between {part} and ring"
    )
    if yield_stress is None:
        why = f"{because}; sleeve.material has no yield stress to compare with"
        return Verdict.unknown("neck", why, value=value, unit="MPa").at(reached.corner.name)
    limit, early = yield_stress / case.yield_safety, cut_short(reached)
    if early:
        return Verdict.unknown("neck", early, value=value, limit=limit, unit="MPa").at(reached.corner.name)
    return Verdict.at_most("neck", value, limit, "MPa", because).at(reached.corner.name)


def neck_stress(case: Case, free: float, clearance: float, push: float) -> tuple[str, float, float, float]:
    """What the torque does to a neck of free length [mm], its stress and that of the push [N], and both as von Mises stress [MPa].

    Closed tube tau = T/(2 pi r^2 t); tube slit along its length tau = 3 T/(2 pi r t^2), at both faces of the wall; fingers bend,
    sigma = 6 T l/(n r t b^2) for each one's width b and free length l. r and t are mean radius and wall at the ring's leading
    face, T torque times slip safety [N mm]. The push presses on what the slits leave of the ring area, at the same places: a
    neck at 88 % of its limit by torque alone is past it by both. Source: thin-walled torsion and beam bending, any textbook on
    strength of materials (from memory).
    """
    sleeve, slits = case.sleeve, case.sleeve.slits
    torque = case.duty.slip_safety * case.duty.torque * 1e3
    wall = sizes(case).wall.thickness(free)
    radius = (case.shaft.diameter + clearance + wall) / 2
    bent = free - (sleeve.length - slits.depth) if slits.pattern == "fingers" else 0.0
    left = 2 * pi * radius - (slits.count * slits.width if slits.pattern == "through" or bent > 0 else 0.0)
    pressed = push / (left * wall)
    if bent > 0:
        sideways = 6 * torque * bent * slits.count / (radius * wall * left**2)
        return "bending of the fingers", sideways, pressed, sideways + pressed
    kind, shear = "shear of the closed tube", torque / (2 * pi * radius**2 * wall)
    if slits.pattern == "through":
        kind, shear = "shear of the slit tube", 3 * torque / (2 * pi * radius * wall**2)
    return kind, shear, pressed, hypot(pressed, shear / SHEAR)
