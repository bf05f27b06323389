"""Verdicts on screws: each failed one shows the two numbers that fail, by hand on the bundled main example."""

import pytest

from colletfea.cases.casefile.case import Case
from colletfea.cases.public import by_hand


def judged(**changes):
    case = Case.example("sprocket_hub").changed({key.replace("__", "."): value for key, value in changes.items()})
    return {v["name"]: v for v in by_hand(case)["verdicts"]}


SOFT_RING = {"young": 206000, "poisson": 0.3, "yield": 100}


@pytest.mark.parametrize(
    "name, changes, unit, words",
    [
        ("screw_room", {"ring__outer_diameter": 92}, "mm", "diameter of the circle that the screws stand on, against the nearest one with room"),
        ("screw_room", {"ring__length": 44}, "mm", "diameter of the circle that the screws stand on, against the nearest one with room"),
        ("screw_room", {"screws__count": 12}, "mm", "outside diameter of the ring"),
        ("screws", {"friction__bore": 0.05}, "", "stress while tightening"),
        ("screws", {"sleeve__flange_thickness": 1.5}, "mm", "depth of thread"),
        ("screws", {"screws__settling": 300}, "N", "least preload of all after settling"),
        ("screws", {"ring__material": SOFT_RING}, "MPa", "pressure under the heads"),
    ],
)
def test_a_failed_verdict_shows_what_fails(name, changes, unit, words):
    found = judged(**changes)[name]
    assert found["ok"] is False and found["margin"] < 0.999 and found["unit"] == unit and words in found["because"]
    ratio = found["value"] / found["limit"]
    assert found["margin"] == pytest.approx(min(ratio, 1 / ratio if ratio else 1), rel=1e-9)


def test_the_circle_is_held_against_the_nearest_one_with_room():
    """The flange is 52 mm across: a web of 1 mm beside an M4 leaves 52 - 2 - 4 = 46 mm. A ring of 92 mm has its middle at 60 mm."""
    found = judged(ring__outer_diameter=92)["screw_room"]
    assert found["limit"] == pytest.approx(46) and found["value"] == pytest.approx(60.26, abs=0.01)


def example(**changes):
    return by_hand(Case.example("sprocket_hub").changed({key.replace("__", "."): value for key, value in changes.items()}))


def sets(found):
    return [(e["count"], e["size"], e["property_class"], pytest.approx(e["tightening_torque_Nm"])) for e in found]


@pytest.mark.parametrize("asked", [{"push__force": 5000}, {"push__travel": 0.3}])
def test_a_set_that_would_do_brings_the_force_needed_where_less_is_asked_for(asked):
    """As much as where nothing is asked for: 22.7 kN at least."""
    free, less = example(screws=None), example(screws=None, **asked)
    assert free["clamp"]["least_N"] == 22700 > less["clamp"]["least_N"] and less["clamp"]["greatest_N"] < 36320
    assert sets([less["screws_proposed"]]) == sets([free["screws_proposed"]])


@pytest.mark.parametrize("asked", [{"push__force": 5000}, {"screws__torque": 1}])
def test_other_sets_for_a_case_with_screws_bring_it_too(asked):
    free, less = example(), example(**asked)
    assert sets(less["screws"]["smallest"]) == sets(free["screws"]["smallest"]) != []


def test_no_set_would_do_where_no_pull_carries_the_duty():
    """The ring meets the flange first. 9 to 14.4 kN are more than three M3 bear: they fail, and none is named instead."""
    short = {"ring__start": 0.2, "push__force": 9000}
    assert example(screws=None, **short)["clamp"]["needed_N"] is None and example(screws=None, **short)["screws_proposed"] is None
    found = example(**short, screws__count=3, screws__size="M3")
    because = next(v for v in found["verdicts"] if v["name"] == "screws")["because"]
    assert found["screws"]["smallest"] == [] and "each screw gets up to 4800 N" in because
    assert "would do" not in because and "No size" not in because


ON_RING = {"duty__torque": 30, "duty__carried_by": "ring", "friction__cone": [0.05, 0.07, 0.09], "screws__settling": 52, "screws__property_class": "12.9"}


@pytest.mark.parametrize("cone", [[0.05, 0.07, 0.09], [0.09, 0.1, 0.11]])
def test_screws_that_settle_must_still_hold_the_ring_against_a_thrust_that_draws_it_off(cone):
    """The limit is what the ring needs without a thrust (of as large a clamp force) and 1.5 times 6000 N; one that presses it on asks nothing."""
    low, kept = cone[0], ON_RING | {"friction__cone": cone, "push__force": 26000}
    found, pressed = judged(**kept, duty__thrust=6000)["screws"], judged(**kept, duty__thrust=-6000)["screws"]
    tan = 0.0874887
    off = 26000 * max(tan - low, 0) / (tan + low)
    assert found["ok"] is False and found["limit"] == pytest.approx(off + 9000, rel=1e-5) and "the thrust in it" in found["because"]
    assert found["value"] > off
    on_sleeve = judged(**{**kept, "duty__carried_by": "sleeve"}, duty__thrust=6000)["screws"]
    assert on_sleeve["ok"] is pressed["ok"] is True


def test_jacking_screws_that_are_too_weak_fail_alone():
    """At half the taper the ring must be pushed off by more than three M4 bear; the clamp screws bear what is asked of them."""
    found = judged(sleeve__taper=2.5)
    assert found["jacking"]["ok"] is False and found["screws"]["ok"] is True and found["screws"]["margin"] > 1.3
