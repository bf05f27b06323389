"""Geometric sense between keys: for each rule a value just past its limit, and one just inside.

The limits are derived here from the drawing; the radii of the base case: bore 11.0135, cone at the back face
11.0135 + 2.2 + 26 tan 5 deg = 15.4882, at the ring's start 15.2257, at the nose 13.2135.
"""

import copy
import math
import re

import pytest

from colletfea.cases.casefile.faults import CaseError
from colletfea.cases.casefile.reading import read
from colletfea.cases.casefile.schema import ALL_KEYS
from colletfea.cases.casefile.text import shown
from colletfea.meshing.section import Section
from colletfea.meshing.section import faults as section_faults

TAN = math.tan(math.radians(5))
BORE = 22.027 / 2
END = BORE + 2.2 + TAN
ROOT, START = BORE + 2.2 + 26 * TAN, BORE + 2.2 + 23 * TAN

BASE = {
    "shaft": {"diameter": 22},
    "sleeve": {"length": 26, "nose_wall": 2.2, "taper": 5, "clearance": 0.027},
    "ring": {"length": 22, "outer_diameter": 46, "start": 3},
    "friction": {"cone": 0.1, "bore": 0.12},
    "push": {"travel": 0.4},
}
FLANGE = {"sleeve.flange_thickness": 6, "sleeve.flange_diameter": 52}
FIT = {"sleeve.clearance": None, "sleeve.fit": "H8/h7"}
THROUGH = {"sleeve.slits.pattern": "through", "sleeve.slits.count": 1, "sleeve.slits.width": 1.5}
FINGERS = {"sleeve.slits.pattern": "fingers", "sleeve.slits.count": 6, "sleeve.slits.width": 1, "sleeve.slits.depth": 18}
ALTERNATING = {**FINGERS, "sleeve.slits.pattern": "alternating", "sleeve.slits.count": 4}
DUTY = {"duty.torque": 60}
SCREWS = {"screws.count": 6}
NO_YIELD = {f"{part}.material": {"young": 2e5, "poisson": 0.3} for part in ("shaft", "sleeve", "ring")}
FINGER = math.pi * (22.027 + 2.2) / 6 - 1  # width of one of six fingers

# what else is set; the key; a value past its limit; one inside; what the sentence says
RULES = [
    ({}, "shaft.bore", 21.13, 21.11, "at most 21.12 mm, 0.96 of shaft.diameter"),
    ({}, "sleeve.clearance", 1.11, 1.09, "at most 1.1 mm, a twentieth of shaft.diameter"),
    ({}, "sleeve.nose_radius", 1.04, 1.03, "at most 1.03322 mm, for two corners to fit the nose"),
    (FLANGE, "sleeve.flange_thickness", 0.54, 0.56, "at least 0.55 mm, a quarter of sleeve.nose_wall"),
    (FLANGE, "sleeve.flange_diameter", 2.04 * ROOT - 0.01, 2.04 * ROOT + 0.01, "at least 31.596 mm, to stand out"),
    ({"sleeve.flange_diameter": 52}, "sleeve.flange_thickness", 0, 6, "must be above 0 where sleeve.flange_diameter"),
    ({"sleeve.flange_thickness": 6}, "sleeve.flange_diameter", 0, 52, "must be given where sleeve.flange_thickness is"),
    ({}, "ring.start", 24.8, 24.6, "at most 24.7 mm, or the ring misses the cone"),
    ({"push.travel": None, **DUTY}, "ring.start", -20.8, -20.6, "at least -20.7 mm, or the ring lies behind the back face"),
    ({"push.travel": None, **DUTY, **FLANGE}, "ring.start", 0, 0.1, "must be above 0: there is a flange"),
    ({}, "ring.taper", 7.1, 6.9, "within 2 deg of sleeve.taper = 5"),
    ({}, "ring.taper", 2.9, 3.1, "within 2 deg of sleeve.taper = 5"),
    ({}, "ring.outer_diameter", 2.04 * START - 0.01, 2.04 * START + 0.01, "at least 31.0606 mm; the ring's bore opens"),
    ({}, "ring.edge_radius", 0.3 * (23 - START) + 0.01, 0.3 * (23 - START) - 0.01, "at most 2.33227 mm, 0.3 of"),
    ({"ring.outer_diameter": 92}, "ring.edge_radius", 5.6, 5.4, "at most 5.5 mm, 0.3 of"),
    # a rounding takes cos 5 / tan 47.5 deg = 0.9129 of its radius off the cone: 2 mm of overlap are gone at 2.1909
    ({"ring.start": 24}, "ring.edge_radius", 2.195, 2.187, "below 2.19095 mm: where ring and sleeve overlap, 2 mm, no cone is left"),
    ({}, "ring.length", (START - 11) / TAN + 0.1, (START - 11) / TAN - 0.1, "and meets the shaft"),
    ({}, "push.travel", 23.8, 23.6, "at most 23.7 mm, or the ring leaves the cone at the back"),
    (FLANGE, "push.travel", 3.001, 3, "at most ring.start = 3 mm, where the ring meets the flange"),
    ({}, "push.force", 1000, None, "must not stand beside push.travel = 0.4"),
    ({"push": {}}, "push.travel", None, 0.4, "missing; without a [duty]"),
    (FIT, "sleeve.fit", "H8/k6", "H8/h7", "must be a fit that never overlaps; at its tightest it overlaps by 0.015 mm"),
    (FIT, "sleeve.fit", "H7/p6", "H7/h6", "must be a fit that never overlaps; shafts of j to z reach above the nominal size"),
    (FIT, "sleeve.fit", "H8/h12", "H9/f7", "a bore H7, H8, H9 and a shaft f7, g6, h6, h7, h8, h9;"),
    ({}, "sleeve.fit", "H8/h7", None, "must not stand beside sleeve.clearance = 0.027"),
    (DUTY, "friction.bore", 0, 0.01, "must be above 0, at its low end too, where there is a [duty]"),
    (DUTY, "friction.bore", [0, 0.1, 0.2], [0.01, 0.1, 0.2], "must be above 0, at its low end too"),
    ({**DUTY, "duty.carried_by": "ring"}, "friction.cone", 0, 0.01, 'must be above 0, at its low end too, where duty.carried_by'),
    ({**DUTY, "duty.carried_by": "ring"}, "friction.cone", [0, 0.1, 0.2], [0.01, 0.1, 0.2], "must be above 0, at its low end too"),
    ({"friction.bore": 0}, "after.twist", True, False, "must be false where friction.bore is 0"),
    ({}, "mesh.size", 0.021, 0.023, "from 0.022 mm, a hundredth of sleeve.nose_wall, to 2.2 mm"),
    ({}, "ring.start_tolerance", 6.6, 6.4, "at most 6.5 mm, a quarter of sleeve.length"),
    (FLANGE, "ring.start_tolerance", 3.1, 2.9, "at most 3 mm, ring.start, or the ring can lie in the flange"),
    ({"ring.start": 22}, "ring.start_tolerance", 2.8, 2.6, "at most 2.7 mm, or the ring can miss the cone"),
    ({"ring.start": -17, "push.travel": 1}, "ring.start_tolerance", 3.8, 3.6, "at most 3.7 mm, or the ring can lie behind the back face"),
    (DUTY, "duty.radial_at", 104.1, 103.9, "from -78 to 104 mm, within three lengths of the seat"),
    (DUTY, "duty.radial_at", -78.1, -77.9, "from -78 to 104 mm"),
    ({"duty.thrust": 0}, "duty.torque", 0, 1, "must be above 0 N·m, or duty.thrust at least 0.001 N"),
    (SCREWS, "screws.jacking", 7, 6, "at most screws.count = 6"),
    (SCREWS, "screws.circle", 2 * END - 0.01, 2 * END + 0.01, "above 26.602 mm, the ring's bore at its trailing face"),
    (SCREWS, "screws.circle", 46, 45.9, "below ring.outer_diameter = 46 mm"),
    ({**ALTERNATING, "sleeve.nose_radius": 0.5}, "sleeve.slits.depth", 25, 24.9, "below 25 mm, for a slot from the back to end"),
    ({}, "mesh.size", 2.3, 2.1, "to 2.2 mm"),
    (NO_YIELD, "solver.plastic", True, False, "must be false: no material has a yield stress"),
    (NO_YIELD, "solver.stop_at_yield", True, False, "must be false: no material has a yield stress"),
    ({}, "sleeve.slits.width", 1, 0, 'must be left out where sleeve.slits.pattern = "none"'),
    ({}, "sleeve.slits.count", 1, 0, 'must be left out where sleeve.slits.pattern = "none"'),
    ({}, "sleeve.slits.hoop_stiffness", 0.5, None, 'must be left out where sleeve.slits.pattern = "none"'),
    (THROUGH, "sleeve.slits.count", 3, 2, "must be 1 or 2; three or more through slits leave loose segments"),
    (THROUGH, "sleeve.slits.count", None, 1, "missing; must be 1 or 2"),
    (THROUGH, "sleeve.slits.width", None, 1, "missing; must be above 0 mm"),
    (THROUGH, "sleeve.slits.width", 0, 1, "missing; must be above 0 mm"),
    (THROUGH, "sleeve.slits.width", math.pi * BORE + 0.1, math.pi * BORE - 0.1, "leave half the bore's circumference"),
    (THROUGH, "sleeve.slits.depth", 20, None, 'must be left out where sleeve.slits.pattern = "through"'),
    (FINGERS, "sleeve.slits.count", 2, 3, "must be 3 or more fingers"),
    (FINGERS, "sleeve.slits.depth", 26, 25.9, "must be below sleeve.length = 26 mm"),
    (FINGERS, "sleeve.slits.depth", None, 20, "missing; must be above 0 mm and below sleeve.length"),
    (FINGERS, "sleeve.slits.depth", FINGER / 4 - 0.01, FINGER / 4 + 0.01, "a quarter of a finger's width"),
    (FINGERS, "sleeve.slits.width", math.pi * BORE / 6 + 0.1, math.pi * BORE / 6 - 0.1, "at most 5.76665 mm"),
    (FINGERS, "sleeve.slits.cuts_flange", True, False, 'unless sleeve.slits.pattern = "through"'),
    (ALTERNATING, "sleeve.slits.count", 1, 2, "must be 2 or more slits from each end"),
    (ALTERNATING, "sleeve.slits.depth", 13, 13.1, "must be above 13 mm, half of sleeve.length, for the slits to overlap"),
    (ALTERNATING, "sleeve.slits.depth", 26, 25.9, "must be below sleeve.length = 26 mm"),
    (ALTERNATING, "sleeve.slits.width", math.pi * BORE / 8 + 0.1, math.pi * BORE / 8 - 0.1, "at most 4.32499 mm"),
    (ALTERNATING, "sleeve.slits.cuts_flange", True, False, 'unless sleeve.slits.pattern = "through"'),
]


def tables_with(settings):
    """The base case with dotted keys set; None takes a key or table out."""
    tables = copy.deepcopy(BASE)
    for path, value in settings.items():
        *outer, key = path.split(".")
        inner = tables
        for name in outer:
            inner = inner.setdefault(name, {})
        inner[key] = value
    return tables


@pytest.mark.parametrize(("others", "key", "past", "inside", "allowed"), RULES,
                         ids=[f"{key}={past}" for _, key, past, _, _ in RULES])
def test_a_rule_refuses_past_its_limit_and_accepts_inside(others, key, past, inside, allowed):
    with pytest.raises(CaseError) as refusal:
        read(tables_with({**others, key: past}), "case")
    assert len(refusal.value.faults) == 1
    assert refusal.value.faults[0].startswith((f"{key} = {shown(past)}: ", f"{key}: "))
    assert allowed in refusal.value.faults[0]
    read(tables_with({**others, key: inside}), "case")


STATED = re.compile(r"(at most|at least|above|below|from|to) (?:[a-z_.]+ = )?(-?\d+(?:\.\d+)?(?:e-?\d+)?)")
LENGTHS = {key for key, entry in ALL_KEYS.items() if getattr(entry.kind, "unit", "") == "mm"}
LIMITS = [(others, key, past) for others, key, past, _, said in RULES if key in LENGTHS and past and STATED.search(said)]


def scaled(settings, factor):
    """Settings with their lengths so many times as large."""
    return {key: factor * value if value and key in LENGTHS else value for key, value in settings.items()}


@pytest.mark.parametrize("factor", [1, 1.0073921768, 1 / 3])
@pytest.mark.parametrize(("others", "key", "past"), LIMITS, ids=[f"{key}={past}" for _, key, past in LIMITS])
def test_a_limit_that_is_stated_is_allowed(others, key, past, factor):
    """Whatever digits the limit has, and however its arithmetic is rounded: 2.2 / 100 is above 0.022."""
    base = {f"{table}.{name}": value for table, values in BASE.items() for name, value in values.items()}
    settings = scaled({**base, **others}, factor)
    with pytest.raises(CaseError) as refusal:
        read(tables_with({**settings, key: factor * past}), "case")
    sentence = refusal.value.faults[0].partition("must be ")[2]
    stated = [(word, float(number)) for word, number in STATED.findall(sentence) if word != "to" or "from" in sentence]
    inward = {"above": 1e-9, "below": -1e-9}
    assert stated
    for word, limit in stated:
        read(tables_with({**settings, key: limit * (1 + inward.get(word, 0))}), "case")


def test_a_taper_that_differs_by_what_is_allowed_is_allowed():
    """8.3 - 6.3 is above 2 in binary numbers."""
    read(tables_with({"sleeve.taper": 6.3, "ring.taper": 8.3}), "case")


def test_a_wider_taper_of_the_ring_touches_at_the_nose_side():
    """Ring bore at its leading face: the cone at the ring's trailing face, z = 25, widened by 22 mm of 6 deg."""
    wide = BORE + 2.2 + TAN + 22 * math.tan(math.radians(6))
    for diameter, fine in ((2.04 * wide - 0.01, False), (2.04 * wide + 0.01, True)):
        tables = tables_with({"ring.taper": 6, "ring.outer_diameter": diameter})
        if fine:
            read(tables, "case")
        else:
            with pytest.raises(CaseError, match="ring.outer_diameter"):
                read(tables, "case")


def test_a_ring_may_run_past_the_back_face_where_there_is_no_flange():
    past = {"ring.start": -2, "push.travel": 5}
    assert read(tables_with(past), "case")["ring.start"] == -2
    with pytest.raises(CaseError, match=r"ring\.start"):
        read(tables_with({**past, **FLANGE}), "case")


def test_a_value_with_a_fault_of_its_own_gives_no_second_fault():
    with pytest.raises(CaseError) as refusal:
        read(tables_with({"shaft.diameter": -22, "sleeve.taper": "wide"}), "case")
    assert [fault.split(" = ")[0] for fault in refusal.value.faults] == ["shaft.diameter", "sleeve.taper"]


def test_a_fit_needs_a_shaft_inside_the_tables():
    with pytest.raises(CaseError, match=r"sleeve.fit = \"H8/h7\": .* from over 3 to 250 mm and the shaft has 251 mm"):
        read(tables_with({**FIT, "shaft.diameter": 251, "ring.outer_diameter": 400}), "case")


def test_a_ring_within_its_bore_is_told_of_itself_not_of_a_circle_that_nobody_wrote():
    with pytest.raises(CaseError) as refusal:
        read(tables_with({"ring.outer_diameter": 20, "screws.count": 6, **DUTY}), "case")
    assert [fault.split(" = ")[0] for fault in refusal.value.faults] == ["ring.outer_diameter"]


@pytest.mark.parametrize("start", [27, -25])
def test_a_ring_beside_the_cone_is_the_only_fault_told(start):
    with pytest.raises(CaseError, match="^ring.start = ") as refusal:
        read(tables_with({"ring.start": start, "push.travel": None, **DUTY}), "case")
    assert len(refusal.value.faults) == 1


DRAWN = [
    {}, FLANGE, {"ring.start": -2}, {"ring.taper": 6}, {"ring.taper": 4}, {"shaft.bore": 21.1},
    {"sleeve.nose_radius": 1.033}, {"ring.edge_radius": 2.3}, {"ring.start": 24.6}, {"ring.outer_diameter": 31.1},
    {"ring.taper": 6.9, "ring.edge_radius": 2}, {**FLANGE, "ring.taper": 6.9, "sleeve.flange_diameter": 34},
]


@pytest.mark.parametrize("settings", DRAWN, ids=str)
def test_a_case_that_is_accepted_can_be_drawn(settings):
    """The mesher has limits of its own; those here lie inside them."""
    v = read(tables_with(settings), "case")
    section = Section(
        v["shaft.diameter"] / 2, v["shaft.bore"] / 2, *v["shaft.beyond"],
        (v["shaft.diameter"] + v["sleeve.clearance"]) / 2, v["sleeve.nose_wall"], v["sleeve.length"],
        math.radians(v["sleeve.taper"]), v["sleeve.flange_thickness"], v["sleeve.flange_diameter"] / 2,
        v["sleeve.nose_radius"], v["ring.length"], v["ring.outer_diameter"] / 2, v["ring.start"],
        math.radians(v["ring.taper"]), v["ring.edge_radius"], v["push.travel"],
    )
    assert section_faults(section) == []
