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


def test_jacking_screws_that_are_too_weak_fail_alone():
    """At half the taper the ring must be pushed off by more than three M4 bear; the clamp screws bear what is asked of them."""
    found = judged(sleeve__taper=2.5)
    assert found["jacking"]["ok"] is False and found["screws"]["ok"] is True and found["screws"]["margin"] > 1.3
