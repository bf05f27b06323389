"""The clamp screws of a case: the block of the results, verdicts on strength, room and jacking, and a set where none is given."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from colletfea.cases.casefile.case import Case
from colletfea.cases.hand import screws
from colletfea.cases.hand.corners import Clamp, Reached, rounded_up
from colletfea.cases.hand.geometry import sizes
from colletfea.cases.hand.screw_joint import Cone, Joint, ScrewSet, Tapped, Tightening, clamp_of_torque
from colletfea.cases.hand.screw_room import RingShape, room
from colletfea.cases.hand.threads import screw
from colletfea.cases.judgement.corner import cut_short
from colletfea.cases.stored.verdict import LANDING, Verdict


def given_clamp(case: Case) -> Clamp | None:
    """Clamp forces that are known before any push: a force that is given, or what a tightening torque surely brings."""
    if case.push.force is not None:
        scatter = scatter_of(case)
        why = "the given force is the least that is surely reached; the greatest is that times the scatter"
        return Clamp(None, case.push.force, case.push.force * scatter, scatter, why)
    if case.screws is None or not case.screws.torque or case.push.travel is not None:
        return None
    how = _tightening(case)
    least, greatest = clamp_of_torque(_set(case), how)
    why = f"what {case.screws.torque:g} N·m a screw brings: the greatest at the stated friction, the least that over the scatter"
    return Clamp(None, least, greatest, how.scatter, why)


def scatter_of(case: Case) -> float:
    """Greatest over least clamp force: the screws' where there are any, else that of the push."""
    return case.push.scatter if case.screws is None else case.screws.tightening_scatter


def block(case: Case, clamp: Clamp, corners: Sequence[Reached], stiffness: float | None = None) -> dict[str, Any] | None:
    """Block `screws` of the results; None without [screws] or where no clamp force is known.

    stiffness [N/mm] of the coupling while its cone sticks, for what settling takes; None: as rigid, where settling takes most.
    """
    joint = _joint(case, clamp, corners, stiffness)
    if joint is None or case.screws is None:
        return None
    chosen = {} if _can_do(case, clamp) else {"smallest": []}
    return screws.block(_set(case), joint) | chosen | {"torque_brings": _torque_brings(case, clamp)}


def _torque_brings(case: Case, clamp: Clamp) -> dict[str, float | None] | None:
    """Clamp force that a given torque brings, where a force or travel of the push is given too; None where not both are.

    short_of_N: the force that is counted on, where the torque does not surely bring it. With a travel that is the greatest that it takes
    in any corner. past_N: the greatest force that the parts are judged at, where the torque may bring more. Else None.
    """
    if case.screws is None or not case.screws.torque or (case.push.force is None and case.push.travel is None):
        return None
    least, greatest = clamp_of_torque(_set(case), _tightening(case))
    counted = clamp.least if case.push.travel is None else clamp.greatest
    return {
        "least_N": least,
        "greatest_N": greatest,
        "short_of_N": counted if least < counted and not _is_for(case.screws.torque, least, counted) else None,
        "past_N": clamp.greatest if clamp.greatest < greatest and not _is_for(case.screws.torque, greatest, clamp.greatest) else None,
    }


def _is_for(torque: float, brings: float, force: float) -> bool:
    """Whether a torque [N m] that brings so much [N] is the one for that force: as near as pushes are landed, or as it is printed, to three digits."""
    return abs(brings - force) <= LANDING * force or float(f"{torque * force / brings:.3g}") == torque


def proposal(case: Case, clamp: Clamp, corners: Sequence[Reached]) -> dict[str, Any] | None:
    """A set of screws that does what the case needs; None where none is found, and where no pull carries the duty."""
    joint = _joint(case, clamp, corners)
    if joint is None or not _can_do(case, clamp):
        return None
    return screws.proposal(joint, None if case.screws is None else _set(case).jacking)


def _can_do(case: Case, clamp: Clamp) -> bool:
    """Whether a clamp force is known that does what the case asks."""
    return case.duty is None or clamp.needed is not None


def in_vain(case: Case, clamp: Clamp) -> bool:
    """Whether the least clamp force is only where the search for one that carries the duty ended."""
    return not _can_do(case, clamp) and given_clamp(case) is None and case.push.travel is None


def verdicts(case: Case, clamp: Clamp, found: dict[str, Any] | None, proposed: dict[str, Any] | None, vain: bool) -> list[Verdict]:
    """Verdicts on a block of screws: strong enough, room, jacking screws; proposed is a set that would do, or None; vain: see `in_vain`."""
    if case.screws is None:
        return []
    if found is None:
        return [Verdict.unknown("screws", "no clamp force was found that the screws could be held against")]
    if vain:
        why = "no force is known that carries the duty, so there is none to tighten screws for"
        return [Verdict.unknown("screws", why), _room(case, found), Verdict.unknown("jacking", why)]
    return [_strength(case, clamp, found, _instead(found, proposed) if _can_do(case, clamp) else ""), _room(case, found), _jacking(found)]


def _strength(case: Case, clamp: Clamp, found: dict[str, Any], instead: str) -> Verdict:
    """instead: a sentence on other sets, empty where no set would do."""
    name = f"{found['count']} screws {found['size']} {found['property_class']}"
    because = (
        f"{name} at {found['tightening_torque_Nm']:.3g} N·m, from {found['preload_least_N'] + found['preload_lost_N']:.0f} to "
        f"{found['preload_greatest_N']:.0f} N each: stress while tightening over 0.9 of the proof stress R_p0.2"
    )
    judged = [*_torque(case, clamp, found, name), Verdict.at_most("screws", found["utilisation"], 1.0, "", because), *_beside(case, found, name)]
    verdict = min(judged, key=lambda one: (False, None, True).index(one.ok))
    return verdict if verdict.ok is not False else verdict.adding(". ".join(["", *filter(None, (found["because"], instead))]))


def _torque(case: Case, clamp: Clamp, found: dict[str, Any], name: str) -> list[Verdict]:
    """That a torque does not bring the force or travel given beside it, or may bring more than was judged; empty where neither is so."""
    brings = found["torque_brings"]
    key, asks = ("push.force", "counts on") if case.push.travel is None else ("push.travel", "takes up to")
    if brings is None:
        return []
    least, greatest = brings["least_N"], brings["greatest_N"]
    said = f"{name} at {case.screws.torque:g} N·m bring {least:.0f} to {greatest:.0f} N in all"
    # a case without a duty must say how far it is pushed, and a torque that does not carry it is no help
    carries = clamp.needed is not None and least * (1 + LANDING) >= clamp.needed
    instead = f"without {key} the ring is pulled with what the torque brings" if carries else "without screws.torque it is found"
    if brings["short_of_N"]:
        why = f"{said}, and {key} {asks} {brings['short_of_N']:.0f} N; {instead}"
        return [Verdict.at_least("screws", least, brings["short_of_N"], "N", why)]
    if brings["past_N"]:
        why = f"{said}, and with {key} the parts are judged up to {brings['past_N']:.0f} N; {instead}"
        return [Verdict.at_most("screws", greatest, brings["past_N"], "N", why).unjudged()]
    return []


def _beside(case: Case, found: dict[str, Any], name: str) -> list[Verdict]:
    """What else a set must bear, each with its own numbers; jacking screws have a verdict of their own."""
    pressure, yields = found["head_pressure_MPa"], found["head_pressure_limit_MPa"]
    depth, thickness = found["engagement_at_preload_mm"], case.sleeve.flange_thickness
    least, holds = found["count"] * found["preload_least_N"], found["holding_force_N"]
    judged = [Verdict.at_most("screws", pressure, yields, "MPa", f"{name}: pressure under the heads against the ring's yield")] if yields else []
    judged += [Verdict.at_most("screws", depth, thickness, "mm", f"{name}: depth of thread that the greatest preload needs, against the flange's thickness")] if depth and thickness else []
    why = f"{name}: least preload of all after settling, against the force that keeps the ring on the cone{', the thrust in it' if case.drawn_off else ''}"
    return judged + ([Verdict.at_least("screws", least, holds, "N", why)] if found["stays_after_settling"] is False else [])


def _instead(found: dict[str, Any], proposed: dict[str, Any] | None) -> str:
    sets = found["smallest"] or ([proposed] if proposed else [])
    others = [f"{e['count']} {e['size']} {e['property_class']} at {e['tightening_torque_Nm']:.3g} N·m on a circle of {e['circle_mm']:.4g} mm" for e in sets]
    return f"What would do: {'; '.join(others[:3])}" if others else "No other set that was looked at is strong enough and finds room"


def _room(case: Case, found: dict[str, Any]) -> Verdict:
    needed, outside = found["outer_diameter_with_room_mm"], case.ring.outer_diameter
    because = "least outside diameter of the ring in which heads, holes, jacking threads and webs find room"
    verdict = Verdict.at_most("screw_room", needed, outside, "mm", because)
    if found["fits"] or not verdict.ok:
        return verdict if found["fits"] else verdict.adding(f". {found['room_because']}")
    return _circle(found).adding(f". {found['room_because']}")


def _circle(found: dict[str, Any]) -> Verdict:
    """The ring is wide enough and the screws stand on the wrong circle, which is held against the nearest one with room."""
    circle, room = found["circle_mm"], found["circles_with_room_mm"]
    because = "diameter of the circle that the screws stand on, against the nearest one with room"
    if room is None:
        return Verdict("screw_room", circle, None, "mm", None, False, "diameter of the circle that the screws stand on; none has room")
    nearest = room[0] if circle < room[0] else room[1]
    return Verdict("screw_room", circle, nearest, "mm", min(circle / nearest, nearest / circle), False, because)


def _jacking(found: dict[str, Any]) -> Verdict:
    jacking = found["jacking"]
    if jacking["force_N"] is None:
        return Verdict.unknown("jacking", "the force that pushes the ring off is not known")
    if jacking["force_N"] == 0:
        why = "even at the cone's high friction the ring lets go by itself when the screws are loosened: there is nothing to push off"
        return Verdict.at_most("jacking", 0.0, 1.0, "", why)
    if not jacking["count"]:
        return Verdict.unknown("jacking", f"there are no jacking screws, and it takes up to {jacking['force_N']:.0f} N to push the ring off")
    one, force = jacking["count"] == 1, f"{jacking['force_each_N']:.0f} N"
    screws_push = f"1 jacking screw {found['size']} pushes" if one else f"{jacking['count']} jacking screws {found['size']} push"
    because = (
        f"{screws_push} the ring off with {force}{'' if one else ' each'} at the cone's high friction: stress over 0.9 of the proof stress R_p0.2"
    )
    return Verdict.at_most("jacking", jacking["utilisation"], 1.0, "", because)


def find_room(case: Case) -> bool | None:
    """Whether the screws of a case find room in its ring, whatever they bear; None without [screws]."""
    if case.screws is None:
        return None
    chosen = _set(case)
    return room(screw(chosen.size), chosen.count, chosen.jacking_count, _ring(case)).fits


def _set(case: Case) -> ScrewSet:
    s = case.screws
    return ScrewSet(s.count, s.size, s.property_class, None if s.jacking == s.count // 2 else s.jacking)  # another count has its own default


def _tightening(case: Case) -> Tightening:
    s = case.screws
    if s is None:
        return Tightening(scatter=case.push.scatter)
    return Tightening(s.thread_friction, s.head_friction, s.tightening_scatter, s.torque or None, s.settling)


def _joint(case: Case, clamp: Clamp, corners: Sequence[Reached], stiffness: float | None = None) -> Joint | None:
    if not clamp.least or not clamp.greatest:
        return None
    size, sleeve = sizes(case), case.sleeve
    low, taper = case.friction.cone.low, size.taper
    cone = Cone(
        taper, low, case.friction.cone.high,
        # statics of the sliding cone at its low friction: there the least pull presses hardest, and the ring is most eager to leave
        normal_force=clamp.least / (math.sin(taper) + low * math.cos(taper)),
        # that of a corner that ended early is not the greatest there will be
        radial_force=None if any(map(cut_short, corners)) else max((reached.cone.radial for reached in corners), default=0.0) or None,
        stiffness=stiffness,
        drawn_off=case.drawn_off,
    )
    travel = min((reached.travel for reached in corners), default=0.0)
    return Joint(
        clamp.least, clamp.greatest, case.ring.length + max(case.ring.start - travel, 0.0), _ring(case), cone,
        Tapped(sleeve.flange_thickness, sleeve.material.yield_stress) if sleeve.flange_thickness else None,
        case.ring.material.yield_stress, _wanted(case, clamp), _tightening(case),
    )


def _ring(case: Case) -> RingShape:
    """The ring that screws must find room in; its circle is open where it is the default one, on which others need not stand."""
    size = sizes(case)
    ring = RingShape(size.ring_bore(size.ring.start), size.ring_bore(size.ring.end), case.ring.outer_diameter, flange_diameter=case.sleeve.flange_diameter)
    if case.screws is None or math.isclose(case.screws.circle, ring.default_circle):
        return ring
    return replace(ring, circle=case.screws.circle)


def _wanted(case: Case, clamp: Clamp) -> tuple[float, float] | None:
    """Clamp forces [N] that a set must bring to do: those asked for, and at least the force needed, rounded up, with the scatter.

    A torque asks for no force: it is what the set at hand happens to be tightened with. None where no force is known that does.
    """
    if not _can_do(case, clamp):
        return None
    asked = (clamp.least, clamp.greatest)
    if case.screws is not None and case.screws.torque and case.push.force is None and case.push.travel is None:
        asked = (0.0, 0.0)
    needed = rounded_up(clamp.needed) if clamp.needed else 0.0
    return max(asked[0], needed), max(asked[1], needed * scatter_of(case))
