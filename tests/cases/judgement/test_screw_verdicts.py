"""Verdicts on screws: each failed one shows the two numbers that fail, by hand on the bundled main example."""

import pytest
from helpers.push import FLANGE, case_of

from colletfea.cases.casefile.case import Case
from colletfea.cases.hand.corners import NOMINAL, Clamp, Reached, Seat, table
from colletfea.cases.judgement import screws
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


SIX_M6 = {**FLANGE, "screws": {"count": 6, "size": "M6", "torque": 9.5}, "duty": {"torque": 20}}


def test_a_travel_that_is_given_comes_before_a_torque():
    """A torque alone says what six M6 pull: 9.5 N m over the lever of friction 0.12 are 9416.5 N each, the least that over 1.6; beside a
    travel it says nothing, for the ring is pushed as far as that."""
    found = screws.given_clamp(case_of(("push",), **SIX_M6))
    assert (found.least, found.greatest, found.needed) == (pytest.approx(6 * 9416.5 / 1.6, abs=6), pytest.approx(6 * 9416.5, abs=6), None)
    assert screws.given_clamp(case_of(**SIX_M6)) is None


@pytest.mark.parametrize("travel, lost", [(0.35, 156.613), (2.5, 168.482)])
def test_screws_are_clamped_from_the_rings_back_to_the_flange(travel, lost):
    """16 mm of ring and 2 mm before the flange, less the travel: 17.65 mm, and 16 once the ring is there. M6: head and hole 0.73 6/28.2743,
    thread and free length (3 + 17.65)/17.8936 (core of 4.77313 mm), over 205 000 MPa: 6.38516e-6 mm/N (VDI 2230-1); 1 um over that."""
    case = case_of(**SIX_M6)
    nominal = next(corner for corner in table(case) if corner.name == NOMINAL)
    reached = Reached(nominal, 9000.0, travel, "travel", Seat(), Seat(), Seat(), {}, 0.0)
    found = screws.block(case, Clamp(None, 9000.0, 14_400.0, 1.6, ""), [reached])
    assert found["preload_lost_per_um_N"] == pytest.approx(lost, rel=1e-5)
