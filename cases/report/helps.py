"""What helps: the changes of main keys that were estimated, ranked for the verdict that fails first."""

from collections.abc import Sequence
from typing import Any, Mapping, NamedTuple

from colletfea.cases.report import corner_words, sentences
from colletfea.cases.report.wording import deviation, number, quantity
from colletfea.cases.stored.names import PARTS, dig

Data = Mapping[str, Any]
MOST = 5  # of the changes named
#: gain below which a change is not named: the ratio of hand values that it is scaled by is no surer (estimate)
_LEAST = 0.005
#: of a stress: on a closed sleeve of 22 mm, what five changes did to the sleeve's came out up to 2 % worse than told, when they were run
_LEAST_STRESS = 0.02


class Aim(NamedTuple):
    """What a change is ranked by: key of the entries, words, unit, whether more of it is better, and the least gain that is named."""

    key: str
    more: str
    what: str
    unit: str
    better_up: bool
    least: float = _LEAST


TORQUE = Aim("torque_capacity_Nm", "more torque", "torque", "N·m", True)
STRESS = Aim("yield_margin", "less stress", "margin to yield", "", True, _LEAST_STRESS)
TRAVEL = Aim("travel_mm", "less travel", "travel", "mm", False)
FORCE = Aim("clamp_force_N", "less clamp force", "clamp force", "N", False)
AIMS = {
    "slip": TORQUE, "cone_slip": TORQUE, "seat_open": None, "bottoming": TRAVEL, "slots": None, "self_locking": None, "mesh": None,
    "yield_shaft": STRESS, "yield_sleeve": STRESS, "yield_ring": STRESS,
}  # fmt: skip
#: keys whose change makes a verdict worse that fails already
_WORSENS = {
    "neck": ("sleeve.nose_wall", "sleeve.slits", "sleeve.slits.cuts_flange", "sleeve.material"),
    "collapse": ("sleeve.nose_wall", "sleeve.slits", "sleeve.slits.cuts_flange", "sleeve.material"),
    "screw_room": ("shaft.diameter", "sleeve.length"),
}  # fmt: skip


def lines(data: Data) -> list[str]:
    """A heading sentence and a line a change, the best first; empty where no sensitivities are stored or none helps."""
    entries = _harmless(data, data.get("sensitivities") or [])
    aim = _aim(data)
    base = aim and _base(data, aim)
    if not entries or not base:
        return []
    sign = 1 if aim.better_up else -1
    better = [e for e in entries if e.get(aim.key) is not None and sign * (e[aim.key] / base - 1) > aim.least]
    better.sort(key=lambda e: -sign * e[aim.key])
    found = [_line(e, aim, base) for e in better[:MOST]]
    return [f"Cheapest way to {aim.more}, best first (simulated values, scaled by hand; run the changed case before using it):", *found] if found else []


def by_hand(data: Data) -> list[str]:
    """What the hand calculation says would lower the clamp force, a sentence a change; empty where nothing does."""
    designed, *changes = data["hand"].get("advice") or [{}]
    return sentences.advice_lines([designed, *_harmless(data, changes)]) if designed else []


def _harmless(data: Data, entries: Sequence[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """Changes that make nothing worse that fails already."""
    failed = [v["name"] for v in data["verdicts"] if v["ok"] is False]
    worse = {key for name in failed for key in _WORSENS.get(name, ())}
    return [entry for entry in entries if entry["key"] not in worse]


def _aim(data: Data) -> Aim | None:
    """What the verdict that fails first asks for; None where no entry tells what helps, as for the pressure that a radial pull needs."""
    failed = [v["name"] for v in data["verdicts"] if v["ok"] is False]
    return next((AIMS[name] for name in failed if name in AIMS), FORCE)


def _base(data: Data, aim: Aim) -> float | None:
    """The value of the design as it stands."""
    if aim is FORCE:
        return dig(data, "clamp.needed_N") or dig(data, "clamp.least_N")
    if aim is STRESS:
        names = [f"yield_{part}" for part in PARTS]
        return min((v["margin"] for v in data["verdicts"] if v["name"] in names and v["margin"]), default=None)
    corner = corner_words.gripping(data)
    return corner and (corner["usable_torque_Nm"] if aim is TORQUE else corner["travel_mm"])


def _line(entry: Mapping[str, Any], aim: Aim, base: float) -> str:
    unit = f" {entry['unit']}" if entry.get("unit") else ""
    change = f"{entry['key']} {_value(entry['changed_to'])} instead of {_value(entry['value'])}{unit}"
    room = "; the screws then find no room on their circle" if entry.get("screws_fit") is False else ""
    return f"{change}: {aim.what} {quantity(entry[aim.key], aim.unit, 3)} instead of {quantity(base, aim.unit, 3)} ({deviation(entry[aim.key], base)}){room}"


def _value(value: Any) -> str:
    """A number to four digits, a band of friction from its low to its high end."""
    if isinstance(value, (list, tuple)):
        return f"{number(value[0], 3)} to {number(value[-1], 3)}"
    return number(value, 4) if isinstance(value, float) else str(value)
