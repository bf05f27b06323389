"""Each key of the case file moves the simulated result the way mechanics says, in sign and, by formula, in size."""

import copy
from math import radians, sqrt, tan

import numpy as np
import pytest

from cases import simulate, stress, watch
from cases.formulas import hand
from cases.params import Case
from cases.plan import plan
from fea.seat import profile, resultant

BASE = {
    "shaft": {"diameter": 20},
    "sleeve": {"length": 20, "nose_wall": 2, "taper": 4, "clearance": 0.03,
               "slits": {"pattern": "through", "count": 1, "width": 1}},
    "ring": {"length": 16, "outer_diameter": 40, "start": 2},
    "friction": {"cone": 0.08, "bore": 0.12},
    "push": {"travel": 0.35},
}
CACHE = {}


def run(level="quick", drop=(), **changes):
    """End state of a push in numbers; changes are {dotted__key: value}."""
    key = (level, drop, repr(sorted(changes.items())))
    if key in CACHE:
        return CACHE[key]
    tables = copy.deepcopy(BASE)
    for name in drop:
        *path, last = name.split(".")
        place = tables
        for step in path:
            place = place[step]
        place.pop(last)
    for dotted, value in changes.items():
        *path, last = dotted.split("__")
        place = tables
        for step in path:
            place = place.setdefault(step, {})
        place[last] = value
    case = Case.from_tables(tables, "case")
    push = simulate.push(case, plan(case, hand(case), level), level, lambda f, t: None)
    assert push.reason not in ("not converged", "interrupted"), push.message
    last, model = push.states[-1], push.model
    touch = push.landed(watch.TOUCH)
    CACHE[key] = {
        "case": case, "push": push, "force": watch.push_force(last), "travel": last.t, "reason": push.reason,
        "bore": resultant(model.contact, last.contact, "bore"), "cone": resultant(model.contact, last.contact, "cone"),
        "touch": touch and touch.t, "touch_force": touch and watch.push_force(touch), "last": last,
    }
    return CACHE[key]


CLOSED = {"drop": ("sleeve.slits",), "push__travel": 0.6}


def test_slit_cuts_the_closing_force_by_its_hoop_ratio():
    """Closing force over that of a closed ring is the mean hoop ratio times fill; 10 % (ends, ring's share)."""
    slit, closed = run(), run(**CLOSED)
    ratio = hand(slit["case"])["hoop_stiffness_ratio"]
    assert slit["touch_force"] / closed["touch_force"] == pytest.approx(ratio, rel=0.25)
    assert slit["touch"] < closed["touch"]


def test_two_slits_close_at_nine_tenths():
    """0.90 of one slit's stiffness, derived in the slit formulas; the second slit takes its land too."""
    assert run(sleeve__slits__count=2)["touch_force"] / run()["touch_force"] == pytest.approx(0.90 * 0.985, rel=0.03)


def test_wider_slits_leave_less_land_and_raise_the_pressure():
    """At equal push force the mean pressure goes as 1/f."""
    wide, narrow = run(sleeve__slits__width=4, push__force=9000, drop=("push.travel",)), run(push__force=9000, drop=("push.travel",))
    f = [1 - w / (2 * np.pi * 10.015) for w in (4, 1)]
    assert wide["bore"].mean_pressure / narrow["bore"].mean_pressure == pytest.approx(f[1] / f[0], rel=0.02)


def test_given_hoop_stiffness_goes_straight_into_the_closing_force():
    low, high = (run(sleeve__slits__hoop_stiffness=eta)["touch_force"] for eta in (0.01, 0.02))
    assert high / low == pytest.approx(2, rel=0.03)


def test_deeper_fingers_close_more_easily():
    shallow, deep = (run(sleeve__slits={"pattern": "fingers", "count": 6, "width": 1, "depth": d}) for d in (11, 15))
    assert deep["touch_force"] < shallow["touch_force"]


def test_more_and_deeper_alternating_slots_close_more_easily():
    one, more = (run(sleeve__slits={"pattern": "alternating", "count": n, "width": 1, "depth": d}) for n, d in ((3, 14), (4, 16)))
    assert more["touch_force"] < one["touch_force"]


FLANGE = {"sleeve__flange_thickness": 4, "sleeve__flange_diameter": 40}


def test_uncut_flange_resists_far_more_than_a_cut_one():
    cut, whole = run(**FLANGE), run(**FLANGE, sleeve__slits__cuts_flange=False)
    assert run()["touch_force"] < cut["touch_force"] < whole["touch_force"] / 3


def test_clearance_sets_the_travel_to_touch():
    """Travel and force to first touch both go as the clearance: linear elasticity."""
    twice, once = run(sleeve__clearance=0.06, push__travel=0.6), run()
    assert twice["touch"] / once["touch"] == pytest.approx(2, rel=0.02)
    assert twice["touch_force"] / once["touch_force"] == pytest.approx(2, rel=0.02)


def test_fit_runs_at_its_middle_clearance():
    """H8/h7 at 20 mm: 0 to 54 micrometres, ISO 286."""
    assert run(sleeve__fit="H8/h7", drop=("sleeve.clearance",))["case"].sleeve.clearance == pytest.approx(0.027)


def test_cone_friction_changes_force_and_not_the_seat():
    """At one travel F goes as tan(alpha + phi); the bore force hardly moves."""
    low, high = run(friction__cone=0.05), run(friction__cone=0.15)
    k = [tan(radians(4) + np.arctan(mu)) for mu in (0.15, 0.05)]
    assert high["force"] / low["force"] == pytest.approx(k[0] / k[1], rel=0.03)
    assert high["bore"].normal_force == pytest.approx(low["bore"].normal_force, rel=0.05)


def test_bore_friction_sets_the_capacity():
    low, high = run(friction__bore=0.08), run(friction__bore=0.16)
    ratio = (high["bore"].torque_capacity / high["bore"].normal_force) / (low["bore"].torque_capacity / low["bore"].normal_force)
    assert ratio == pytest.approx(2, rel=1e-3)


def test_thicker_ring_needs_less_travel():
    assert run(ring__outer_diameter=60)["bore"].normal_force > run()["bore"].normal_force


def test_hollow_shaft_and_soft_materials_give_way():
    base = run()["bore"].normal_force
    assert run(shaft__bore=12)["bore"].normal_force < base
    for part in ("shaft", "sleeve", "ring"):
        assert run(**{f"{part}__material": {"young": 70000, "poisson": 0.33}})["bore"].normal_force < base


def test_fully_held_back_face_keeps_the_bore_open_there():
    held, free = run(sleeve__held="fully"), run()
    assert held["bore"].length < free["bore"].length


def test_taper_mismatch_moves_the_pressure_to_one_end():
    """A wider ring cone (larger angle) presses at the nose, a narrower one at its leading edge."""
    def share_at_nose(run_):
        p = profile(run_["push"].model.contact, run_["last"].contact, "cone")
        upper = p.position[:, 1] > np.median(p.position[:, 1])
        return p.pressure[upper].sum() / p.pressure.sum()

    base, more, less = (run(ring__taper=4 + d / 60) for d in (0, 6, -6))
    assert share_at_nose(less) < share_at_nose(base) < share_at_nose(more)


def test_sharp_edges_make_a_peak_that_grows_with_the_mesh():
    """p ~ x^-1/2 or steeper at the ring's edge: halving the elements raises the peak by a quarter and more."""
    coarse, fine = (run(level="default", mesh__size=size)["cone"].peak_pressure for size in (0.4, 0.2))
    assert fine / coarse > 1.2


def test_edge_radius_moves_contact_off_the_ring_s_faces():
    """The rounded part carries nothing but its first hundredths of a millimetre; the totals hardly change."""
    rounded, sharp = run(level="default", ring__edge_radius=0.3), run(level="default")
    assert rounded["cone"].length == pytest.approx(sharp["cone"].length - 0.6, abs=0.1)
    assert rounded["force"] == pytest.approx(sharp["force"], rel=0.03)


def test_push_by_force_lands_on_the_force():
    found = run(push__force=8000, drop=("push.travel",))
    assert found["reason"] == "force" and found["force"] == pytest.approx(8000, rel=1e-6)


@pytest.mark.parametrize("duty", [{"torque": 40}, {"torque": 40, "thrust": 2000}, {"torque": 40, "carried_by": "ring"}])
def test_push_by_duty_lands_on_torque_times_safety(duty):
    """r sqrt((mu N)^2 - (S X)^2) = S T to 0.1 %, on the weaker of the seats that must carry it."""
    found = run(duty=duty, drop=("push",))
    s, x = 1.5, duty.get("thrust", 0)
    usable = []
    for name, mu in (("bore", 0.12), ("cone", 0.08)):
        seat = found[name]
        arm = seat.torque_capacity / (mu * seat.normal_force)
        usable.append(arm * sqrt((mu * seat.normal_force) ** 2 - (s * x) ** 2))
    required = usable if duty.get("carried_by") == "ring" else usable[:1]
    assert found["reason"] == "duty" and min(required) == pytest.approx(s * 40e3, rel=1e-3)


def test_flange_ends_a_push():
    found = run(**FLANGE, ring__start=0.2, duty__torque=400, drop=("push",))
    assert found["reason"] == "flange met" and found["travel"] == pytest.approx(0.2, rel=0.05)
    from cases.verdicts import judge

    words = {v["name"]: v for v in judge(found["case"], hand(found["case"]), None, found["push"])}
    assert words["slip"]["ok"] is False and words["bottoming"]["ok"] is not True


def test_shut_slots_end_a_push():
    """A slot of width w shuts at a closing of w/(2 pi)."""
    found = run(sleeve__clearance=0.4, sleeve__slits__width=0.2, ring__start=4, push__travel=3)
    assert found["reason"] == "slots shut"
    assert watch.closing(found["push"].model, found["last"]) == pytest.approx(0.2 / (2 * np.pi), rel=1e-3)


def test_stop_at_yield_stops_where_stress_reaches_it():
    found = run(solver__stop_at_yield=True, sleeve__material={"young": 206000, "poisson": 0.3, "yield": 60})
    assert found["reason"] == "yield"
    peak = stress.believable(found["case"], found["push"].model, found["last"])["sleeve"].value
    assert peak == pytest.approx(60 / 1.2, rel=2e-3)


@pytest.mark.parametrize("changes", [{"solver__penalty": 10}, {"solver__increments": 20}, {"mesh__size": 0.3}])
def test_numerical_keys_hardly_move_the_result(changes):
    """Push force within 0.5 %, torque capacity within 1 %; measured 0.2 % and 0.3 %."""
    changed, base = run(**changes), run()
    assert changed["force"] == pytest.approx(base["force"], rel=0.005)
    assert changed["bore"].torque_capacity == pytest.approx(base["bore"].torque_capacity, rel=0.01)


def test_without_augmentation_the_seat_is_softer():
    """Penetration p h/(3 E) is travel lost: less force at one travel, measured 1.4 % on this coarse mesh."""
    plain, base = run(solver__augment=False), run()
    assert 0.97 * base["force"] < plain["force"] < base["force"]
