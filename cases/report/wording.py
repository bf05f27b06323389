"""Numbers and keys as a designer reads them: significant digits, units, plain words."""

import math
from typing import Any

NOTHING = "–"
NARROW_SPACE = "\u202f"
SPELT = {"mises": "Mises"}
RAISED = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")



def number(value: Any, digits: int = 4) -> str:
    """A number to `digits` significant digits, thousands apart by a narrow space; None is a dash."""
    if value is None:
        return NOTHING
    if isinstance(value, bool):
        return "yes" if value else "no"
    return true_minus(_written(value, digits)) if isinstance(value, (int, float)) else str(value)


def true_minus(text: str) -> str:
    """The text of a number with the sign that typesetting has for less than nothing."""
    return text.replace("-", "−")


def _written(value: float, digits: int) -> str:
    if isinstance(value, int):
        return f"{value:,}".replace(",", NARROW_SPACE)
    if value == 0 or not math.isfinite(value):
        return f"{value:g}"
    decimals = digits - 1 - math.floor(math.log10(abs(value)))
    if decimals > digits + 2:
        mantissa, _, exponent = f"{value:.{digits - 1}e}".partition("e")
        return f"{mantissa}·10{str(int(exponent)).translate(RAISED)}"
    return f"{round(value, decimals):,.{max(decimals, 0)}f}".replace(",", NARROW_SPACE)


def quantity(value: Any, unit: str, digits: int = 4) -> str:
    """Number with unit; forces of a kilonewton and more in kN, lengths below a tenth of a millimetre in µm, moments in N·m."""
    if value is None:
        return NOTHING
    unit = unit.replace("N m", "N·m")
    if unit == "N" and abs(value) >= 1000:
        return f"{number(value / 1000, digits)} kN"
    if unit == "mm" and 0 < abs(value) < 0.1:
        return f"{number(value * 1000, min(digits, 3))} µm"
    return f"{number(value, digits)}°" if unit == "deg" else f"{number(value, digits)} {unit}".rstrip()


def percent(ratio: float | None, digits: int = 2) -> str:
    """A ratio as percent with `digits` significant digits."""
    return NOTHING if ratio is None else f"{number(100 * ratio, digits)} %"


def deviation(value: float | None, reference: float | None) -> str:
    """Signed difference of `value` from `reference` in percent, without a sign where it reads as none; a dash where it means nothing."""
    if value is None or not reference:
        return NOTHING
    change = 100 * (value / reference - 1)
    if abs(change) >= 1000:
        return f"{number(value / reference, 3)} times"
    return true_minus(f"{change:+.1f} %") if round(change, 1) else "0.0 %"


def key_name(key: str) -> str:
    """A dotted key of the hand values in words, its unit left out."""
    table, _, name = key.rpartition(".")
    words = [SPELT.get(word, word) for word in name.split("_") if word not in ("mm", "N", "MPa", "Nm")]
    return f"{table.replace('.', ', ')}: {' '.join(words)}" if table else " ".join(words)


def verdict_word(ok: bool | None) -> str:
    """ok, not ok or not judged."""
    return {True: "ok", False: "not ok", None: "not judged"}[ok]
