"""The ring's way to the flange: what it must be enough for, by the run, by hand, and in the advice."""

import pytest
from helpers.push import FLANGE, case_of, run
from pytest import approx

from colletfea.cases.stored import names
from colletfea.cases.hand.calculation import hand
from colletfea.cases.judgement.verdicts import judge

BAND = {"friction__bore": [0.08, 0.12, 0.15]}
DRIVEN = {"drop": ("push",), "duty": {"torque": 40}, **FLANGE}


def verdicts(found, fit=None):
    return {v.name: v.to_dict() for v in judge(found.case, found.hand, fit, found.push)}


class Fit:
    tightest, middle, loosest = 0.01, 0.03, 0.06


@pytest.fixture(scope="module")
def low():
    """Travel that the duty takes where the bore's friction is the low end itself."""
    return run(**DRIVEN, ring__start=2, friction__bore=0.08).travel


def test_way_must_do_for_the_low_end_of_bore_friction(low):
    """By hand from the travel at nominal friction: within 0.002 mm of a run at the low one (measured 0.0003)."""
    found = run(**DRIVEN, ring__start=2, **BAND)
    way = verdicts(found)["bottoming"]
    assert way["ok"] and way["value"] == approx(low, abs=0.002) and way["value"] > found.travel + 0.01
    assert "0.08, the low end" in way["because"]


def test_duty_reached_at_nominal_friction_alone_is_a_ring_that_bottoms(low):
    start = (low + run(**DRIVEN, ring__start=2, **BAND).travel) / 2
    found = run(**DRIVEN, ring__start=start, **BAND)
    assert found.reason == "duty"
    way = verdicts(found)["bottoming"]
    assert way["ok"] is False and "give ring.start more" in way["because"]


def test_push_that_holds_at_the_low_end_needs_no_longer_way():
    found = run(**{**DRIVEN, "drop": ("push.travel",)}, ring__start=2, push__force=2e4, **BAND)
    said = verdicts(found)
    assert said["slip"]["ok"] and found.push.landed(names.DUTY).t < said["bottoming"]["value"] <= found.travel


def test_end_of_a_push_that_just_holds_at_the_low_end_is_way_enough(monkeypatch):
    """Where the line through touch and duty would ask for more, as it does of fingers."""
    monkeypatch.setattr("colletfea.cases.judgement.way.push_ratio_at_low_bore_friction", lambda case, hand: 100.0)
    found = run(**{**DRIVEN, "drop": ("push.travel",)}, ring__start=2, push__force=2e4, **BAND)
    way = verdicts(found)["bottoming"]
    assert way["ok"] and way["value"] == found.travel and "at most where this push ended" in way["because"]


def test_loosest_fit_takes_its_closing_more():
    """Half the further clearance over tan(taper), times what the ring widens by hand."""
    found = run(**DRIVEN, ring__start=2, **BAND)
    said = verdicts(found, Fit)
    more = said["bottoming_loosest"]["value"] - said["bottoming"]["value"]
    clearances = run(**DRIVEN, ring__start=2, **BAND, sleeve__clearance=Fit.loosest)
    assert more == approx(clearances.travel - found.travel, rel=0.05)
    left = float(said["bottoming_loosest"]["because"].rsplit("left, ")[1].split(" at the tightest")[0])
    share = (Fit.middle - Fit.tightest) / (Fit.loosest - Fit.middle)
    assert left == approx(2 - said["bottoming"]["value"] + share * more, abs=0.01)
    short = verdicts(run(**DRIVEN, ring__start=found.travel + 0.02), Fit)["bottoming_loosest"]
    assert short["ok"] is False and "60 µm" in short["because"]


def test_hand_says_where_the_ring_would_meet_the_flange_first():
    for start, said in ((0.05, True), (2.0, False)):
        notes = hand(case_of(**DRIVEN, ring__start=start))["notes"]
        words = [n["because"] for n in notes if n["key"] == "refined.clamp_travel_mm"]
        assert any("to the flange" in because for because in words) == said


def test_flange_is_met_where_nothing_is_left_of_the_way(low):
    found = run(**DRIVEN, ring__start=0.9 * low, friction__bore=0.08)
    assert found.reason == names.MET and verdicts(found)["bottoming"]["ok"] is False
