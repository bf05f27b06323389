"""What the tool must decide in named cases: values found beside it, with separate pushes at a corner's own numbers or by formulas.

1 % is meant where nothing else stands. "Force needed" is clamp.needed_N.
"""

import re
from functools import cache
from pathlib import Path

import pytest
from helpers.margins import faults
from helpers.push import coarsest, example_solved

from colletfea.cases.casefile.case import Case
from colletfea.cases.report import decision
from colletfea.cases.run import solve

README = Path(__file__).parents[2] / "README.md"
STEEL = {"young": 210000, "poisson": 0.3}
HUB = {
    "shaft": {"diameter": 22},
    "sleeve": {"length": 26, "nose_wall": 2.2, "taper": 5, "fit": "H8/h7"},
    "ring": {"length": 24, "outer_diameter": 56, "start": 3, "material": {**STEEL, "yield": 900}},
    "friction": {"cone": 0.10, "bore": 0.12},
    "duty": {"torque": 60},
}
HOLLOW = {
    "shaft": {"diameter": 20, "bore": 14, "material": {**STEEL, "yield": 235}},
    "sleeve": {"length": 40, "nose_wall": 4, "taper": 4, "clearance": 0.02, "slits": {"pattern": "through", "count": 1, "width": 1.5}},
    "ring": {"length": 36, "outer_diameter": 46, "start": 4},
    "friction": {"cone": 0.1, "bore": 0.2},
    "duty": {"torque": 100},
}
ON_RING = {
    "shaft": {"diameter": 14},
    "sleeve": {"length": 12, "nose_wall": 1.4, "taper": 3, "clearance": 0.02, "slits": {"pattern": "through", "count": 1, "width": 1}},
    "ring": {"length": 12, "outer_diameter": 30, "start": 1.5},
    "friction": {"cone": [0.05, 0.08, 0.12], "bore": 0.25},
    "duty": {"torque": 7, "carried_by": "ring"},
    "push": {"force": 4000},
}
CASES = {"closed": HUB, "hollow": HOLLOW, "on ring": ON_RING}


@cache
def summary(name, **changes):
    """On the coarsest mesh, unless mesh__size is given, which is within the 1 % but for some stresses; the bundled main example as it is bundled on the default one."""
    if name not in CASES and not changes:
        return example_solved(name, "default" if name == "sprocket_hub" else "quick").summary
    case = Case.from_tables(CASES[name], name) if name in CASES else Case.example(name)
    if changes:
        case = case.changed({key.replace("__", "."): value for key, value in changes.items()})
    return solve(case if "mesh__size" in changes else coarsest(case), "quick").summary


def verdict(found, name):
    return next(v for v in found["verdicts"] if v["name"] == name)


def corner(found, name):
    return next(c for c in found["corners"] if c["name"] == name)


def test_a_closed_sleeve_is_pushed_until_its_loosest_fit_carries_and_then_yields():
    """Force needed 65.07 kN at 0.560 mm of travel; sleeve not ok. 41.2 kN, the middle fit's, grip nothing at the loosest."""
    found = summary("closed")
    grip = corner(found, "grip")
    assert found["clamp"]["needed_N"] == pytest.approx(65070, rel=1e-2) and grip["travel_mm"] == pytest.approx(0.560, rel=1e-2)
    sleeve = verdict(found, "yield_sleeve")
    assert sleeve["ok"] is False and sleeve["corner"] == "loose"
    assert decision.standing(found) is False
    assert "slit the sleeve (sleeve.slits.pattern), or a tighter sleeve.fit" in " ".join(decision.sentences(found))
    given = summary("closed", push__force=41230.0, mesh__size=0.8)
    assert corner(given, "grip")["usable_torque_Nm"] == 0.0 and verdict(given, "slip")["ok"] is False
    assert corner(given, "grip")["von_mises_MPa"]["sleeve"] == pytest.approx(485, rel=1e-2)


def test_the_loosest_fit_alone_is_not_closed_by_the_force_of_the_middle_one():
    """41.23 kN grip 0 of 90 N·m, sleeve 485 MPa there; it takes 65.07 kN, as it does as the loosest corner of the fit."""
    found = summary("closed", sleeve__clearance=0.054, push__force=41232.2, mesh__size=0.8)
    pushed, said = corner(found, "nominal"), decision.sentences(found)
    assert pushed["usable_torque_Nm"] == 0.0 and pushed["von_mises_MPa"]["sleeve"] == pytest.approx(485, rel=1e-2)
    assert found["clamp"]["needed_N"] == pytest.approx(65070, rel=1e-2) and decision.standing(found) is False
    assert "the bore carries 0 of 90.00 N·m" in said[0] and "slit the sleeve (sleeve.slits.pattern), or less sleeve.clearance" in said[1]


def test_a_band_of_cone_friction_decides_the_same_whether_the_force_is_found_or_given():
    """Main example, bore friction single: 17.91 kN needed at the loosest fit; the nominal push's 14.24 kN given do not hold."""
    free, given = (summary("sprocket_hub", friction__bore=0.12, push__force=force) for force in (None, 14243.86))
    assert free["clamp"]["needed_N"] == pytest.approx(17910, rel=1e-2)
    assert given["clamp"]["needed_N"] == pytest.approx(free["clamp"]["needed_N"], rel=1e-3)
    assert verdict(free, "slip")["ok"] is True and verdict(given, "slip")["ok"] is False


def test_the_torque_that_a_hollow_shaft_carries_is_in_its_yield_verdict():
    """Torsion 125.7 MPa at the surface: sqrt(3) times that against 196 MPa at the mouth alone; contact stress adds."""
    shaft = verdict(summary("hollow"), "yield_shaft")
    assert shaft["ok"] is False and shaft["margin"] < 0.90 and shaft["value"] > 3**0.5 * 125.66
    assert shaft["corner"] == "tight"


def test_a_cone_that_carries_is_judged_pulled_at_high_and_carrying_at_low_friction():
    """10.08 of 10.5 N·m: margin 0.96; force needed 4.18 kN."""
    found = summary("on ring")
    cone = verdict(found, "cone_slip")
    assert cone["ok"] is False and cone["value"] == pytest.approx(10.08, rel=1e-3) and cone["margin"] == pytest.approx(0.96, abs=5e-3)
    assert found["clamp"]["needed_N"] == pytest.approx(4180, rel=1e-2)
    assert "the cone carries 10.08 of 10.50 N·m (worst friction): pull with" in decision.answer(found)


@pytest.mark.slow
def test_the_main_example_holds_in_every_verdict():
    """Force needed 22.97 kN (0.1 %), travel 0.446 mm there; 23.0 to 36.8 kN; in a ring of C45+QT 418 of 358 MPa."""
    found = summary("sprocket_hub")
    grip = corner(found, "grip")
    assert found["clamp"]["needed_N"] == pytest.approx(22970, rel=1e-3)
    assert found["clamp"]["least_N"] == 23000 and found["clamp"]["greatest_N"] == pytest.approx(36800)
    assert grip["travel_mm"] == pytest.approx(0.446, abs=2e-3) and grip["clearance_mm"] == 0.054
    assert [v["name"] for v in found["verdicts"] if v["ok"] is not True] == []
    screws = found["screws"]
    assert screws["preload_least_N"] == pytest.approx(23000 / 6) and screws["preload_greatest_N"] == pytest.approx(36800 / 6)
    assert screws["fits"] and screws["utilisation"] < 1
    soft = corner(found, "tight")["von_mises_MPa"]["ring"]
    assert soft == pytest.approx(418, rel=1e-2) and soft > 430 / 1.2


@pytest.mark.slow
@pytest.mark.parametrize("name, needed, travel", [("closed_hub", 57300, 0.447), ("spindle", 8720, 0.218)])
def test_bundled_examples_find_the_force_they_need(name, needed, travel):
    found = summary(name)
    assert found["clamp"]["needed_N"] == pytest.approx(needed, rel=1e-2)
    assert corner(found, "grip")["travel_mm"] == pytest.approx(travel, rel=1e-2)
    holds = all(v["ok"] for v in found["verdicts"])
    assert holds if name == "spindle" else not holds


@pytest.mark.slow
def test_the_readme_s_printed_numbers_are_those_of_the_main_example():
    """The README's figures of the bundled example, to the digits printed."""
    found, readme = summary("sprocket_hub"), README.read_text(encoding="utf-8")
    duty, told = found["simulation"]["at_duty"], dict(re.findall(r"^\| (.+?) \| (.*) \|$", readme, re.M))
    by_hand = f"(hand, refined: {found['hand']['refined']['clamp_force_N'] / 1e3:.2f} kN)"
    assert told["clamp force at the duty, nominal fit and friction"] == f"{duty['push_force_N'] / 1e3:.2f} kN {by_hand}"
    clamp = [f"{found['clamp'][name] / 1e3:.2f}" for name in ("needed_N", "least_N", "greatest_N")]
    assert told["clamp force needed in the worst corner; least, greatest"] == "{} kN; {} kN, {} kN".format(*clamp)
    travels = f"{found['simulation']['at_touch']['travel_mm']:.3f} mm, {duty['travel_mm']:.3f} mm"
    assert told["ring travel at first touch, at the duty"] == travels
    assert told["torque capacity at the duty, nominal friction"] == f"{duty['bore']['torque_capacity_Nm']:.0f} N·m"
    assert told["mean pressure on the bore at the duty"] == f"{duty['bore']['mean_pressure_MPa']:.1f} MPa"
    slip = next(v for v in found["verdicts"] if v["name"] == "slip")
    holds = f"yes: {slip['value']:.1f} N·m of {slip['limit']:.0f} N·m, loosest fit, pulled with high friction, carrying with low"
    assert slip["ok"] and slip["corner"] == "grip" and told["does it hold in the worst corner"] == holds


@pytest.mark.slow
@pytest.mark.parametrize("name", ["sprocket_hub", "closed_hub", "spindle", "stainless_fingers"])
def test_no_margin_of_a_bundled_example_contradicts_its_word(name):
    """The bronze sleeve: test_run.py."""
    verdicts = summary(name)["verdicts"]
    assert verdicts and not faults(verdicts)


@pytest.mark.slow
def test_a_given_travel_is_judged_at_every_clearance_of_the_fit():
    """Main example at 0.36 mm: pushes 50.3, 29.0, 7.8 kN at nominal friction (separate runs); low-friction capacities 259, 144, 28."""
    found = summary("sprocket_hub", push__travel=0.36)
    capacity = {c["name"]: c["bore"]["normal_force_N"] * 0.09 * 11 / 1e3 for c in found["corners"]}
    assert capacity["nominal"] == pytest.approx(144, rel=2e-2) and capacity["grip"] == pytest.approx(28, rel=3e-2)
    assert capacity["tight"] == pytest.approx(259, rel=2e-2)
    assert corner(found, "nominal")["push_force_N"] == pytest.approx(29000, rel=1e-2)
    slip = verdict(found, "slip")
    assert slip["ok"] is False and slip["corner"] == "grip"
    assert found["clamp"]["least_N"] < 7800 and found["clamp"]["greatest_N"] > 50300


def test_screws_that_are_too_weak_are_in_the_first_sentence_with_what_would_do():
    found = summary("sprocket_hub", push__force=21660.0, screws__count=3, screws__size="M3", screws__property_class="8.8")
    screws = verdict(found, "screws")
    assert screws["ok"] is False and screws["margin"] < 1 and "What would do" in screws["because"]
    assert "screws" in decision.answer(found)


def test_the_force_needed_is_shown_where_something_else_fails_as_well():
    found = summary("closed")
    said = " ".join(decision.sentences(found))
    assert "65.07 kN" in said or "65.1 kN" in said
