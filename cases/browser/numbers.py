"""The numbers that the page shows: each with its label, where it stands in the results, and its unit."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from colletfea.cases.report import failing
from colletfea.cases.report.force_words import in_vain, needed
from colletfea.cases.report.wording import NOTHING, quantity
from colletfea.cases.stored.names import dig

Data = Mapping[str, Any]


class Number(NamedTuple):
    """A row: label, path into what `hand --json` prints and `summary.json` holds (corners by their names), unit."""

    label: str
    path: str
    unit: str


CLAMP = (
    Number("Clamp force needed in the worst corner", "clamp.needed_N", "N"),
    Number("Clamp force, least", "clamp.least_N", "N"),
    Number("Clamp force, greatest", "clamp.greatest_N", "N"),
    Number("Travel of the ring, nominal corner", "corners.nominal.travel_mm", "mm"),
    Number("Travel of the ring, loosest fit", "corners.loose.travel_mm", "mm"),
    Number("Torque that the bore holds, nominal corner", "corners.nominal.bore.torque_capacity_Nm", "N·m"),
    Number("Torque that can be used, worst corner", "corners.grip.usable_torque_Nm", "N·m"),
    Number("Mean pressure on the bore, nominal corner", "corners.nominal.bore.mean_pressure_MPa", "MPa"),
)
SCREWS = (
    Number("Tightening torque of a screw", "screws.tightening_torque_Nm", "N·m"),
    Number("Preload of a screw, least, after settling", "screws.preload_least_N", "N"),
    Number("Preload of a screw, greatest", "screws.preload_greatest_N", "N"),
    Number("Use of a screw's strength", "screws.utilisation", ""),
    Number("Screw circle", "screws.circle_mm", "mm"),
)


def value(data: Data | None, path: str) -> Any:
    """What stands at a path; a part behind `corners` is a corner's name. None where there is nothing, and of forces where there is none to apply."""
    if data is None or path.startswith(("clamp.", "screws.")) and path != "screws.circle_mm" and in_vain(data):
        return None
    if path.startswith("corners."):
        _, name, rest = path.split(".", 2)
        data, path = next((one for one in data.get("corners") or () if one["name"] == name), {}), rest
    return dig(data, path)


def written(number: Number, data: Data | None) -> str:
    """A value with its unit, a dash where there is none; the force needed as every sentence gives it, rounded up."""
    if number.path == "clamp.needed_N":
        return needed(data or {}) or NOTHING
    return quantity(value(data, number.path), number.unit)


def screws_named(data: Data) -> str:
    """The set of screws, given or proposed, in one line; empty where there is neither."""
    chosen, proposed = data.get("screws"), failing.proposed(data)
    if chosen:
        return f"{chosen['count']} × {chosen['size']}, class {chosen['property_class']}"
    if proposed:
        torque = quantity(proposed["tightening_torque_Nm"], "N·m", 3)
        return f"None given; {proposed['count']} × {proposed['size']}, class {proposed['property_class']}, at {torque} would do"
    return ""
