"""What does not hold, in which corner, and what would do: a clause for each failed verdict, and whether any pull can help."""

import math
from typing import Any, Callable, Mapping

from colletfea.cases.casefile.fits import tighter
from colletfea.cases.casefile.kinds import STRONGEST
from colletfea.cases.casefile.schema import YIELD_SAFETY
from colletfea.cases.report import check_words, corner_words
from colletfea.cases.report.assumed import at_default
from colletfea.cases.report.force_words import needed, placed_set, screw_set, upward
from colletfea.cases.report.verdict_words import against
from colletfea.cases.report.wording import number, percent, quantity
from colletfea.cases.stored.names import COLLAPSE, EARLY, MET, PARTS, REASONS, SHUT, STRAIN, TRAVEL, YIELD, dig
from colletfea.cases.stored.verdict import FLOW_WARNED, LANDING, subject, untrusted

Data = Mapping[str, Any]
Verdict = Mapping[str, Any]


def clauses(data: Data) -> list[str]:
    """One clause a verdict of the design that is not ok: what falls short, where, and what would do."""
    return [_clause(data, verdict) for verdict in data["verdicts"] if verdict["ok"] is False and verdict["name"] != check_words.MESH]


def never(data: Data) -> str:
    """Why no pull can make the case hold, and the key to change; empty where one can or where that is not known."""
    if not dig(data, "case.duty"):
        return ""
    weak = _shaft_too_weak(data)
    if weak:
        return weak
    return _ends_before(data) if dig(data, "clamp.needed_N") is None else _yields_at_needed(data)


def can_work(data: Data) -> bool:
    """Whether a clamp force is known that does what is asked, as far as the pull decides that."""
    if unreached(data):
        return False
    return not dig(data, "case.duty") or bool(dig(data, "clamp.needed_N")) and not never(data)


def unreached(data: Data) -> list[float]:
    """Forces [N] of the pushes that ended below the clamp force: no greater one can be had, or the parts were strained past all elasticity."""
    if dig(data, "case.push.travel") is not None:
        return []
    return [c["push_force_N"] for c in data["corners"] if c["stop_reason"] in (TRAVEL, COLLAPSE, STRAIN)]


def enough(data: Data) -> bool:
    """Whether the least clamp force of the pushes is one to apply: it carries the duty, where there is one."""
    needed_force = dig(data, "clamp.needed_N") if dig(data, "case.duty") else 0.0
    return can_work(data) and needed_force <= (dig(data, "clamp.least_N") or 0.0) * (1 + LANDING)


def proposed(data: Data) -> Mapping[str, Any] | None:
    """A set of screws, free in count and size, that would do; None where there is none, or where no pull does."""
    return data.get("screws_proposed") if can_work(data) else None


def other_sets(data: Data) -> list[Mapping[str, Any]]:
    """Sets that would do instead of the case's own: of its count or size, else one free in both; empty where no pull does."""
    return (can_work(data) and data["screws"]["smallest"]) or list(filter(None, [proposed(data)]))


def _clause(data: Data, verdict: Verdict) -> str:
    value, limit = against(verdict)
    where = corner_words.name(data, verdict["corner"])
    place = f" ({where})" if where else ""
    if verdict["name"].startswith("yield_"):
        return _yields(data, verdict, place)
    said = _SAID.get(verdict["name"])
    return said(data, verdict, value, limit, place) if said else f"{subject(verdict['name'])}: {value} against {limit}{place}"


def _yields(data: Data, verdict: Verdict, place: str) -> str:
    part = verdict["name"].removeprefix("yield_")
    safety = dig(data, "case.duty.yield_safety") or YIELD_SAFETY
    value, limit = against(verdict)
    comes = f"the {part} comes to {value}, against {limit} permitted{place}"
    flowed = _flowed(data, verdict["corner"], part)
    if flowed:
        return f"{comes}{flowed}: {_either(f'give {_stronger(part)}', _less_force(data, verdict))}"
    if (corner_words.one(data, verdict["corner"]) or {}).get("stop_reason") == YIELD:
        stopped = "; the push ended there, and what the rest of it asks for is not known"
        return f"{comes}{stopped}: {_either(f'give {_stronger(part)}', _less_force(data, verdict))}"
    asked = upward(verdict["value"] * safety, 3)
    would = list(filter(None, [_less_force(data, verdict)]))
    if part == "shaft" and verdict["value"] > 1.05 * _squeezed(data, verdict):
        would.append("choose a larger shaft.diameter or a smaller shaft.bore, as the duty's torque makes part of it")
    if asked > STRONGEST:
        return f"{comes}, and no {part}.material carries that{': ' if would else ''}{', or '.join(would)}"
    enough = f"give {part}.material a yield of {quantity(asked, 'MPa', 3)} or more"
    return f"{comes}: {', or '.join([enough, *would])}"


def _flowed(data: Data, corner: str, part: str) -> str:
    """That a part flows clear of edges: its stress then stays near yield, whatever the force, and scales no more; empty where none does."""
    found = ((corner_words.one(data, corner) or {}).get("flowed") or {}).get(part)
    if not found or not found["largest_strain"]:
        return ""
    off = f"; above {percent(FLOW_WARNED, 1)} that stress is off by twice the strain" if found["largest_strain"] > FLOW_WARNED else ""
    return f", and flows by up to {percent(found['largest_strain'])} plastic strain, so this does not tell how strong it has to be{off}"


def _stronger(part: str) -> str:
    """What helps a part that flows."""
    key = {"ring": "ring.outer_diameter", "sleeve": "sleeve.nose_wall"}.get(part)
    return f"{f'{key} more, or ' if key else ''}a stronger {part}.material"


def _squeezed(data: Data, verdict: Verdict) -> float:
    """The clamp's own stress in the shaft, in the corner that the verdict was judged in."""
    corner = corner_words.one(data, verdict["corner"])
    return ((corner or {}).get("von_mises_MPa") or {}).get("shaft") or verdict["value"]


def _less_force(data: Data, verdict: Verdict) -> str:
    """Less force where the duty needs less than is pulled, less scatter where the greatest force is at fault and a smaller one would do."""
    clamp = data["clamp"]
    if clamp["needed_N"] and clamp["least_N"] and clamp["least_N"] > 1.02 * clamp["needed_N"]:
        return f"less force: the duty needs {needed(data)}"
    if verdict["corner"] in ("tight", "loose") and clamp["scatter"] > 1 and not never(data):
        key = "screws.tightening_scatter" if dig(data, "case.screws") else "push.scatter"
        return f"tighten with less scatter ({key})"
    return ""


def _slips(data: Data, verdict: Verdict, value: str, limit: str, place: str) -> str:
    on_cone, pull = verdict["name"] == "cone_slip", needed(data)
    enough = (dig(data, "clamp.needed_N") or 0) > (dig(data, "clamp.least_N") or 0)
    would = f": pull with {pull} at least" if pull and enough and not never(data) else ""
    if on_cone and verdict["unit"] == "N":
        return f"the thrust draws the ring off: it is pushed on with {value}, and {limit} are asked for{place}{would}"
    return f"the {'cone' if on_cone else 'bore'} carries {value.rpartition(' ')[0]} of {limit}{place}{would}"


def _bottoms(data: Data, verdict: Verdict, value: str, limit: str, place: str) -> str:
    if not dig(data, "case.sleeve.flange_thickness"):
        helps = _either(_less_force(data, verdict), _more_seat(data))
        return f"the ring comes to the end of its seat after {value}{place}, and no greater pull can be reached: {helps}"
    return f"the ring travels {value} and has {limit} to the flange{place}: {_either('give ring.start more', _choose_tighter(data))}"


def _more_seat(data: Data) -> str:
    """What helps a ring that comes to the end of its seat."""
    return _either("give ring.start or ring.length more", _choose_tighter(data))


def _shuts(data: Data, verdict: Verdict, value: str, limit: str, place: str) -> str:
    return f"the slots shut at {limit} of radial closing, and it takes {value}{place}: {_either('give sleeve.slits.width more', _choose_tighter(data))}"


def _collapses(data: Data, verdict: Verdict, value: str, limit: str, place: str) -> str:
    found = (corner_words.one(data, verdict["corner"]) or {}).get("collapse") or {}
    part = found.get("part", "part")
    return f"the {part} collapses at {value}{place}: it flows through its wall, and no greater clamp force can be reached: give {_stronger(part)}"


def _neck(data: Data, verdict: Verdict, value: str, limit: str, place: str) -> str:
    return f"the sleeve's neck comes to {value}, against {limit} permitted{place}: give sleeve.nose_wall more, or a stronger material"


def _weak(data: Data, verdict: Verdict, value: str, limit: str, place: str) -> str:
    screws = data["screws"]
    if (screws.get("torque_brings") or {}).get("short_of_N"):
        key, asks = ("push.force", "counts on") if dig(data, "case.push.travel") is None else ("push.travel", "takes up to")
        either = f"{key} or " if _torque_carries(data) else ""
        return f"{screw_set(screws)} surely bring no more than {value}, and {key} {asks} {limit}: leave out {either}screws.torque"
    return f"{screw_set(screws, torque=False)} are too weak ({screws['because']}){_would(_instead(data))}"


def _torque_carries(data: Data) -> bool:
    """Whether a torque that is given surely brings the force needed by itself; without a duty the push must say how far it goes."""
    needed_force = dig(data, "clamp.needed_N") if can_work(data) and not untrusted(data, "slip", "cone_slip") else None
    return bool(needed_force) and dig(data, "screws.torque_brings.least_N") * (1 + LANDING) >= needed_force


def _no_room(data: Data, verdict: Verdict, value: str, limit: str, place: str) -> str:
    screws = data["screws"]
    circles = screws["circles_with_room_mm"]
    if circles:
        would = f"screws.circle from {number(circles[0], 4)} to {number(circles[1], 4)} mm has room"
    else:
        wider = upward(screws["outer_diameter_with_room_mm"], 3)
        ring = f"a ring of {number(wider, 3)} mm outside has room for these" if wider > dig(data, "case.ring.outer_diameter") else ""
        would = (", or " if other_sets(data) else "; ").join(filter(None, (_instead(data), ring)))
    return f"{screw_set(screws, torque=False)} find no room{_would(would)}"


def _would(what: str) -> str:
    return f": {what}" if what else ""


def _instead(data: Data) -> str:
    """Other sets of screws; empty where no pull does, and so none of them, and where the pull is not known."""
    if not can_work(data) or untrusted(data, "slip", "cone_slip"):
        return ""
    others = [placed_set(entry) for entry in other_sets(data)[:2]]
    where = "in this ring" if "screws.circle" in at_default(data["case"]) else "on this circle"
    return f"{' or '.join(others)} would do" if others else f"no set of this count or size, nor any of up to twelve screws, is strong enough with room {where}"


def _jacks(data: Data, verdict: Verdict, value: str, limit: str, place: str) -> str:
    count, found = data["screws"]["count"], data["screws"]["jacking"]
    each = quantity(upward(found["force_each_N"] or 0.0, 2), "N", 2)
    pushes = f"the jacking screws would have to push with {each} each, and don't bear it"
    if found["count"] == 1:
        pushes = f"the jacking screw would have to push with {each}, and doesn't bear it"
    enough = math.ceil(found["count"] * verdict["value"] - 1e-9)
    if enough <= count:
        return f"{pushes}: give screws.jacking = {enough} or more"
    return f"{pushes}, not even with screws.jacking = {count}, the most there may be{_would(_larger(data))}"


def _larger(data: Data) -> str:
    """Screws that bear more, where the verdict on their strength has not named them already."""
    weak = any(v["name"] == "screws" and v["ok"] is False for v in data["verdicts"])
    return "" if weak else _instead(data) or "larger screws are needed"


def _opens(data: Data, verdict: Verdict, value: str, limit: str, place: str) -> str:
    if verdict["value"] <= 0:
        return (
            f"the seat stands open beside the slit before any radial pull, short by {quantity(-verdict['value'], 'MPa', 3)} of pressure, and the pull "
            f"takes {limit} more{place}: {_either(_choose_tighter(data), 'pull harder')}"
        )
    return (
        f"the radial pull opens the seat: it takes {limit} of pressure off, and {value} are there{place}: "
        "pull harder, give sleeve.length more, or bring duty.radial_at nearer"
    )


def _tighter(data: Data) -> str:
    """Less play, by the key that the case has: the other one beside it would be refused. Empty where there is no less."""
    fit = dig(data, "case.sleeve.fit")
    if fit:
        return "a tighter sleeve.fit" if tighter(fit) else ""
    return "less sleeve.clearance" if dig(data, "case.sleeve.clearance") else ""


def _choose_tighter(data: Data) -> str:
    less = _tighter(data)
    return less and f"choose {less}"


def _slit(data: Data) -> str:
    """What makes a closed sleeve softer; empty for one that is slit."""
    return "slit the sleeve (sleeve.slits.pattern)" if dig(data, "case.sleeve.slits.pattern") in (None, "none") else ""


def _either(*helps: str) -> str:
    """What helps, one or another; empty ones left out."""
    return ", or ".join(filter(None, helps))


def _driven_off(data: Data, verdict: Verdict, value: str, limit: str, place: str) -> str:
    said = f"the ring is driven off the cone with {value}, and the clamp force may be as low as {limit}"
    if verdict["value"] > dig(data, "case.duty.slip_safety") * dig(data, "case.duty.thrust") * (1 + LANDING):
        return f"{said}: pull harder, or give less sleeve.taper"
    # the cone locks: the thrust alone draws the ring off
    return said if never(data) else f"{said}: pull with {needed(data) or quantity(upward(verdict['value']), 'N')} at least"


_SAID: dict[str, Callable[[Data, Verdict, str, str, str], str]] = {
    "slip": _slips, "cone_slip": _slips, "bottoming": _bottoms, "slots": _shuts, "collapse": _collapses, "neck": _neck, "screws": _weak,
    "screw_room": _no_room, "jacking": _jacks, "seat_open": _opens, "self_locking": _driven_off,
}  # fmt: skip
#: what to change where the push that looks for the force needed ended too early
_CHANGE: dict[str, Callable[[Data], str]] = {
    MET: lambda data: _either("give ring.start more", _choose_tighter(data)),
    SHUT: lambda data: _either("give sleeve.slits.width more", _choose_tighter(data)),
    YIELD: lambda data: _either("choose a stronger material", _slit(data), _choose_tighter(data)),
    COLLAPSE: lambda data: "choose a stronger material or a thicker wall",
    STRAIN: lambda data: "more seat length, diameter or friction is needed",
}


def _shaft_too_weak(data: Data) -> str:
    """The duty alone is too much for the shaft, beside the seat and at any clamp force."""
    judged = next((v for v in data["verdicts"] if v["name"] == "yield_shaft" and v["ok"] is False), None)
    alone = dig(data, "shaft_load.von_mises_MPa")
    if judged is None or alone is None or judged["limit"] is None or alone <= judged["limit"]:
        return ""
    puts = "torque and radial pull alone put" if dig(data, "shaft_load.bending_MPa") else "torque alone puts"
    helps = ["more shaft.diameter"] + (["less shaft.bore"] if dig(data, "case.shaft.bore") else [])
    stronger = " or a stronger shaft.material" if alone / judged["limit"] * (dig(data, "case.shaft.material.yield") or 0.0) <= STRONGEST else ""
    return (
        f"It cannot work at any pull, because the duty's {puts} {quantity(alone, 'MPa', 3)} on the shaft beside the seat, "
        f"and {quantity(judged['limit'], 'MPa', 3)} are permitted: give {', '.join(helps)}{stronger}."
    )


def _ends_before(data: Data) -> str:
    """No pull carries the duty in the corner that grips least: which end stopped it, and what to change."""
    grip = corner_words.gripping(data)
    if not data["corners"] or grip is None or grip["stop_reason"] in EARLY:
        return ""
    where, search = corner_words.at(data, grip["name"]), corner_words.searched(grip)
    reason, force = search["stop_reason"], quantity(search["push_force_N"], "N", 3)
    if reason in EARLY:
        return f"No pull up to {force} carries the duty {where}; what lies beyond is not known, because {REASONS[reason]}.".replace("  ", " ")
    if reason not in _CHANGE:
        return f"It cannot work at any pull, because {where} the duty is not carried before the end of the seat: {_more_seat(data)}.".replace("  ", " ")
    return f"It cannot work at any pull, because {where} {REASONS[reason]} at {force}, before the duty is carried: {_CHANGE[reason](data)}.".replace("  ", " ")


def _yields_at_needed(data: Data) -> str:
    """A part is past its permitted stress already at the force needed: no smaller pull carries, no greater one is elastic."""
    failed = {v["name"].removeprefix("yield_"): v for v in data["verdicts"] if v["ok"] is False and v["name"].startswith("yield_")}
    for part in PARTS:
        for corner in (corner_words.one(data, "grip"), corner_words.one(data, "nominal")):
            if part in failed and corner and _over(data, corner, part, failed[part]["limit"]):
                return _too_much(data, corner, part)
    return ""


def _over(data: Data, corner: Mapping[str, Any], part: str, limit: float) -> bool:
    small = corner["push_force_N"] <= 1.01 * data["clamp"]["needed_N"]
    return small and ((corner["von_mises_MPa"] or {}).get(part) or 0.0) > limit


def _too_much(data: Data, corner: Mapping[str, Any], part: str) -> str:
    helps = [_slit(data) or "a softer sleeve (more slits, less wall)", _tighter(data), f"a stronger {part}.material"]
    helps += ["more ring.outer_diameter"] if part == "ring" else []
    where = corner_words.at(data, corner["name"])
    return (
        f"It cannot work at any pull, because {where} the {part} is past its permitted stress at {quantity(corner['push_force_N'], 'N', 3)} "
        f"already, and the duty needs {needed(data)}: {_either(*helps)}."
    ).replace("  ", " ")
