"""Numbers and short texts of a drawing."""

import math


def mm(value: float) -> str:
    """A length to the micrometre, no idle zeros."""
    return f"{round(value, 3) + 0.0:.10g}"


def diameter(value: float) -> str:
    """A diameter with its sign."""
    return f"⌀{mm(value)}"


def cone(taper: float) -> str:
    """A half angle [rad] with the ratio of diameter to length that it makes."""
    return f"{round(math.degrees(taper), 4):.10g}° half angle, {ratio(taper)}"


def ratio(taper: float) -> str:
    """Ratio of a cone, difference of diameters to length, for a half angle [rad]."""
    return f"1 : {1 / (2 * math.tan(taper)):.4g}"


def fit_of(case) -> tuple[str, str]:
    """Bore's and shaft's half of a fit's designation, "" where none was given."""
    return tuple(half.strip() for half in case.sleeve.fit.split("/")) if case.sleeve.fit else ("", "")


def slits(case) -> str:
    """One line on the slits of a sleeve."""
    s = case.sleeve.slits
    wide = f"{mm(s.width)} wide"
    if s.pattern == "through":
        if case.sleeve.flange_thickness:
            return f"{_many(s.count, 'slit')} {wide}, flange {'cut' if s.cuts_flange else 'whole'}"
        return f"{_many(s.count, 'through slit')} {wide}"
    if s.pattern == "fingers":
        return f"{_many(s.count, 'slit')} {wide} from the nose"
    return f"{_many(s.count, 'slit')} {wide} from either end"


def _many(count: int, thing: str) -> str:
    return f"{count} {thing}" + ("" if count == 1 else "s")
