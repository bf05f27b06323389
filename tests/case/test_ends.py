"""Where a push ends: on what was asked for, or at a physical end, which the verdicts then name."""

from math import pi, sqrt

import pytest
from helpers.push import FLANGE, case_of, run
from pytest import approx
from test_solvers import example

from colletfea.cases.simulation import blocks, events, measures, push, stress
from colletfea.cases.hand.calculation import hand
from colletfea.cases.simulation.plan import plan
from colletfea.cases.run import at_touch, run_case
from colletfea.cases.judgement.verdicts import judge
from colletfea.cases.stored import names
from colletfea.fea.contact.resultants import resultant

STEEL_60 = {"young": 206000, "poisson": 0.3, "yield": 60}
SHUT = {"sleeve__clearance": 0.4, "sleeve__slits__width": 0.2, "ring__start": 4, "push__travel": 3}


def verdicts(found):
    return {verdict.name: verdict.to_dict() for verdict in judge(found.case, found.hand, None, found.push)}


def test_push_by_force_lands_on_the_force():
    found = run(push__force=8000, drop=("push.travel",))
    assert found.reason == "force" and found.force == approx(8000, rel=1e-6)


@pytest.mark.parametrize(
    "duty", [{}, {"thrust": 2000}, {"carried_by": "ring"}, {"slip_safety": 2.5}], ids=str
)
def test_push_by_duty_lands_on_torque_times_safety(duty):
    """r sqrt((mu N)^2 - (S X)^2) = S T to 0.1 %, on the weaker of the seats that must carry it."""
    found = run(duty={"torque": 40, **duty}, drop=("push",))
    safety, thrust = duty.get("slip_safety", 1.5), duty.get("thrust", 0)
    usable = []
    for seat, mu in ((found.bore, 0.12), (found.cone, 0.08)):
        arm = seat.torque_capacity / (mu * seat.normal_force)
        usable.append(arm * sqrt((mu * seat.normal_force) ** 2 - (safety * thrust) ** 2))
    required = min(usable) if duty.get("carried_by") == "ring" else usable[0]
    assert found.reason == "duty" and required == approx(safety * 40e3, rel=1e-3)
    assert verdicts(found)["slip"]["ok"]


def test_cone_governs_where_the_hub_sits_on_a_greased_ring():
    """Cone friction a sixth of the bore's, on a radius an eighth larger: the cone must be pressed harder than the bore needs."""
    kept = {"friction__cone": 0.02, "drop": ("push",)}
    on_sleeve, on_ring = (run(duty={"torque": 40, "carried_by": part}, **kept) for part in ("sleeve", "ring"))
    assert on_ring.force > 2 * on_sleeve.force
    assert on_ring.cone.torque_capacity == approx(60e3, rel=1e-3)


@pytest.mark.parametrize(
    "start, words", [(0.2, "nothing is gripped"), (0.5, "presses on the flange and not on the seat")]
)
def test_flange_ends_a_push_before_or_after_the_seat_is_touched(start, words):
    found = run(**FLANGE, ring__start=start, duty__torque=400, drop=("push",))
    assert found.reason == "flange met" and found.travel == approx(start, rel=0.05)
    assert (found.touch is None) == (start == 0.2)
    slip, bottoming = (verdicts(found)[name] for name in ("slip", "bottoming"))
    assert slip["ok"] is False and bottoming["ok"] is False
    assert words in bottoming["because"] and "give ring.start more" in bottoming["because"]


def test_shut_slots_end_a_push():
    """A slot of width w shuts at a closing of w/(2 pi)."""
    found = run(**SHUT)
    assert found.reason == "slots shut"
    assert measures.closing(found.push.model, found.last) == approx(0.2 / (2 * pi), rel=1e-3)
    slots = verdicts(found)["slots"]
    assert slots["ok"] is False and "shut" in slots["because"] and "wider slots" in slots["because"]


@pytest.mark.parametrize("drop", [(), ("sleeve.slits",)], ids=["slit", "closed"])
def test_stop_at_yield_stops_where_stress_reaches_it(drop):
    found = run(solver__stop_at_yield=True, sleeve__material=STEEL_60, drop=drop)
    assert found.reason == "yield" and found.travel < 0.35
    peak = stress.believable(found.case, found.push.model, found.last)["sleeve"].value
    assert peak == approx(60 / 1.2, rel=2e-3)
    assert verdicts(found)["yield_sleeve"]["ok"] is False


def test_yield_safety_divides_the_stress_that_stops_a_push():
    peaks = []
    for safety in (1.1, 2.2):
        found = run(solver__stop_at_yield=True, sleeve__material=STEEL_60, duty={"torque": 500, "yield_safety": safety})
        assert found.reason == "yield"
        peaks.append(stress.believable(found.case, found.push.model, found.last)["sleeve"].value)
    assert peaks == approx([60 / 1.1, 60 / 2.2], rel=2e-3)


def test_thrust_counts_alike_either_way():
    there, back = (run(duty={"torque": 40, "thrust": x}, drop=("push",)) for x in (2000, -2000))
    assert there.force == back.force > run(duty={"torque": 40}, drop=("push",)).force


@pytest.mark.parametrize("level", ["quick", "default"])
def test_main_example_lands_on_its_duty(level):
    """60 N m times 1.5 to 0.1 % (measured 2e-5 and 5e-6)."""
    case = example("sprocket_hub")
    found = push.push(case, plan(case, hand(case), level), level, lambda done, text: None)
    assert found.reason == "duty"
    assert resultant(found.model.contact, found.states[-1].contact, "bore").torque_capacity == approx(90e3, rel=1e-3)


@pytest.mark.parametrize(
    "reason, name, changes",
    [
        ("flange met", "bottoming", {**FLANGE, "ring__start": 0.2, "duty__torque": 400, "drop": ("push",)}),
        ("slots shut", "slots", SHUT),
        ("yield", "yield_sleeve", {"solver__stop_at_yield": True, "sleeve__material": STEEL_60}),
    ],
)
def test_a_physical_end_exits_0_with_a_verdict_that_is_not_ok(reason, name, changes, tmp_path):
    outcome = run_case(case_of(**changes), tmp_path, level="quick", fields=False)
    simulation = outcome.summary["simulation"]
    assert outcome.exit_code == 0 and simulation["stop_reason"] == reason and not simulation["completed"]
    assert simulation["at_end"] is not None and simulation["at_duty"] is None
    assert next(v for v in outcome.summary["verdicts"] if v["name"] == name)["ok"] is False


@pytest.mark.slow
@pytest.mark.parametrize("name", ["spindle", "stainless_fingers", "bronze_sleeve", "closed_hub"])
def test_quick_push_force_at_the_duty(name):
    """Coarse mesh and large increments against the default: 2 % (measured 0.07 % at most); where the given travel ends
    before the duty, at that end."""
    forces = []
    for level in ("quick", "default"):
        case = example(name)
        done = push.push(case, plan(case, hand(case), level), level, lambda fraction, text: None)
        forces.append(measures.push_force(done.landed(names.DUTY) or done.states[-1]))
    assert forces[0] == approx(forces[1], rel=0.02)


def test_touch_is_where_the_gap_is_gone_however_near_it_is_landed_on(monkeypatch):
    """Against a landing on to 1e-6 of the clearance, on 14 designs: travel to 1.6e-5, push to 6e-5, by the penetration."""
    found, case = [], case_of()
    for near in (events._NEAR, 2e-6):
        monkeypatch.setattr(events, "_NEAR", near)
        pushed = push.push(case, plan(case, hand(case), "quick"), "quick", lambda f, t: None)
        k = next(k for k, s in enumerate(pushed.states) if s.events == (names.TOUCH,))
        found.append(blocks.at_touch(pushed.model, *pushed.states[k - 1 : k + 1]))
    rough, fine = found
    assert rough["travel_mm"] == approx(fine["travel_mm"], rel=3e-5)
    assert rough["push_force_N"] == approx(fine["push_force_N"], rel=1e-4)
    near = pushed.states[k]
    assert blocks.at_touch(pushed.model, near, near) == blocks.block(pushed.model, near, near.t)  # no way to carry on along
    assert rough["bore"] == fine["bore"] and rough["cone"]["normal_force_N"] == approx(fine["cone"]["normal_force_N"], rel=1e-4)


def test_touch_of_a_push_is_carried_on_from_the_landing_and_increments_start_small_again():
    found = run()
    where = [k for k, s in enumerate(found.push.states) if s.events == (names.TOUCH,)]
    touch, t = at_touch(found.case, found.push), [s.t for s in found.push.states]
    assert len(where) == 1 and 0 < touch["travel_mm"] / t[where[0]] - 1 < 2e-3
    assert t[where[0] + 1] - t[where[0]] < 0.2 * max(b - a for a, b in zip(t, t[1:]))


def test_touch_without_clearance_is_the_start():
    found = run(sleeve__clearance=0)
    assert at_touch(found.case, found.push)["travel_mm"] == 0


def test_push_that_ends_within_the_landing_has_not_touched():
    """The gap that is left is smaller than the landing's tolerance, and still a gap."""
    whole = run()
    touch = at_touch(whole.case, whole.push)["travel_mm"]
    short = run(push__travel=touch * (1 - 1e-4))
    assert short.push.landed(names.TOUCH) is not None and at_touch(short.case, short.push) is None


FORCED = {"duty": {"torque": 40}, "friction__cone": [0.06, 0.08, 0.10], "friction__bore": [0.10, 0.12, 0.14]}


def test_given_force_is_judged_where_the_cone_takes_most_of_it():
    """The verdict by hand against runs at high cone and low bore friction (measured 2e-5) and to that travel (0.15 %)."""
    force = 1.3 * measures.push_force(run(drop=("push",), **FORCED).last)
    judged = verdicts(run(drop=("push.travel",), push__force=force, **FORCED))["slip"]
    worst = run(drop=("push.travel",), push__force=force, **{**FORCED, "friction__cone": 0.10, "friction__bore": 0.10})
    assert judged["value"] == approx(measures.usable_torque(worst.case, worst.push.model, worst.last, "bore") / 1e3, rel=1e-3)
    low_only = verdicts(run(push__travel=worst.travel, **FORCED))["slip"]
    assert judged["value"] == approx(low_only["value"], rel=3e-3) and "high end" not in low_only["because"]


def test_given_force_on_a_closed_sleeve_is_judged_along_the_simulated_push():
    """As above; measured +0.35 %, and +1.1 % by a straight line from touch to the end."""
    drop, force = ("sleeve.slits", "push.travel"), 45000
    judged = verdicts(run(drop=drop, push__force=force, **FORCED))["slip"]["value"]
    worst = run(drop=drop, push__force=force, **{**FORCED, "friction__cone": 0.10, "friction__bore": 0.10})
    true = measures.usable_torque(worst.case, worst.push.model, worst.last, "bore") / 1e3
    assert judged == approx(true, rel=6e-3)


def test_thrust_beyond_the_grip_leaves_no_torque():
    slip = verdicts(run(duty={"torque": 40, "thrust": 5e5}))["slip"]
    assert slip["value"] == 0 and slip["ok"] is False and "thrust alone" in slip["because"]


def test_slit_sleeves_bending_counts_as_far_as_it_has_closed():
    half, whole = (verdicts(run(push__travel=t))["yield_sleeve"]["because"] for t in (0.1, 0.35))
    bending = [float(text.split("; ")[-1].split(" MPa of it")[0]) for text in (half, whole)]
    closed = measures.closing(run(push__travel=0.1).push.model, run(push__travel=0.1).last) / 0.015
    assert closed < 0.6 and bending[0] == approx(closed * bending[1], rel=0.01)


def test_a_push_that_never_began_is_judged_in_nothing_that_needs_it():
    found = run()
    begun = push.Push(found.push.model, found.push.size, states=found.push.states[:1], reason="not converged")
    assert [v.name for v in judge(found.case, found.hand, None, begun)] == ["self_locking"]


def test_ring_that_meets_the_flange_is_told_what_would_help():
    """Beyond the duty a longer way does not help, short of it by hand it does, and beyond the seat's length nothing does."""
    met = verdicts(run(drop=("push.travel",), push__force=1e7, duty={"torque": 40}, **FLANGE, ring__start=1))["bottoming"]
    assert met["ok"] is False and "goes beyond it" in met["because"] and "give ring.start" not in met["because"]
    near = verdicts(run(drop=("push",), duty={"torque": 150}, **FLANGE, ring__start=0.3))["bottoming"]
    assert near["ok"] is False and "give ring.start more than" in near["because"]
    out = verdicts(run(drop=("push",), duty={"torque": 1e6}, **FLANGE, ring__start=1))["bottoming"]
    assert "out of this seat's reach" in out["because"]


def test_ring_that_never_holds_itself_is_said_to_let_go():
    always = verdicts(run(sleeve__taper=8, push__travel=0.2, friction__cone=[0.05, 0.06, 0.07]))["self_locking"]
    assert "the ring lets go" in always["because"] and "can let go" in verdicts(run(friction__cone=[0.05, 0.08, 0.1]))["self_locking"]["because"]


def test_thin_wall_is_run_and_reported_and_no_report_of_another_run_stays(tmp_path):
    """The default element is larger than the wall: a size that a case file may not ask for."""
    from colletfea.cases.report import page

    (tmp_path / "report.html").write_text("of another run", encoding="utf-8")
    outcome = run_case(case_of(sleeve__nose_wall=0.2, push__travel=0.25), tmp_path, level="quick", fields=False)
    assert outcome.exit_code == 0 and outcome.summary["case"]["mesh"]["size"] > 0.2
    assert not (tmp_path / "report.html").exists()
    assert "on a coarse mesh" in page.make(tmp_path).read_text(encoding="utf-8")
