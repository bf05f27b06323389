"""Decisions by formulas alone: where no pull carries the duty, because the ring meets the flange or leaves the cone before."""

import pytest
from helpers.push import case_of
from pytest import approx

from colletfea.cases.casefile.case import Case
from colletfea.cases.report import key_numbers, screw_lines
from colletfea.cases.report.decision import sentences, standing
from colletfea.cases.stored.names import MET, SHUT, TRAVEL
from colletfea.cases.summary import by_hand

#: a sleeve of 12 mm under a ring of 5 mm that is soft: a push that carries would draw it past the sleeve
SOFT = {
    "sleeve": {"length": 12, "nose_wall": 1.5, "taper": 2, "clearance": 0.15, "slits": {"pattern": "through", "count": 1, "width": 1.2}},
    "ring": {"length": 5, "outer_diameter": 30, "start": 1, "material": {"young": 3000, "poisson": 0.4, "yield": 60}},
    "duty": {"torque": 12}, "drop": ("push",),
}
FLANGED = {"sleeve__flange_thickness": 4, "sleeve__flange_diameter": 40, "ring__start": 0.35, "duty": {"torque": 60}, "drop": ("push",)}


def decided(**keys):
    found = by_hand(case_of(**keys))
    return found, {v["name"]: v for v in found["verdicts"]}


@pytest.mark.parametrize("friction", [0.12, [0.10, 0.12, 0.14]], ids=["one friction", "a band"])
def test_no_ring_travels_past_the_cone(friction):
    """1 + 5 - 0.05 x 12 = 5.4 mm, as far as the simulation pushes; the least force is what is reached there."""
    found, verdicts = decided(**SOFT, friction__bore=friction)
    grip = found["corners"][0 if friction == 0.12 else 1]
    assert found["clamp"]["needed_N"] is None and found["clamp"]["least_N"] == grip["push_force_N"] > 0
    assert found["clamp"]["greatest_N"] == approx(1.6 * grip["push_force_N"])
    assert (grip["travel_mm"], grip["stop_reason"]) == (approx(5.4), TRAVEL)
    assert max(one["travel_mm"] for one in found["corners"]) <= 5.4 * (1 + 1e-12)
    assert verdicts["slip"]["ok"] is False and verdicts["slip"]["value"] == approx(grip["usable_torque_Nm"]) and verdicts["slip"]["margin"] < 0.2


def test_a_force_that_is_given_goes_no_further_either():
    found, verdicts = decided(**{**SOFT, "drop": ("push.travel",)}, push__force=3000.0)
    assert [one["travel_mm"] for one in found["corners"]] == [approx(5.4)] * 2 and found["clamp"]["least_N"] == 3000
    assert max(one["push_force_N"] for one in found["corners"]) < 400 and verdicts["slip"]["ok"] is False


def test_no_ring_travels_through_a_flange():
    found, verdicts = decided(**FLANGED)
    (grip,) = [one for one in found["corners"] if one["name"] == "nominal"]
    assert (grip["travel_mm"], grip["stop_reason"]) == (approx(0.35), MET) and found["clamp"]["needed_N"] is None
    assert verdicts["slip"]["ok"] is False and verdicts["bottoming"]["ok"] is False
    told = " ".join(sentences(found))
    assert "It cannot work at any pull" in told and "the ring met the flange" in told


def test_slots_that_shut_are_told_and_leave_no_force():
    found, verdicts = decided(sleeve__clearance=0.4, sleeve__slits__width=0.2, ring__start=4, duty={"torque": 10}, drop=("push",))
    assert found["clamp"]["least_N"] is None and [one["stop_reason"] for one in found["corners"]] == [SHUT]
    assert verdicts["slots"]["ok"] is False and verdicts["slip"]["ok"] is None


def test_the_bending_of_a_slit_is_added_to_the_pressure_once():
    """A wall that only the bore presses bears its pressure p; the hand block has both, sqrt(p^2 + b^2 - p b), 175 MPa of 20 and 184."""
    found, verdicts = decided(sleeve__clearance=0.12, duty={"torque": 20}, drop=("push",))
    corner = next(one for one in found["corners"] if one["name"] == verdicts["yield_sleeve"]["corner"])
    pressure, bending = corner["bore"]["mean_pressure_MPa"], found["hand"]["slits"]["bending_stress_MPa"]
    assert bending > 100 and corner["von_mises_MPa"]["sleeve"] == approx(pressure)
    assert verdicts["yield_sleeve"]["value"] == approx(pressure + bending)
    nominal = found["hand"]["refined"]["grip_mean_pressure_MPa"]
    assert found["hand"]["refined"]["stress_MPa"]["sleeve_von_mises"] == approx((nominal**2 + bending**2 - nominal * bending) ** 0.5)


def test_a_duty_that_is_carried_in_time_is_left_as_it_is():
    found, verdicts = decided(duty={"torque": 20}, drop=("push",))
    assert found["clamp"]["needed_N"] and verdicts["slip"]["ok"] and max(one["travel_mm"] for one in found["corners"]) < 1


#: a closed sleeve that its push swells by more than formulas know, at the high end of the cone's friction only
SWOLLEN = {
    "shaft": {"diameter": 20}, "sleeve": {"length": 60, "nose_wall": 2, "taper": 10, "clearance": 0.03},
    "ring": {"length": 50, "outer_diameter": 140, "start": 5}, "friction": {"cone": [0.1, 0.2, 0.3], "bore": 0.3}, "duty": {"torque": 50},
}


@pytest.mark.parametrize("push", [{}, {"travel": 0.1}, {"force": 3e5}], ids=["free", "travel", "force"])
def test_a_sleeve_that_its_push_swells_too_much_is_not_decided_by_hand(push):
    found, verdicts = decided(**SWOLLEN, push=push)
    assert found["hand"]["refined"]["clamp_force_N"] > 0  # at nominal friction there is one
    assert found["clamp"]["needed_N"] is None and found["corners"] == [] and found["clamp"]["least_N"] == push.get("force")
    assert verdicts["slip"]["ok"] is verdicts["yield_ring"]["ok"] is None and "swells" in verdicts["slip"]["because"]
    told = " ".join(sentences(found))
    assert "Clamp force needed: not known by hand." in told and "grip of the bore" in told and "no pull" not in told


@pytest.mark.parametrize("more", [
    {}, {"duty": {"torque": 50, "carried_by": "ring", "radial": 100}}, {"duty": {"torque": 0, "thrust": 900, "carried_by": "ring"}},
    {"duty": {"torque": 0, "thrust": -900, "carried_by": "ring"}}, {"duty": {"torque": 0, "thrust": 900, "radial": 100}},
    {"sleeve": {**SWOLLEN["sleeve"], "flange_thickness": 4, "flange_diameter": 60}}, {"screws": {"count": 6, "torque": 2}}, {"duty": None, "push": {"force": 3e5}},
])  # fmt: skip
def test_what_is_not_known_by_hand_is_asked_as_of_a_sleeve_that_is(more):
    """The same verdicts in the same order as with less friction, where the push has formulas."""
    swollen = {key: value for key, value in {**SWOLLEN, "push": {}, **more}.items() if value is not None}
    names = [list(decided(**{**swollen, "friction": {"cone": high, "bore": 0.3}})[1]) for high in ([0.1, 0.2, 0.3], 0.1)]
    assert names[0] == names[1] and {"yield_shaft", "self_locking"} <= set(names[0])


@pytest.mark.parametrize("sleeve, friction, trusted", [({"taper": 4}, 0.1, True), ({"taper": 12}, 0.1, False), ({"taper": 9}, 0.2, False)], ids=["flat", "steep", "swollen"])
def test_closed_sleeves_unlike_those_measured_are_not_judged_by_hand(sleeve, friction, trusted):
    tables = {**SWOLLEN, "sleeve": {**SWOLLEN["sleeve"], "length": 40, **sleeve}, "ring": {**SWOLLEN["ring"], "length": 34}}
    found, verdicts = decided(**{**tables, "friction": {"cone": friction, "bore": 0.3}}, drop=("push",))
    assert found["clamp"]["needed_N"] > 0 and (verdicts["slip"]["ok"] is not None) is trusted


@pytest.mark.parametrize("taper, more", [
    (6, {"screws": {"count": 6, "torque": 2}}), (4, {}), (4, {"duty": {"torque": 50, "carried_by": "ring"}}),
    (12, {"friction": {"cone": 0.1, "bore": 0.3}, "push": {"force": 3e5}}),
], ids=["screws", "lock", "cone", "steep"])  # fmt: skip
def test_screws_or_a_lock_that_hold_decide_nothing_without_the_grip(taper, more):
    found, verdicts = decided(**{**SWOLLEN, "sleeve": {**SWOLLEN["sleeve"], "taper": taper}, "push": {}, "friction": {"cone": [0.1, 0.2, 0.45], "bore": 0.3}, **more})
    assert any(one["ok"] for one in verdicts.values()) and verdicts["slip"]["ok"] is None and standing(found) is None
    assert sentences(found)[0] == "By hand nothing decides whether it holds: run the case."


def test_a_grip_that_is_judged_by_hand_is_signed():
    found, verdicts = decided(duty={"torque": 20}, drop=("push",))
    assert verdicts["yield_ring"]["ok"] is None and sentences(found)[0].startswith("Clamp force")


FINGERS = Case.example("stainless_fingers")


def signed(**changes):
    found = by_hand(FINGERS.changed({key.replace("__", "."): value for key, value in changes.items()}))
    return found, {v["name"]: v["ok"] for v in found["verdicts"]}, " ".join([*sentences(found), *screw_lines.short(found)])


@pytest.mark.parametrize("travel", [{}, {"push__travel": 0.3}], ids=["force found", "travel"])
def test_no_screws_are_signed_for_a_force_of_formulas_that_are_not_trusted(travel):
    """Nothing is judged by hand for fingers but room, which is geometry."""
    found, ok, told = signed(**travel)
    assert (ok["screws"], ok["self_locking"], ok["screw_room"]) == (None, None, True)
    assert "Tighten" not in told and "would do" not in told and "M5" not in sentences(found)[0]
    assert "a first guess, nothing to tighten by" in told and any("a first guess" in what for _, what in key_numbers.front(found))


def test_no_set_is_proposed_for_it_either():
    found, _, told = signed(screws=None)
    assert found["screws_proposed"] is None and "screws" not in told.split("Up to cone friction")[0]


@pytest.mark.parametrize("known", [{"push__force": 30000.0}, {"screws__torque": 6.0}])
def test_screws_under_a_force_that_is_given_are_judged_as_well_as_ever(known):
    _, ok, told = signed(**known)
    assert (ok["slip"], ok["screws"], ok["self_locking"]) == (None, True, True) and "Tighten" in told


def test_screws_that_fail_under_a_given_force_get_no_other_set_for_a_force_needed_that_is_not_trusted():
    found, ok, told = signed(screws__torque=9)
    assert ok["screws"] is False and "too weak" in told and "would do" not in told and "no set" not in told
    assert found["screws"]["smallest"] == [] and not any("would do" in v["because"] for v in found["verdicts"])


def test_by_hand_nothing_holds_where_the_tapers_differ():
    """They touch on a line: the simulated ring goes twice as far as by hand, to a flange that hand finds far off."""
    keys = {"duty": {"torque": 20}, "drop": ("push",), "sleeve__flange_thickness": 4, "sleeve__flange_diameter": 40}
    _, alike = decided(**keys)
    _, other = decided(**keys, ring__taper=4.4)
    assert alike["slip"]["ok"] and alike["bottoming"]["ok"]
    assert other["slip"]["ok"] is other["bottoming"]["ok"] is other["slots"]["ok"] is None and "taper differs" in other["slip"]["because"]
