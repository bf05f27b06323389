"""Clamp forces, travels and screws as a sentence holds them, rounded to the side that is safe to read off."""

import math
from typing import Any, Mapping

from colletfea.cases.report.wording import number, quantity
from colletfea.cases.stored.names import EARLY, dig

Data = Mapping[str, Any]
COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


def count(value: int) -> str:
    """"six" for 6; figures past twelve."""
    return COUNTS[value] if value < len(COUNTS) else str(value)


def upward(force: float, digits: int = 4) -> float:
    """A force rounded up, so that what is read off is not too little.

    >>> upward(22971.03), upward(3254.1, 2), upward(23000.0)
    (22980.0, 3300.0, 23000.0)
    """
    if force <= 0:
        return 0.0
    step = 10.0 ** (math.floor(math.log10(force)) - digits + 1)
    return float(f"{step * math.ceil(force / step - 1e-9):.{digits}g}")


def band(low: float, high: float, unit: str, digits: int = 3) -> str:
    """"23.0 to 36.8 kN"; one value where both read the same."""
    first, last = quantity(low, unit, digits), quantity(high, unit, digits)
    if first == last:
        return last
    value, _, own = first.rpartition(" ")
    return f"{value if own == last.rpartition(' ')[2] else first} to {last}"


def clamp(data: Data) -> str:
    """"23.0 to 36.8 kN"; empty where no clamp force is known: where a search for one ended at a force that carries nothing, that is none."""
    least, greatest = dig(data, "clamp.least_N"), dig(data, "clamp.greatest_N")
    return band(least, greatest, "N") if least and greatest and not in_vain(data) else ""


def in_vain(data: Data) -> bool:
    """Whether the force of the results is only where the search for one that carries the duty ended."""
    given = ("case.push.force", "case.push.travel", "case.screws.torque")
    return dig(data, "clamp.needed_N") is None and not any(dig(data, key) for key in given)


def travel(data: Data) -> str:
    """Least and greatest travel of the ring over the corners, rounded outward to 0.01 mm; a single one as it is; empty where nothing was pushed."""
    found = [c["travel_mm"] for c in data["corners"] if c["travel_mm"] > 0 and c["stop_reason"] not in EARLY]
    if not found:
        return ""
    if len(found) == 1:
        return quantity(found[0], "mm", 3)
    step = 0.01 if max(found) >= 0.1 else 0.001
    low, high = math.floor(min(found) / step + 1e-6) * step, math.ceil(max(found) / step - 1e-6) * step
    places = 2 if step == 0.01 else 3
    texts = f"{low:.{places}f}", f"{high:.{places}f}"
    return f"{texts[1]} mm" if texts[0] == texts[1] else f"{texts[0]} to {texts[1]} mm"


def needed(data: Data) -> str:
    """"22.98 kN", rounded up; empty where it is not known."""
    force = dig(data, "clamp.needed_N")
    return quantity(upward(force), "N") if force else ""


def screw_set(found: Mapping[str, Any], torque: bool = True) -> str:
    """"six M5 8.8 at 5.17 N·m"."""
    words = f"{count(found['count'])} {found['size']} {found['property_class']}"
    return f"{words} at {number(found['tightening_torque_Nm'], 3)} N·m" if torque else words


def placed_set(found: Mapping[str, Any]) -> str:
    """"six M5 8.8 at 5.17 N·m on a circle of 38.20 mm": as a set is proposed, which may stand elsewhere than on the default circle."""
    return f"{screw_set(found)} on a circle of {number(found['circle_mm'], 4)} mm"


def capital(text: str) -> str:
    """The text as the beginning of a sentence."""
    return text[:1].upper() + text[1:]
