"""The sentence that may be signed: built only from verdicts that were judged ok."""

import math
from typing import Any, Mapping

from colletfea.cases.report import corner_words
from colletfea.cases.report.force_words import capital, clamp, count, screw_set, travel, upward
from colletfea.cases.report.wording import number, quantity
from colletfea.cases.stored.names import MET, PARTS, dig
from colletfea.cases.stored.verdict import REACHED

Data = Mapping[str, Any]


def sentence(data: Data) -> str:
    """What to do and what it brings: screws and torque, clamp force, travel, slip, stress, how the ring comes off."""
    ok = {v["name"]: v for v in data["verdicts"] if v["ok"]}
    parts = [_head(data, ok), _slip(data, ok), _stands(data, ok), _elastic(data, ok), _off(data, ok)]
    return capital("; ".join(filter(None, parts))) + "." if any(parts) else ""


def _head(data: Data, ok: Mapping[str, Any]) -> str:
    screws = data.get("screws")
    first = f"{screw_set(screws)}: " if screws and {"screws", "screw_room"} <= ok.keys() else ""
    carried = all(v["ok"] for v in data["verdicts"] if v["name"] in ("slip", "cone_slip"))
    force, way = (clamp(data), travel(data)) if carried else ("", "")  # a force whose grip was not judged is not signed
    if dig(data, "case.push.travel") is not None and force:
        return f"{first}ring travel {way}, which takes a clamp force of {force}"
    said = ", ".join(filter(None, (force and f"clamp force {force}", way and f"ring travel {way}")))
    return first + said if said else first.removesuffix(": ")


def _slip(data: Data, ok: Mapping[str, Any]) -> str:
    """How many times the duty the pair that gives way first carries, in its worst corner."""
    judged = [ok[name] for name in ("slip", "cone_slip") if name in ok]
    asked = [v for v in data["verdicts"] if v["name"] in ("slip", "cone_slip")]
    duty = dig(data, "case.duty")
    if not judged or len(judged) < len(asked) or not duty:
        return ""
    worst = min(judged, key=lambda v: v["margin"])
    where = corner_words.at(data, worst["corner"])
    pair = "cone" if worst["name"] == "cone_slip" else "seat"
    whole = duty["torque"] if duty["torque"] > 0 else abs(duty["thrust"])
    times, settling = _times(worst["value"] / whole), ", before the screws settle" if dig(data, "screws.preload_lost_N") else ""
    if duty["torque"] > 0 and duty["thrust"]:
        beside = f"{number(duty['slip_safety'], 3)} times the thrust"
        return f"{where} the {pair} slips at {times} times the torque beside {beside}{settling}".strip()
    if worst["name"] == "cone_slip" and not duty["torque"]:  # the push force is judged, see judgement.grip
        return f"{where} the ring is drawn off at {times} times the thrust{settling}".strip()
    return f"{where} the {pair} slips at {times} times the duty{settling}".strip()


def _stands(data: Data, ok: Mapping[str, Any]) -> str:
    """Where the ring meets the flange with enough gripped: the rest of the pull is of no use to the seat."""
    met = next((c for c in data["corners"] if c["stop_reason"] == MET), None)
    if met is None or "bottoming" not in ok:
        return ""
    where = corner_words.at(data, met["name"])
    return f"{where} the ring meets the flange at {quantity(met['push_force_N'], 'N', 3)}, and the rest of the pull stands on the flange".strip()


def _times(ratio: float) -> str:
    """A ratio to 0.01, rounded down; what a push was landed on counts as reached.

    >>> _times(1.5017), _times(1.4995), _times(1.5471)
    ('1.5', '1.5', '1.54')
    """
    return f"{math.floor(100 * ratio * (1 + REACHED)) / 100:g}"


def _elastic(data: Data, ok: Mapping[str, Any]) -> str:
    """Nothing yields away from edges of contact, where all three parts were judged, and the neck where there is one.

    Bending between fingers or alternating slots is in no stress, and said to be left out.
    """
    judged = {v["name"] for v in data["verdicts"]} & {"neck"} | {f"yield_{part}" for part in PARTS}
    if not judged <= ok.keys() or dig(data, "case.solver.plastic"):
        return ""
    slotted = dig(data, "case.sleeve.slits.pattern") in ("fingers", "alternating")
    but = ", but for bending between the slots, which is not judged" if slotted else ""
    return f"away from edges of contact everything stays elastic at the greatest {'preload' if 'screws' in ok else 'clamp force'}{but}"


def _off(data: Data, ok: Mapping[str, Any]) -> str:
    jacking = dig(data, "screws.jacking")
    if not jacking:
        return ""
    if jacking["force_N"] == 0:
        return "the ring lets go by itself when the screws are slackened"
    if "jacking" not in ok:
        return ""
    force, size = quantity(upward(jacking["force_each_N"], 2), "N", 2), data["screws"]["size"]
    if jacking["count"] == 1:
        return f"one {size} pushes the ring off with {force}"
    return f"{count(jacking['count'])} {size} push the ring off with {force} each"
