"""Each key of the case file moves the simulated result the way mechanics says: in sign, and in size by formula.

Formulas are those of the hand calculation, derived here from thick-ring (Lame) and curved-beam theory.
"""

from math import atan, pi, radians, tan

import numpy as np
import pytest
from helpers.push import CLOSED, FLANGE, SOFT, along, case_of, run
from pytest import approx

from colletfea.cases.casefile.fits import clearances
from colletfea.cases.hand.calculation import hand


def fingers(count, depth, width=1):
    return run(sleeve__slits={"pattern": "fingers", "count": count, "width": width, "depth": depth}).touch_force


def alternating(count, depth, width=1):
    slits = {"pattern": "alternating", "count": count, "width": width, "depth": depth}
    return run(sleeve__slits=slits).touch_force


def test_clearance_sets_travel_and_force_to_first_touch():
    """Both go as the clearance, 1 % (a wider bore is softer by 0.5 %), and are the hand calculation's, 1 % (measured 0.2)."""
    twice, once = run(sleeve__clearance=0.06, push__travel=0.6), run()
    assert twice.touch / once.touch == approx(2, rel=0.01)
    assert twice.touch_force / once.touch_force == approx(2, rel=0.01)
    for found in (twice, once):
        assert found.touch == approx(found.hand["refined"]["closing_travel_mm"], rel=0.01)
        assert found.touch_force == approx(found.hand["refined"]["closing_force_N"], rel=0.01)


def test_fit_gives_three_clearances_by_hand_and_runs_at_the_middle():
    """H8/h7 at 20 mm: 0 to 54 micrometres on diameter, ISO 286; closing force goes as the clearance."""
    case = case_of(sleeve__fit="H8/h7", drop=("sleeve.clearance",))
    three = hand(case, clearances("H8/h7", 20))["fit"]
    names = ("tightest", "middle", "loosest")
    assert [three[name]["clearance_mm"] for name in names] == approx([0, 0.027, 0.054])
    forces = [three[name]["refined"]["closing_force_N"] for name in names]
    assert forces[0] == 0 and forces[2] == approx(2 * forces[1], rel=0.01)
    fitted = run(sleeve__fit="H8/h7", drop=("sleeve.clearance",))
    assert fitted.touch_force == run(sleeve__clearance=0.027).touch_force


def test_slit_cuts_the_closing_force_by_its_hoop_ratio():
    """Over that of a closed ring, the mean hoop ratio times fill; 7 % (measured +5.6: a closed sleeve's unpressed ends lag)."""
    slit, closed = run(), run(**CLOSED)
    ratio = slit.hand["hoop_stiffness_ratio"] * slit.hand["fill_fraction"]
    assert slit.touch_force / closed.touch_force == approx(ratio, rel=0.07)
    assert slit.touch < closed.touch


def test_two_slits_close_at_nine_tenths():
    """0.90 of one slit's stiffness, derived in the slit formulas; the second slit takes its land too."""
    assert run(sleeve__slits__count=2).touch_force / run().touch_force == approx(0.90 * 0.985, rel=0.01)


def test_wider_slits_close_more_easily_and_raise_the_pressure():
    """Closing force as the fill f at mean radius; at equal push force the mean pressure as 1/f at the bore."""
    kept = {"push__force": 9000, "drop": ("push.travel",)}
    wide, narrow = run(sleeve__slits__width=4, **kept), run(**kept)
    f = [1 - w / (2 * pi * 10.015) for w in (4, 1)]
    assert wide.bore.mean_pressure / narrow.bore.mean_pressure == approx(f[1] / f[0], rel=0.01)
    f = [1 - w / (2 * pi * 11.4) for w in (4, 1)]
    assert wide.touch_force / narrow.touch_force == approx(f[0] / f[1], rel=0.01)


def test_given_hoop_stiffness_goes_straight_into_the_closing_force():
    low, high = (run(sleeve__slits__hoop_stiffness=eta).touch_force for eta in (0.01, 0.02))
    assert high / low == approx(2, rel=0.01)


def test_more_deeper_and_narrower_fingers_close_more_easily():
    assert fingers(6, 15) < fingers(6, 11) and fingers(6, 15, width=2) < fingers(6, 15)
    assert fingers(8, 15) < fingers(6, 15) < fingers(4, 15)


def test_more_deeper_and_wider_alternating_slots_close_more_easily():
    assert alternating(3, 16) < alternating(3, 14) and alternating(4, 14) < alternating(3, 14)
    assert alternating(3, 14, width=2) < alternating(3, 14)


def test_flange_resists_closing():
    """Cut along, several times as stiff as none; whole, several times as stiff again; a closed sleeve knows it less."""
    cut, whole = run(**FLANGE), run(**FLANGE, sleeve__slits__cuts_flange=False)
    assert 5 * run().touch_force < cut.touch_force < whole.touch_force / 3
    assert cut.touch_force == approx(cut.hand["refined"]["closing_force_N"], rel=0.05)
    assert run(**CLOSED).touch_force < run(**CLOSED, **FLANGE).touch_force < 1.1 * run(**CLOSED).touch_force


@pytest.mark.parametrize("key, values", [("thickness", (2, 4, 8)), ("diameter", (32, 40, 52))])
def test_thicker_and_wider_flange_resists_closing_more(key, values):
    """A cut one bends along with the sleeve: closing force by its formula, 5 % (measured 0.6 to 3.2 %)."""
    found = [run(**{**FLANGE, f"sleeve__flange_{key}": value}) for value in values]
    forces = [each.touch_force for each in found]
    assert 1.3 * forces[0] < forces[1] and 1.2 * forces[1] < forces[2]
    assert forces == approx([each.hand["refined"]["closing_force_N"] for each in found], rel=0.05)


def test_start_is_where_the_ring_s_cone_begins():
    """At the end of the push the cone is pressed from start - travel on; to an element of 0.1 mm."""
    for start in (2, 4):
        cone = along(run(ring__start=start, mesh__size=0.5), "cone")
        assert cone.position[cone.pressure > 0, 1].min() == approx(start - 0.35, abs=0.2)


def test_nose_radius_takes_its_length_off_the_seat():
    """Under a ring that reaches past the nose the bore is pressed up to the rounding; forces stay, to 1 % (measured 0.93)."""
    sharp, rounded = (run(ring__start=5, sleeve__nose_radius=radius, mesh__size=0.5) for radius in (0.0, 0.6))
    assert rounded.bore.length == approx(sharp.bore.length - 0.6, abs=0.1)
    assert rounded.bore.normal_force == approx(sharp.bore.normal_force, rel=0.01)


def test_edge_radius_moves_contact_off_the_ring_s_faces():
    """The rounded part carries nothing but its first hundredths of a millimetre; the totals hardly change."""
    rounded, sharp = run(level="default", ring__edge_radius=0.3), run(level="default")
    assert rounded.cone.length == approx(sharp.cone.length - 0.6, abs=0.1)
    assert rounded.force == approx(sharp.force, rel=0.03)


def test_sharp_edges_make_a_peak_that_grows_with_the_mesh():
    """p ~ x^-1/2 or steeper at the ring's edge: halving the elements raises the peak by a quarter and more."""
    coarse, fine = (run(level="default", mesh__size=size).cone.peak_pressure for size in (0.8, 0.4))
    assert fine / coarse > 1.2


@pytest.mark.parametrize("minutes, place", [(6, (2 + 16, 0.4)), (-6, (2, 0.3))])
def test_ring_taper_starts_contact_at_one_end_at_travel_0(minutes, place):
    """Larger ring angle: at its trailing edge (z = 18); smaller: at its leading edge (z = 2). Touching from the start."""
    found = run(ring__taper=4 + minutes / 60)
    first = found.push.states[1]
    cone = along(found, "cone", first)
    assert cone.pressure.max() > 0
    pressed = cone.position[cone.pressure > 0, 1]
    assert pressed.max() - pressed.min() < 0.5
    assert pressed.mean() == approx(place[0] - first.t, abs=place[1])


def test_taper_mismatch_moves_the_pressure_to_one_end():
    """Share of the upper half of the cone in the sum of pressures at the end of the push."""

    def share_at_nose(found):
        cone = along(found, "cone")
        upper = cone.position[:, 1] > np.median(cone.position[:, 1])
        return cone.pressure[upper].sum() / cone.pressure.sum()

    base, more, less = (run(ring__taper=4 + minutes / 60) for minutes in (0, 6, -6))
    assert share_at_nose(less) < share_at_nose(base) < share_at_nose(more)


# After first touch travel goes into squeezing sleeve, shaft and ring: the hand calculation's grip travel per newton, whose
# change by a key is held. It leaves out the ring's and sleeve's overhang: absolute values are 11 to 25 % high in the run.
@pytest.mark.parametrize(
    "softer, key",
    [
        (True, {"shaft__bore": 12}),
        (True, {"ring__outer_diameter": 30}),
        (False, {"ring__outer_diameter": 60}),
        (True, {"shaft__material": SOFT}),
        (True, {"sleeve__material": SOFT}),
        (True, {"ring__material": SOFT}),
    ],
    ids=str,
)
def test_compliance_of_shaft_sleeve_and_ring(softer, key):
    """Travel per newton of bore force over the base design's: within 8 % of the formula's (measured -7.0 to +4.5 %)."""

    def per_newton(**changes):
        found = run(duty__torque=40, **changes)
        required = 1.5 * 40e3 / 10 / 0.12
        simulated = (found.travel - found.touch) / found.bore.normal_force
        return np.array([simulated, found.hand["refined"]["grip_travel_mm"] / required])

    simulated, by_hand = per_newton(**key) / per_newton()
    assert (simulated > 1) == softer
    assert simulated == approx(by_hand, rel=0.08)


def test_fully_held_back_face_keeps_the_bore_open_there():
    held, free = run(sleeve__held="fully"), run()
    assert held.bore.length < free.bore.length - 0.5
    assert held.touch_force > free.touch_force


def test_cone_friction_changes_force_and_not_the_seat():
    """At one travel F goes as tan(alpha + phi); the bore force hardly moves."""
    low, high = run(friction__cone=0.05), run(friction__cone=0.15)
    k = [tan(radians(4) + atan(mu)) for mu in (0.15, 0.05)]
    assert high.force / low.force == approx(k[0] / k[1], rel=0.03)
    assert high.bore.normal_force == approx(low.bore.normal_force, rel=0.05)


def test_bore_friction_sets_the_capacity():
    """Torque capacity over normal force is mu times the seat's radius, which has shrunk by p (1 - nu)/E, 1.4e-4."""
    for mu in (0.08, 0.16):
        bore = run(friction__bore=mu).bore
        assert bore.torque_capacity / bore.normal_force == approx(mu * 10, rel=2e-4)


@pytest.mark.parametrize(
    "changes", [{"solver__penalty": 10}, {"solver__increments": 20}, {"mesh__size": 0.3}], ids=str
)
def test_numerical_keys_hardly_move_the_result(changes):
    """Push force within 0.5 %, torque capacity within 1 %; measured 0.2 % and 0.3 %."""
    changed, base = run(**changes), run()
    assert changed.force == approx(base.force, rel=0.005)
    assert changed.bore.torque_capacity == approx(base.bore.torque_capacity, rel=0.01)


def test_without_augmentation_the_seat_is_softer():
    """Penetration p h/(3 E) is travel lost: less force at one travel, measured 1.4 % on this coarse mesh."""
    plain, base = run(solver__augment=False), run()
    assert 0.97 * base.force < plain.force < base.force
