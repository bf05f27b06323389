"""Geometric sense of a sleeve's slits.

A count, width or depth of None or 0 counts as not given.
"""

import math

from colletfea.cases.casefile.limits import down, over, under, up
from colletfea.cases.casefile.schema import Faults, Rule, Values

PATTERN, COUNT, WIDTH, DEPTH = (f"sleeve.slits.{name}" for name in ("pattern", "count", "width", "depth"))
CUTS, STIFFNESS = "sleeve.slits.cuts_flange", "sleeve.slits.hoop_stiffness"

COUNTS = {
    "through": (1, 2, "1 or 2; three or more through slits leave loose segments"),
    "fingers": (3, math.inf, "3 or more fingers"),
    "alternating": (2, math.inf, "2 or more slits from each end"),
}


def unslit(v: Values) -> Faults:
    """Without a pattern nothing more is said about slits."""
    if v[PATTERN] == "none":
        for key in (COUNT, WIDTH, DEPTH, CUTS, STIFFNESS):
            if v[key]:
                yield key, 'must be left out where sleeve.slits.pattern = "none"'


def slit_count(v: Values) -> Faults:
    """Each pattern has its own range of counts."""
    if v[PATTERN] in COUNTS:
        least, most, words = COUNTS[v[PATTERN]]
        if not v[COUNT]:
            yield COUNT, f"missing; must be {words}"
        elif not least <= v[COUNT] <= most:
            yield COUNT, f"must be {words}"


def slit_width(v: Values) -> Faults:
    """Slits have a width, and together leave half the bore's circumference."""
    if v[PATTERN] == "none":
        return
    if not v[WIDTH]:
        yield WIDTH, "missing; must be above 0 mm"
        return
    cuts = (v[COUNT] or 1) * (2 if v[PATTERN] == "alternating" else 1)
    most = math.pi * (v["shaft.diameter"] + v["sleeve.clearance"]) / 2 / cuts
    if over(v[WIDTH], most):
        yield WIDTH, f"must be at most {down(most)} mm, for the slits to leave half the bore's circumference"


def slit_depth(v: Values) -> Faults:
    """A through slit has no depth of its own; the others stay inside the sleeve, alternating ones overlap."""
    if v[PATTERN] == "through" and v[DEPTH]:
        yield DEPTH, 'must be left out where sleeve.slits.pattern = "through"'
    if v[PATTERN] in ("fingers", "alternating"):
        length, most = v["sleeve.length"], v["sleeve.length"] - 2 * v["sleeve.nose_radius"]
        if not v[DEPTH]:
            yield DEPTH, "missing; must be above 0 mm and below sleeve.length"
        elif v[DEPTH] >= length:
            yield DEPTH, f"must be below sleeve.length = {length:.12g} mm"
        elif v[PATTERN] == "alternating" and v["sleeve.nose_radius"] and not under(v[DEPTH], most):
            yield DEPTH, f"must be below {down(most)} mm, for a slot from the back to end before the rounded nose"
        elif v[PATTERN] == "alternating" and not over(v[DEPTH], length / 2):
            yield DEPTH, f"must be above {up(length / 2)} mm, half of sleeve.length, for the slits to overlap"


def finger_shape(v: Values) -> Faults:
    """Fingers are long enough to bend: slots relieve hoop stress only beyond a tenth of a finger's width."""
    if v[PATTERN] == "fingers" and (v[COUNT] or 0) >= COUNTS["fingers"][0] and v[WIDTH] and v[DEPTH]:
        radius = (v["shaft.diameter"] + v["sleeve.clearance"] + v["sleeve.nose_wall"]) / 2
        least = (2 * math.pi * radius / v[COUNT] - v[WIDTH]) / 4 + 2 * v["sleeve.nose_radius"]
        if under(v[DEPTH], least):
            reason = "a quarter of a finger's width and the rounded nose"
            yield DEPTH, f"must be at least {up(least)} mm, {reason}"


def flange_cut(v: Values) -> Faults:
    """Only a through slit can cut the flange."""
    if v[PATTERN] in ("fingers", "alternating") and v[CUTS]:
        yield CUTS, 'must be false or left out unless sleeve.slits.pattern = "through"'


SLIT_CHECKS: tuple[Rule, ...] = (unslit, slit_count, slit_width, slit_depth, finger_shape, flange_cut)
