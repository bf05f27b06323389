"""The ring's way to the flange: what it must be enough for, in each corner of fit and friction, and by hand."""

from dataclasses import replace

import pytest
from helpers.push import FLANGE, case_of, run, verdicts
from pytest import approx

from colletfea.cases.stored import names
from colletfea.cases.hand.calculation import hand
from colletfea.cases.hand.corners import NOMINAL, Reached, Seat, table
from colletfea.cases.judgement.way import bottoming, slots

# H8/h7 at 20 mm: clearances of 0, 27 and 54 micrometres on diameter (ISO 286)
CORNERS = {"sleeve__fit": "H8/h7", "drop": ("push.travel", "sleeve.clearance"), "friction__cone": [0.06, 0.08, 0.10],
           "friction__bore": [0.09, 0.12, 0.15], "duty": {"torque": 40}, **FLANGE}  # fmt: skip
FORCE = 26_000.0


def in_corner(corner, start=2.0, **changes):
    return run(corner=corner, **{**CORNERS, "push__force": FORCE, "ring__start": start, **changes})


def alone(clearance, cone, bore):
    """The same push as a case of its own, with single values in place of fit and bands."""
    own = {"drop": ("push.travel",), "duty": {"torque": 40}, **FLANGE, "push__force": FORCE, "ring__start": 2.0}
    return run(sleeve__clearance=clearance, friction__cone=cone, friction__bore=bore, **own)


@pytest.mark.parametrize("corner, clearance, cone, bore", [
    ("nominal", 0.027, 0.08, 0.12), ("grip", 0.054, 0.10, 0.15), ("tight", 0.0, 0.06, 0.09), ("loose", 0.054, 0.06, 0.09),
])  # fmt: skip
def test_travel_of_a_corner_is_that_of_a_case_with_its_fit_and_friction(corner, clearance, cone, bore):
    """Against a case of its own: 1e-4, by the increments alone."""
    way, other = verdicts(in_corner(corner))["bottoming"], alone(clearance, cone, bore)
    assert way.value == approx(other.travel, rel=1e-4) and way.corner == corner
    assert way.limit == 2 and way.margin == approx(2 / other.travel, rel=1e-4) and way.ok
    assert f"{2 - other.travel:.3g} mm are left" in way.because and f"clearance {1e3 * clearance:.3g} µm" in way.because


def test_loosest_fit_at_low_friction_needs_the_longest_way():
    """A loose sleeve closes further, and a slippery cone goes further at the same pull."""
    found = {corner: in_corner(corner) for corner in ("nominal", "grip", "tight", "loose")}
    assert max(found, key=lambda corner: found[corner].travel) == "loose"
    assert verdicts(*found.values())["bottoming"] == verdicts(found["loose"])["bottoming"]


def test_half_the_further_clearance_over_the_slope_is_what_a_loose_fit_takes_more():
    """0.0135 mm over tan(4 deg) is 0.193 mm, and what the ring widens: 10 %."""
    more = alone(0.054, 0.08, 0.12).travel - alone(0.027, 0.08, 0.12).travel
    assert more == approx(0.0135 / 0.069927, rel=0.1)


def test_tolerance_of_the_start_is_taken_off_the_way():
    loose = in_corner("loose")
    way = verdicts(in_corner("loose", ring__start_tolerance=0.4))["bottoming"]
    assert way.value == loose.travel and way.limit == approx(1.6) and "0.4 mm taken off" in way.because
    short = verdicts(in_corner("loose", ring__start_tolerance=2 - 0.99 * loose.travel))["bottoming"]
    assert short.ok is False and short.margin == approx(0.99, rel=1e-6) and "give ring.start more" in short.because


@pytest.mark.parametrize("torque, enough", [(5, True), (80, False)])
def test_a_ring_that_meets_the_flange_is_judged_by_what_it_grips_at_low_friction(torque, enough):
    """What is pulled further stands on the flange: 0.09 N over 1.5 T/10 mm is the share of the duty that is carried."""
    found = in_corner("loose", start=0.6, duty={"torque": torque})
    way = verdicts(found)["bottoming"]
    share = 0.09 * found.bore.normal_force / (1.5 * torque * 1e3 / 10)
    assert found.reason == names.MET and way.value == approx(0.6, rel=1e-3) and way.limit == 0.6
    assert way.ok is enough and (share >= 1) is enough and f"carries {share:.3g}" in way.because
    assert ("that is enough" in way.because) is enough and ("give ring.start more" in way.because) is not enough
    assert verdicts(found)["slip"].ok is True or not enough


def test_a_ring_that_meets_the_flange_within_its_tolerance_is_not_known_to_grip():
    way = verdicts(in_corner("loose", start=0.6, duty={"torque": 5}, ring__start_tolerance=0.1))["bottoming"]
    assert way.ok is False and "can be less by its tolerance" in way.because


def test_hand_says_where_the_ring_would_meet_the_flange_first():
    for start, said in ((0.05, True), (2.0, False)):
        notes = hand(case_of(drop=("push",), duty={"torque": 40}, **FLANGE, ring__start=start))["notes"]
        words = [n["because"] for n in notes if n["key"] == "refined.clamp_travel_mm"]
        assert any("to the flange" in because for because in words) == said


def test_open_slots_of_a_push_that_ended_early_are_not_judged():
    """The closing that is left to come is not known. A slit of 1 mm shuts at 1/(2 pi) = 0.159 mm."""
    case = case_of()
    nominal = next(corner for corner in table(case) if corner.name == NOMINAL)
    reached = Reached(nominal, 5000.0, 0.2, "travel", Seat(), Seat(), Seat(), {}, 0.014)
    assert slots(case, reached).ok
    found = slots(case, replace(reached, reason=names.INTERRUPTED))
    assert found.ok is None and found.value == 0.014 and found.because.startswith("not known: this push ended")
    assert slots(case, replace(reached, reason=names.SHUT, closing=0.16)).ok is False


def test_a_force_that_is_never_reached_before_the_end_of_the_seat_is_not_ok():
    """Without a flange nothing stops the ring: 0.05 of the sleeve's 20 mm stay under it. A travel that is asked for is no fault."""
    case = case_of(drop=("push.travel",), push__force=60e3)
    nominal = next(corner for corner in table(case) if corner.name == NOMINAL)
    reached = Reached(nominal, 32e3, 17.0, names.TRAVEL, Seat(1e5, 1e6), Seat(), Seat(), {}, 0.01)
    found = bottoming(case, reached, {})
    assert found.ok is False and found.limit == approx(2 + 16 - 1) and "the end of its seat at 32 kN" in found.because
    assert bottoming(case, replace(reached, reason=names.FORCE), {}) is None
    assert bottoming(case_of(push__travel=17.0), reached, {}) is None
