"""Corners of fit and friction: the force needed against runs of its own, each corner against a run with its numbers."""

import math
from copy import copy
from dataclasses import replace
from functools import cache

import pytest

from colletfea.cases.casefile.case import Case
from colletfea.cases.hand.corners import GRIP, NOMINAL, TIGHT, rounded_up, usable_torque
from colletfea.cases.hand.calculation import hand
from colletfea.cases.judgement import blocks
from colletfea.cases.report import decision
from colletfea.cases.run import ends, solve
from colletfea.cases.simulation import onward, roles
from colletfea.cases.simulation import push as pushing
from colletfea.cases.simulation.plan import plan
from colletfea.cases.simulation.pushed import nothing_more, silent
from colletfea.cases.stored.names import DUTY, FORCE, MET
from helpers.push import push_corner

CLOSED = {
    "shaft": {"diameter": 20},
    "sleeve": {"length": 22, "nose_wall": 1.8, "taper": 4, "fit": "H7/h6"},
    "ring": {"length": 20, "outer_diameter": 48, "start": 3},
    "friction": {"cone": [0.08, 0.1, 0.12], "bore": [0.1, 0.12, 0.14]},
    "duty": {"torque": 40},
    "mesh": {"size": 1.8},  # both sides of each comparison on the same coarse one
}
SLIT = {**CLOSED, "sleeve": {**CLOSED["sleeve"], "slits": {"pattern": "through", "count": 1, "width": 1.5}}}
FINGERS = {**CLOSED, "sleeve": {**CLOSED["sleeve"], "slits": {"pattern": "fingers", "count": 6, "width": 1.5, "depth": 14}}}
ON_RING = {**SLIT, "friction": {**SLIT["friction"], "cone": [0.05, 0.08, 0.11]}, "duty": {"torque": 40, "carried_by": "ring"}}
THRUST = {**SLIT, "duty": {"torque": 30, "thrust": 1200}}
DRAWN_OFF = {**ON_RING, "duty": {"torque": 40, "carried_by": "ring", "thrust": 1500}}
PRESSED_ON = {**ON_RING, "duty": {"torque": 40, "carried_by": "ring", "thrust": -1500}}
CASES = {"slit": SLIT, "fingers": FINGERS, "on ring": ON_RING, "thrust": THRUST, "drawn off": DRAWN_OFF}


@cache
def run(name):
    found = Case.from_tables({**CASES, "pressed on": PRESSED_ON}[name], name)
    return found, solve(found, level="quick").summary


def corner(summary, name):
    return next(c for c in summary["corners"] if c["name"] == name)


def own_run(case, corner, force):
    """A push of its own with the corner's clearance and pulling friction as single values: its corner and its end, as stored."""
    alone = case.changed(
        {
            "sleeve.clearance": corner["clearance_mm"],
            "friction.cone": corner["pulling"]["cone"],
            "friction.bore": corner["pulling"]["bore"],
            "push.force": force,
            "push.scatter": 1,
        }
    )
    done, reached = push_corner(alone, "quick")
    return blocks.corner(alone, reached, {}), ends(alone, done)["at_end"]


def held(case, corner, end, cone_end=None):
    """Torque [N·m] that the end of a run holds at the corner's carrying friction, from its normal forces and torque arms."""
    pulling, carrying, duty = corner["pulling"], corner["carrying"], case.duty
    thrust = duty.slip_safety * abs(duty.thrust)

    def arm(pair):
        return end[pair]["torque_capacity_Nm"] * 1e3 / pulling[pair]

    bore = usable_torque(end["bore"]["normal_force_N"], arm("bore"), carrying["bore"], thrust)
    if duty.carried_by != "ring":
        return bore / 1e3
    end = cone_end or end
    return min(bore, carrying["cone"] * arm("cone")) / 1e3


@pytest.mark.parametrize("name", CASES)
def test_a_run_of_its_own_at_the_force_needed_holds_the_duty_and_no_more(name):
    """With the grip corner's clearance and friction, pushed to needed_N: capacity at low friction within 0.2 % of the duty."""
    case, summary = run(name)
    grip, needed = corner(summary, GRIP), summary["clamp"]["needed_N"]
    _, end = own_run(case, grip, needed)
    cone_end = None
    if name == "drawn off":  # the thrust is in the force already: the cone is that of the push less the thrust
        _, cone_end = own_run(case, grip, needed - case.duty.slip_safety * 1500)
    asked = case.duty.slip_safety * case.duty.torque
    assert held(case, grip, end, cone_end) == pytest.approx(asked, rel=2e-3)


@pytest.mark.parametrize("name", ["slit", "thrust", "on ring"])
def test_each_corner_equals_a_run_of_its_own_with_the_same_numbers(name):
    """Force, travel, capacities and stress to 1e-6; measured: 4e-7, which is how nearly a force is landed on."""
    case, summary = run(name)
    assert [c["name"] for c in summary["corners"]] == ["nominal", "grip", "tight", "loose"]
    for one in summary["corners"]:
        alone, _ = own_run(case, one, one["push_force_N"])
        for key in ("push_force_N", "travel_mm"):
            assert one[key] == pytest.approx(alone[key], rel=1e-6)
        for pair in ("bore", "cone"):
            ratio = one["carrying"][pair] / one["pulling"][pair]
            assert one[pair]["torque_capacity_Nm"] == pytest.approx(ratio * alone[pair]["torque_capacity_Nm"], rel=1e-6)
            assert one[pair]["mean_pressure_MPa"] == pytest.approx(alone[pair]["mean_pressure_MPa"], rel=1e-6)
        assert one["von_mises_MPa"] == pytest.approx(alone["von_mises_MPa"], rel=1e-6)


def test_the_search_for_the_force_is_the_beginning_of_its_corners_push(monkeypatch):
    """Four pushes, not five; the grip corner goes on where the search left its way and comes to what it comes to alone, to 1e-7."""
    pushes, taken = [], []
    alone, on = pushing.push, onward.taken_up
    monkeypatch.setattr(pushing, "push", lambda *given: pushes.append(alone(*given)) or pushes[-1])
    monkeypatch.setattr(onward, "taken_up", lambda *given: taken.append((given, on(*given))) or taken[-1][1])
    solve(run("slit")[0], level="quick")
    ((found, case, steps, _, more, *_), went), = taken
    assert len(pushes) == 4 and found is pushes[0] and went.states[:4] == found.states[:4] and len(found.states) > 4
    own = alone(case, steps, "quick", silent, "condensed", more)
    assert [s.t for s in went.states] == pytest.approx([s.t for s in own.states], rel=1e-7)
    assert went.states[-1].work.drives == pytest.approx(own.states[-1].work.drives, rel=1e-7) and went.reason == own.reason


def test_another_plan_is_not_taken_up_nor_a_way_whose_work_does_not_add_up(monkeypatch):
    case, _ = run("slit")
    given = case.changed({"push.force": 5000.0})
    steps = plan(given, hand(given, None), "quick")
    done = pushing.push(given, steps, "quick", silent)
    assert onward.taken_up(done, given, replace(steps, expected=2 * steps.expected), silent, nothing_more) is None
    assert onward.taken_up(copy(done), given, steps, silent, nothing_more) is None  # without what set its way
    monkeypatch.setattr(roles, "LEAK", -1.0)
    assert onward.taken_up(done, given, steps, silent, nothing_more) is None  # alone it would be repeated


def test_two_processes_give_what_one_gives():
    case, summary = run("slit")
    both = solve(case, level="quick", processes=2).summary
    drop = lambda s: [{k: v for k, v in c.items() if k != "seconds"} for c in s["corners"]]
    assert drop(both) == drop(summary) and both["clamp"] == summary["clamp"]
    assert both["verdicts"] == summary["verdicts"]
    peaks = summary["simulation"]["peaks"]
    assert both["simulation"]["peaks"] == peaks and {row["part"] for row in peaks} == {"shaft", "sleeve", "ring"}
    assert len({v["corner"] for v in summary["verdicts"] if v["name"].startswith("yield")}) > 1  # several corners are looked at


def test_clamp_forces_follow_from_the_force_needed_and_the_scatter():
    _, summary = run("slit")
    clamp = summary["clamp"]
    assert clamp["least_N"] == rounded_up(clamp["needed_N"]) and clamp["greatest_N"] == pytest.approx(1.6 * clamp["least_N"])
    ends = {c["name"]: c["push_force_N"] for c in summary["corners"]}
    assert ends == pytest.approx(
        {"nominal": clamp["least_N"], "grip": clamp["least_N"], "tight": clamp["greatest_N"], "loose": clamp["greatest_N"]},
        rel=2e-6,
    )
    assert summary["simulation"]["completed"] and summary["simulation"]["stop_reason"] == FORCE
    duty = summary["simulation"]["at_duty"]
    assert duty["bore"]["torque_capacity_Nm"] == pytest.approx(60, rel=1e-3) and duty["push_force_N"] < clamp["needed_N"]


def test_a_case_with_one_corner_and_no_push_ends_at_the_duty():
    case = Case.from_tables({**SLIT, "sleeve": {**SLIT["sleeve"], "fit": None, "clearance": 0.02},
                             "friction": {"cone": 0.1, "bore": 0.12}, "push": {"scatter": 1}}, "one")
    summary = solve(case, level="quick").summary
    assert [c["name"] for c in summary["corners"]] == [NOMINAL]
    assert summary["simulation"]["stop_reason"] == DUTY and summary["simulation"]["completed"]
    assert summary["clamp"]["needed_N"] == summary["simulation"]["at_end"]["push_force_N"]


@cache
def drawn_off_alone():
    """A hub on the ring whose thrust draws it off, in one corner and with no push: the cone governs."""
    case = Case.from_tables({**DRAWN_OFF, "sleeve": {**SLIT["sleeve"], "fit": None, "clearance": 0.02},
                             "friction": {"cone": 0.06, "bore": 0.2}, "push": {"scatter": 1}}, "drawn off")
    return case, solve(case, level="quick").summary


def test_force_needed_state_at_the_duty_and_hand_columns_are_one_where_a_thrust_draws_the_ring_off():
    """Measured: 4e-5 between needed force and state at the duty, 3e-4 to the refined column."""
    case, summary = drawn_off_alone()
    needed, duty = summary["clamp"]["needed_N"], summary["simulation"]["at_duty"]
    assert duty["push_force_N"] == pytest.approx(needed, rel=1e-3)
    assert summary["hand"]["refined"]["clamp_force_N"] == pytest.approx(needed, rel=2e-3)
    assert duty["bore"]["torque_capacity_Nm"] > 1.3 * 60 and needed > 2 * 1.5 * 1500  # the bore alone would need less
    cone = next(v for v in summary["verdicts"] if v["name"] == "cone_slip")
    assert cone["ok"] and cone["margin"] == pytest.approx(summary["clamp"]["least_N"] / needed, abs=5e-3)


def test_the_cone_after_the_thrust_is_known_of_a_push_to_a_travel_too():
    """Against a push of its own to the lesser force: 1e-3, measured 2e-5."""
    case, free = drawn_off_alone()
    travel = corner(free, NOMINAL)["travel_mm"]
    given = solve(case.changed({"push.travel": travel}), level="quick").summary
    one = corner(given, NOMINAL)
    less, _ = own_run(case, one, one["push_force_N"] - 1.5 * 1500)
    assert one["usable_torque_Nm"] == pytest.approx(less["cone"]["torque_capacity_Nm"], rel=1e-3)


def test_a_given_force_is_judged_and_the_force_needed_told_beside_it():
    """Half of what is needed: slip is not ok in the grip corner, needed_N is that of the run without a force to 0.1 %."""
    case, free = run("slit")
    given = solve(case.changed({"push.force": 0.5 * free["clamp"]["needed_N"]}), level="quick").summary
    slip = next(v for v in given["verdicts"] if v["name"] == "slip")
    assert slip["ok"] is False and slip["corner"] == GRIP and slip["margin"] < 0.6
    assert given["clamp"]["needed_N"] == pytest.approx(free["clamp"]["needed_N"], rel=1e-3)
    assert given["clamp"]["least_N"] == 0.5 * free["clamp"]["needed_N"]


def test_a_given_travel_ends_every_corner_there_without_scatter():
    case, free = run("slit")
    travel = corner(free, GRIP)["travel_mm"]
    given = solve(case.changed({"push.travel": travel}), level="quick").summary
    assert all(c["travel_mm"] == pytest.approx(travel, rel=1e-9) for c in given["corners"])
    assert given["clamp"]["scatter"] == 1 and given["clamp"]["needed_N"] == pytest.approx(free["clamp"]["needed_N"], rel=2e-3)
    forces = [c["push_force_N"] for c in given["corners"]]
    assert given["clamp"]["least_N"] <= min(forces) and given["clamp"]["greatest_N"] >= max(forces)
    taper, high = math.radians(4), 0.12
    tight = corner(given, TIGHT)
    ratio = math.tan(taper + math.atan(high)) / math.tan(taper + math.atan(tight["pulling"]["cone"]))
    assert given["clamp"]["greatest_N"] == pytest.approx(tight["push_force_N"] * ratio)


def test_a_thrust_that_presses_the_ring_on_is_no_help_and_loads_the_tight_corner():
    case, summary = run("pressed on")
    _, drawn = run("drawn off")
    _, plain = run("on ring")
    clamp = summary["clamp"]
    assert clamp["needed_N"] == pytest.approx(plain["clamp"]["needed_N"], rel=1e-3)
    assert corner(summary, TIGHT)["push_force_N"] == pytest.approx(clamp["greatest_N"] + 1500, rel=2e-6)
    off = case.duty.slip_safety * 1500
    assert drawn["clamp"]["needed_N"] == pytest.approx(plain["clamp"]["needed_N"] + off, rel=1e-3)


def test_a_flange_that_comes_too_early_is_told_with_the_force_where_it_does():
    """A flange met before the duty: no force needed, bottoming and slip not ok in the grip corner."""
    tables = {**SLIT, "ring": {**SLIT["ring"], "start": 0.33},
              "sleeve": {**SLIT["sleeve"], "flange_thickness": 5, "flange_diameter": 46}}
    summary = solve(Case.from_tables(tables, "short"), level="quick").summary
    grip, said = corner(summary, GRIP), {v["name"]: v for v in summary["verdicts"]}
    assert grip["stop_reason"] == MET and summary["clamp"]["needed_N"] is None
    assert summary["clamp"]["least_N"] == grip["push_force_N"]
    assert said["bottoming"]["ok"] is False and said["bottoming"]["corner"] == GRIP and "give ring.start more" in said["bottoming"]["because"]
    assert said["slip"]["ok"] is False
    told = " ".join(decision.sentences(summary))
    assert "It cannot work at any pull, because" in told and "the ring met the flange" in told


def test_service_takes_grip_and_raises_the_force_needed():
    """A ring 20 K hotter that turns loses, by simulation, a little less than hand/rings.py says; the force needed then holds the duty
    after the loss."""
    case, free = run("slit")
    result = solve(case.changed({"service.ring_hotter": 20, "service.speed": 3000}), level="quick")
    hot = result.summary
    lost, service = hot["service"]["grip_lost_N"], hot["service"]
    assert lost == service["by_temperature_N"] + service["by_speed_N"] and min(service["by_temperature_N"], service["by_speed_N"]) > 0
    grip = corner(hot, GRIP)
    left = 1 - lost / grip["bore"]["normal_force_N"]
    assert grip["usable_torque_Nm"] == pytest.approx(grip["bore"]["torque_capacity_Nm"] * left, rel=1e-9)
    assert grip["usable_torque_Nm"] == pytest.approx(60, rel=5e-3) and hot["clamp"]["needed_N"] > free["clamp"]["needed_N"]
    assert service["seat_stiffness_N_per_um"] > 0
    assert service["by"] == "simulation" and service["corner"] == GRIP and service["because"] == ""
    assert 0.75 * service["by_hand"]["grip_lost_N"] < lost < service["by_hand"]["grip_lost_N"]
    assert all(one["service"]["grip_lost_N"] > 0 for one in hot["corners"]) and grip["service"]["grip_lost_N"] == lost
    assert all(one["service"] is None for one in free["corners"]) and free["service"] is None
    rows = result.stage("service")  # of the nominal corner
    begun, force = rows[0]["bore_normal_force_N"], [row["bore_normal_force_N"] for row in rows]
    assert begun == pytest.approx(result.stage("push")[-1]["bore_normal_force_N"], rel=1e-6)
    assert begun - min(force) == pytest.approx(corner(hot, "nominal")["service"]["grip_lost_N"], rel=1e-9)
    assert [(row["speed_per_min"], row["warm_share"]) for row in rows] == [(0, 0), (3000, 0), (3000, 0.5), (3000, 1), (0, 1)]
