"""Sets of screws: preloads, faults, choice, jacking and the block of results, against hand figures and against each other."""

import math
from dataclasses import replace

import pytest
from pytest import approx

from colletfea.cases.hand import screws, tightening
from colletfea.cases.hand.screw_choice import MOST, placed, proposed, smallest
from colletfea.cases.hand.screw_joint import Cone, Joint, ScrewSet, Tapped, Tightening, clamp_of_torque, judge
from colletfea.cases.hand.screw_room import RingShape
from colletfea.cases.hand.threads import CLASSES, SIZES, screw

TAPER = math.radians(5)
CONE = Cone(TAPER, 0.07, 0.13, normal_force=100000.0, radial_force=120000.0, stiffness=5.6e6)
RING = RingShape(15.2122, 13.2875, 48, None, 52)
SIX = ScrewSet(6, "M5", "8.8")


def joint(**changes):
    """The main example's clamp force on a ring of 48 mm outside, threaded into a flange of 6 mm."""
    numbers = {"least": 23000.0, "greatest": 36800.0, "clamped_length": 25.0, "ring": RING, "cone": CONE}
    return Joint(**(numbers | {"tapped": Tapped(6.0, 358.0), "ring_yield": 750.0} | changes))


@pytest.mark.verification(source="23.0 and 36.8 kN over six screws; M5 8.8 at friction 0.12 bears 7.20 kN (VDI 2230-1 form)")
def test_six_m5_of_class_8_8_pull_the_main_example():
    found = judge(SIX, joint())
    assert (found.least, found.greatest) == (approx(3833.3, abs=0.1), approx(6133.3, abs=0.1))
    assert found.utilisation == approx(6133.3 / 7202, rel=1e-4)
    assert found.torque == approx(5.17, abs=0.005)
    assert found.head_pressure == approx(228.1, abs=0.1)
    assert found.ok and found.stays


@pytest.mark.verification(source="VDI 2230-1 form of a screw's compliance, six M6 on 26 mm: 1/8.661e-6 N/mm each")
def test_screws_are_stiffer_than_a_sliding_coupling():
    delta = tightening.compliance(screw("M6").thread, 26, 205000)
    assert 6 / delta == approx(6.93e5, rel=1e-3)
    assert 6 / delta > 4 * 1.4e5


def test_settling_is_taken_from_the_least_preload_only():
    settled = judge(SIX, joint(tightening=Tightening(settling=10)))
    assert settled.loss == approx(10 * settled.lost_per_um)
    assert settled.least == approx(23000 / 6 - settled.loss) and settled.greatest == approx(36800 / 6)
    rigid = judge(SIX, joint(cone=replace(CONE, stiffness=None)))
    assert rigid.lost_per_um > settled.lost_per_um
    assert judge(SIX, joint(tightening=Tightening(settling=1000))).least == 0


@pytest.mark.verification(source="N_c (sin a - mu cos a) by hand: 100 kN, 5 deg, 0.07")
def test_the_ring_must_stay_after_settling():
    assert CONE.holding_force == approx(100000 * (0.0871557 - 0.07 * 0.9961947), abs=0.1)
    assert replace(CONE, friction_low=0.09).holding_force == 0
    assert judge(SIX, joint()).stays
    slack = judge(SIX, joint(tightening=Tightening(settling=46)))
    assert slack.stays is False and "stay on the cone" in slack.because[0]
    assert judge(SIX, joint(cone=replace(CONE, normal_force=None))).stays is None


@pytest.mark.verification(source="Axial balance of the ring by hand: what its cone drives it off with, 1742 N above, and a thrust of 9000 N")
@pytest.mark.parametrize("low, needed, said", [
    (0.07, 10742, "does not lock by itself: it needs 10742 N of pull (9000 N of it against the thrust and its slip safety), the screws keep 9000 N"),
    (0.09, 9000, "draws the ring off with 9000 N (its slip safety in it), and the cone's lock is not counted on against that: it needs as much pull, the screws"),
])  # fmt: skip
def test_a_thrust_that_draws_the_ring_off_is_held_by_the_screws(low, needed, said):
    """A lock is no help against it: the torque may take all of the cone's friction round."""
    pulled = replace(CONE, friction_low=low, drawn_off=9000.0)
    assert pulled.holding_force == approx(needed, abs=1)
    assert judge(SIX, joint(cone=pulled)).stays and judge(SIX, joint(cone=pulled, least=needed - 10)).stays is False
    told = words(cone=pulled, least=9000.0)
    assert said in told and "The screws carry no torque of the hub" in told and "The thrust draws the ring off: it is in the pull" in told


@pytest.mark.verification(source="Greatest = torque over lever, least = greatest / scatter, by hand: M6, 9.5 N m, 0.12")
def test_a_torque_given_turns_the_sum_round():
    how = Tightening(torque=9.5)
    given = ScrewSet(6, "M6", "8.8")
    least, greatest = clamp_of_torque(given, how)
    assert (least, greatest) == (approx(6 * 9416.5 / 1.6, abs=6), approx(6 * 9416.5, abs=6))
    found = judge(given, joint(least=1.0, greatest=2.0, tightening=how))
    assert (found.least, found.greatest, found.torque) == (approx(least / 6), approx(greatest / 6), approx(9.5))
    with pytest.raises(ValueError):
        clamp_of_torque(given, Tightening())


def test_other_sets_are_chosen_for_the_forces_wanted_and_what_the_cone_does_under_them():
    """A thousandth of the pull presses with a thousandth of the forces on the cone, and scaled up the case is the other one again."""
    small = replace(CONE, normal_force=100.0, radial_force=120.0)
    asked = joint(least=23.0, greatest=36.8, cone=small, wanted=(23000.0, 36800.0), tightening=Tightening(torque=2.0))
    assert smallest(SIX, asked) == smallest(SIX, joint()) and proposed(asked).chosen == proposed(joint()).chosen
    chosen = asked.to_choose_for()
    back = joint(wanted=(23.0, 36.8)).to_choose_for().cone
    assert back.normal_force == approx(100) and back.radial_force == CONE.radial_force
    assert chosen.cone.holding_force == approx(CONE.holding_force) and chosen.cone.jacking_force == approx(CONE.jacking_force)


@pytest.mark.parametrize(
    ("given", "changes", "words"),
    [
        (ScrewSet(6, "M3", "8.8"), {}, "each screw gets up to 6133 N, and M3 8.8 bears 25"),
        (SIX, {"ring_yield": 200.0}, "the heads press with 228 MPa on a ring that yields at 200 MPa"),
        (SIX, {"tapped": Tapped(2.0, 358.0)}, "at the greatest preload the thread needs 3.0 mm of depth, and the flange has 2 mm"),
        (SIX, {"cone": replace(CONE, radial_force=900000.0)}, "each jacking screw must push with"),
        (ScrewSet(6, "M6", "8.8"), {}, "no circle has room"),
    ],
)
def test_a_set_that_does_not_do_says_why(given, changes, words):
    found = judge(given, joint(**changes))
    assert not found.ok and len(found.because) == 1 and words in found.because[0]


def test_what_is_not_given_is_not_judged():
    found = judge(SIX, joint(tapped=None, ring_yield=None, cone=Cone(TAPER, 0.07, 0.13)))
    assert found.ok
    assert (found.engagement, found.engagement_at_preload, found.jacking_each, found.stays) == (None,) * 4
    assert judge(SIX, joint(tapped=Tapped(6.0, None))).engagement is None


@pytest.mark.verification(source="N_r tan(phi - a) and the lever of a flat tip, by hand: 120 kN, 0.13, 5 deg, three M5")
def test_jacking_screws():
    found = judge(SIX, joint())
    force = 120000 * (0.13 - math.tan(TAPER)) / (1 + 0.13 * math.tan(TAPER))
    assert found.jacking_each == approx(force / 3)
    lever = 0.159 * 0.8 + 0.577 * 4.48038 * 0.12 + 0.12 * 4.01850 / 3
    assert found.jacking_torque == approx(force / 3 * lever / 1000, rel=1e-5)
    assert judge(replace(SIX, jacking=2), joint()).jacking_each == approx(force / 2)
    assert judge(replace(SIX, jacking=0), joint()).jacking_each is None
    loose = judge(SIX, joint(cone=replace(CONE, friction_high=0.08)))
    assert loose.jacking_each == loose.jacking_torque == 0


@pytest.mark.parametrize("name", CLASSES)
def test_what_is_called_smallest_does_and_the_next_smaller_does_not(name):
    here = joint()
    for e in (e for e in smallest(SIX, here) if e["property_class"] == name):
        given = ScrewSet(e["count"], e["size"], name)
        found = placed(given, here)
        assert found.ok and e["tightening_torque_Nm"] == found.torque and e["circle_mm"] == found.room.circle
        if "count" in e["for"]:
            assert e["count"] == 6
            assert not [z for z in SIZES[: SIZES.index(e["size"])] if placed(replace(given, size=z), here).ok]
        if "size" in e["for"]:
            assert e["size"] == "M5"
            assert not [n for n in range(3, e["count"]) if placed(replace(given, count=n), here).ok]


def test_every_class_that_has_a_set_offers_it():
    got = {(e["property_class"], e["size"], e["count"], e["for"]) for e in smallest(SIX, joint())}
    assert got == {
        ("8.8", "M5", 6, "count and size"),
        ("10.9", "M4", 6, "count"), ("10.9", "M5", 4, "size"),
        ("12.9", "M4", 6, "count"), ("12.9", "M5", 3, "size"),
        ("70", "M5", 8, "size"),
        ("80", "M5", 6, "count and size"),
    }


def test_an_open_circle_moves_to_where_there_is_room_and_a_given_one_does_not():
    narrow = replace(RING, outer_diameter=47.0)
    open_circle = placed(SIX, joint(ring=narrow))
    assert open_circle.ok and open_circle.room.circle == 38.3
    assert not judge(SIX, joint(ring=narrow)).room.fits
    assert not placed(SIX, joint(ring=replace(narrow, circle=37.75))).ok


def test_no_set_has_fewer_screws_than_the_jacking_threads_that_are_asked_for():
    """The case file refuses one; by strength three M5 12.9 do, and four M3 where little is asked."""
    wide = joint(ring=replace(RING, outer_diameter=80.0))
    counts = {e["count"] for e in smallest(replace(SIX, jacking=6), wide)}
    assert min(counts) == 6 > min(e["count"] for e in smallest(SIX, wide)) == 3
    light = joint(least=1000.0, greatest=1600.0, cone=Cone(TAPER, 0.07, 0.13), ring=replace(RING, outer_diameter=80.0))
    assert [proposed(light, jacking).chosen.count for jacking in (None, 4, 5)] == [4, 4, 6]


def test_a_set_is_proposed_by_class_then_count_then_size():
    assert proposed(joint()).chosen == SIX
    ten = proposed(joint(ring=replace(RING, outer_diameter=46.0))).chosen
    assert (ten.count, ten.size, ten.property_class) == (10, "M4", "8.8")
    assert proposed(joint(least=1000.0, greatest=1600.0, cone=Cone(TAPER, 0.07, 0.13))).chosen == ScrewSet(4, "M3", "8.8")
    assert proposed(joint(greatest=1e6)) is None and screws.proposal(joint(greatest=1e6)) is None
    assert screws.proposal(joint())["utilisation"] < 1


KEYS = {
    "count", "size", "property_class", "preload_least_N", "preload_greatest_N", "tightening_torque_Nm", "utilisation", "head_pressure_MPa",
    "head_pressure_limit_MPa", "circle_mm", "fits", "engagement_mm", "smallest", "jacking", "preload_lost_per_um_N",
}


def test_the_block_has_the_names_of_the_results():
    got = screws.block(SIX, joint())
    assert KEYS <= set(got)
    assert {"count", "force_each_N", "tightening_torque_Nm"} <= set(got["jacking"])
    assert {"size", "count", "property_class", "tightening_torque_Nm"} <= set(got["smallest"][0])
    assert got["fits"] and got["strong"] and got["jacking"]["strong"] and got["jacking"]["count"] == 3


def test_the_block_says_what_was_judged_for_the_set():
    here = joint(tightening=Tightening(settling=5))
    found, got = judge(SIX, here), screws.block(SIX, here)
    assert got["preload_lost_N"] == approx(5 * got["preload_lost_per_um_N"]) and got["preload_lost_N"] > 300
    assert got["preload_least_N"] == found.least and got["preload_greatest_N"] == found.greatest
    assert got["head_pressure_limit_MPa"] == 750 and got["engagement_mm"] == found.engagement
    assert got["circles_with_room_mm"] == [found.room.least, found.room.greatest]
    assert got["jacking"]["force_each_N"] == approx(got["jacking"]["force_N"] / 3)
    assert screws.block(SIX, joint(ring_yield=None))["head_pressure_limit_MPa"] is None


@pytest.mark.parametrize(
    ("given", "ring"),
    [
        (ScrewSet(6, "M24", "8.8"), RING),
        (ScrewSet(60, "M5", "8.8"), RING),
        (SIX, replace(RING, circle=80.0)),
        (SIX, replace(RING, circle=1.0)),
        (SIX, replace(RING, outer_diameter=20.0)),
    ],
)
def test_a_set_without_room_is_a_result_and_no_exception(given, ring):
    got = screws.block(given, joint(ring=ring))
    assert got["fits"] is False and got["room_because"]
    assert any("find no room" in line for line in got["sentences"])


def test_a_force_beyond_every_size_leaves_nothing_to_offer():
    got = screws.block(SIX, joint(greatest=1e7))
    assert not got["strong"] and got["smallest"] == [] and MOST == 24


def words(**changes):
    return " ".join(screws.block(SIX, joint(**changes))["sentences"])


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({}, ["Tighten to 5.17 N·m", "0.12 in the thread", "greatest preload, 6133 N", "3833 N a screw is counted on", "crosswise in rounds", "go slack",
              "carry no torque or thrust of the hub", "228 MPa", "common practice, no source", "3.0 mm of thread", "3 jacking screws M5"]),
        ({"tapped": None}, ["There is no flange", "back face", "something to push against"]),
        ({"tapped": Tapped(4.0, 358.0)}, ["strips before the screw breaks"]),
        ({"tapped": Tapped(4.0, None)}, ["strength is not given"]),
        ({"ring_yield": None}, ["its yield is not given"]),
        ({"cone": replace(CONE, friction_high=0.08)}, ["lets go by itself even at high cone friction"]),
        ({"cone": replace(CONE, stiffness=None)}, ["at most"]),
        ({"cone": replace(CONE, radial_force=None)}, ["not known here"]),
        ({"tightening": Tightening(scatter=1.0)}, ["set to 1"]),
        ({"ring": replace(RING, outer_diameter=47.0)}, ["find no room", "A circle from 38.12 to 38.50 mm has room"]),
        ({"ring": replace(RING, outer_diameter=46.0)}, ["A ring 46.7 mm outside has room on a circle of 38.12 mm"]),
        ({"tightening": Tightening(settling=46)}, ["may slide back"]),
    ],
)
def test_the_words_say_what_was_judged(changes, said):
    got = words(**changes)
    assert not [piece for piece in said if piece not in got]


def test_a_single_or_no_jacking_screw_is_named():
    assert "A single jacking screw tilts" in " ".join(screws.block(replace(SIX, jacking=1), joint())["sentences"])
    assert "There are no jacking screws, and it takes up to" in " ".join(screws.block(replace(SIX, jacking=0), joint())["sentences"])
