"""Corners of fit and friction as a designer names them, and what a push came to in each."""

from typing import Any, Mapping, Sequence

from colletfea.cases.report.wording import NOTHING, number, quantity
from colletfea.cases.stored.names import DUTY, EARLY, FITS, FORCE, REASONS, TRAVEL, dig

Data = Mapping[str, Any]

HEAD = ("Corner", "clearance", "clamp force", "ring travel", "usable torque", "largest stress: shaft, sleeve, ring")


def name(data: Data, corner: str | None) -> str:
    """"loosest fit, worst friction"; empty for a verdict that belongs to no corner."""
    if corner not in FITS:
        return corner or ""
    said = [FITS[corner]] if dig(data, "case.sleeve.fit") else []
    said += [_friction(data, corner)]
    return ", ".join(filter(None, said)) or "as given"


def at(data: Data, corner: str | None) -> str:
    """"at the loosest fit and the worst friction"; empty where there is nothing to tell apart."""
    words = name(data, corner)
    return "" if words in ("", "as given") else "at the " + " and the ".join(words.split(", "))


def one(data: Data, corner: str) -> Mapping[str, Any] | None:
    """The entry of a corner, None where it was not pushed."""
    return next((c for c in data["corners"] if c["name"] == corner), None)


def gripping(data: Data) -> Mapping[str, Any] | None:
    """The corner that grips least: the one of low friction while it carries, or the only one."""
    return one(data, "grip") or one(data, "nominal")


def searched(grip: Mapping[str, Any]) -> Mapping[str, Any]:
    """Why and at which force the search for a pull that carries ended without one: that of the corner, or beyond its own end."""
    return grip.get("search") or grip


def governing(data: Data, part: str) -> str:
    """The corner that a part's yield verdict was judged in, by name; the nominal one where it was judged in none."""
    return name(data, governs(data, part))


def governs(data: Data, part: str) -> str:
    """The corner itself."""
    return next((v["corner"] for v in data["verdicts"] if v["name"] == f"yield_{part}" and v["corner"]), "nominal")


def rows(data: Data) -> list[list[str]]:
    """The corners as a table under HEAD."""
    return [
        [
            name(data, c["name"]),
            quantity(c["clearance_mm"], "mm", 3),
            quantity(c["push_force_N"], "N", 3),
            quantity(c["travel_mm"], "mm", 3) + (f" ({_end(c)})" if _end(c) else ""),
            quantity(c["usable_torque_Nm"], "N·m", 3),
            _stress(c["von_mises_MPa"]),
        ]
        for c in data["corners"]
    ]


def friction_said(data: Data) -> str:
    """What the corners stand for, in one sentence."""
    if len(data["corners"]) < 2:
        if any(c["stop_reason"] in EARLY for c in data["corners"]):
            return "The run ended before the other corners were pushed."
        return "One push stands for all: one clearance, one friction value for each pair and no scatter of tightening."
    return (
        "Worst friction: high on both pairs while the ring is pulled, low on both while the seat carries. "
        "Greatest force: low friction while the ring is pulled, so that the seat is squeezed most, and nominal friction while it carries."
    )


def _friction(data: Data, corner: str) -> str:
    if corner in ("tight", "loose"):
        same = (dig(data, "clamp.scatter") or 1) == 1
        return "greatest force" if not same else "lowest friction" if _band(data) else ""
    if not _band(data):
        return ""
    return {"nominal": "nominal friction", "grip": "worst friction"}[corner]


def _band(data: Data) -> bool:
    """Friction is given as a band that is wider than one value."""
    given = (dig(data, f"case.friction.{pair}") for pair in ("cone", "bore"))
    return any(isinstance(values, Sequence) and len(set(values)) > 1 for values in given)


def _end(corner: Mapping[str, Any]) -> str:
    """Why a corner ended short of what was asked; empty where it did not. A table has no room for what stands in brackets."""
    reason = corner["stop_reason"]
    return "" if reason in (TRAVEL, FORCE, DUTY) else REASONS.get(reason, "").partition(" (")[0]


def _stress(values: Mapping[str, float] | None) -> str:
    if not values:
        return NOTHING
    return ", ".join(number(values.get(part), 3) for part in ("shaft", "sleeve", "ring")) + " MPa"
