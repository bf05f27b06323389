"""What a change does to the margin to yield: each part's stress by hand, in the corner in which it was judged."""

import pytest
from helpers.push import case_of, push_corner
from pytest import approx

from colletfea.cases.casefile import fits
from colletfea.cases.casefile.case import Case
from colletfea.cases.hand.corners import GRIP, LOOSE, TIGHT, Clamp
from colletfea.cases.judgement import by_hand, screws
from colletfea.cases.judgement.blocks import usable_torque
from colletfea.cases.judgement.sensitivity import sensitivities
from colletfea.cases.stored.verdict import Verdict

#: a closed sleeve that comes nearest to yield where it closes most, at the loosest fit
TABLES = {
    "shaft": {"diameter": 22}, "sleeve": {"length": 26, "nose_wall": 2.2, "taper": 5, "fit": "H8/h7"},
    "ring": {"length": 24, "outer_diameter": 56, "start": 3, "material": {"young": 210000, "poisson": 0.3, "yield": 900}},
    "friction": {"cone": 0.1, "bore": 0.12}, "duty": {"torque": 60}, "drop": ("push",),
}
CASE = case_of(**TABLES)
FORCE = 104160.0
CLAMP = Clamp(65060.0, 65100.0, FORCE, 1.6, "")


def judged(corner, part, margin):
    return Verdict(f"yield_{part}", None, None, "MPa", margin, None, "").at(corner)


@pytest.fixture(scope="module")
def pushed():
    """The corners that count, on the quick mesh."""
    return {name: push_corner(CASE, "quick", name, force=force)[1] for name, force in ((GRIP, CLAMP.least), (LOOSE, FORCE))}


def rows(pushed, *verdicts):
    found = sensitivities(CASE, CLAMP, list(pushed.values()), {}, verdicts)
    return {row["key"]: row["yield_margin"] for row in found}


@pytest.mark.parametrize("key, to, off", [("sleeve.fit", "H7/h7", 0.01), ("shaft.diameter", 23.1, 0.01), ("ring.length", 25.2, 0.02), ("ring.outer_diameter", 58.8, 0.01)])
def test_a_sleeve_that_yields_is_scaled_by_its_own_stress(pushed, key, to, off):
    """Against a run of the change, 0.3, 0.1, 1.5 and 0.2 % off. A longer or thicker ring is no help, whatever it does to the ring."""
    found = rows(pushed, judged(LOOSE, "sleeve", 0.632), judged(LOOSE, "ring", 1.098), judged(TIGHT, "shaft", 1.209))
    run = push_corner(CASE.changed({key: to}), "quick", LOOSE, force=FORCE)[1]
    ratio = pushed[LOOSE].stresses["sleeve"].value / run.stresses["sleeve"].value
    assert found[key] / 0.632 == approx(ratio, rel=off)


def test_another_part_s_margin_is_the_least_once_the_first_has_gained(pushed):
    """The tighter fit brings the sleeve's margin from 0.95 to more than the ring's, which stays what it was."""
    found = rows(pushed, judged(LOOSE, "sleeve", 0.95), judged(LOOSE, "ring", 1.0))
    assert found["sleeve.fit"] == approx(1.0, rel=1e-3) and found["ring.length"] == approx(0.95)


def test_nothing_judged_has_no_margin(pushed):
    assert set(rows(pushed).values()) == {None}


@pytest.mark.parametrize("fit, step", [("H8/h7", "sleeve.fit"), ("H7/h6", None), ("H7/f7", "sleeve.fit"), (None, "sleeve.clearance")])
def test_a_fit_is_moved_to_a_tighter_one_and_never_to_a_single_clearance(fit, step):
    """H7/h6 has none tighter. One clearance instead of a fit would seem to gain what the fit's scatter takes."""
    case = CASE.changed({"sleeve.fit": fit} if fit else {"sleeve.clearance": 0.03})
    grip = by_hand.in_corner(case, fits.of(case), GRIP, CLAMP)
    moved = {row["key"]: row["clamp_force_N"] for row in sensitivities(case, CLAMP, [grip], {}, ())}
    assert {"sleeve.fit", "sleeve.clearance"} & set(moved) == {step} - {None} and "shaft.diameter" in moved
    assert step is None or moved[step] < CLAMP.needed


@pytest.mark.parametrize("key, to", [("sleeve.clearance", 0.038), ("ring.outer_diameter", 48.3), ("shaft.diameter", 23.1)])
def test_a_push_to_a_travel_is_scaled_at_that_travel(key, to):
    """Against a run of the change 0.03, 0.3 and 0.2 % off; scaled at the force, which changes too, 6 to 8 %."""
    case = Case.example("sprocket_hub").changed({"sleeve.clearance": 0.04, "push.travel": 0.36})
    grip, run = (push_corner(one, "quick", GRIP)[1] for one in (case, case.changed({key: to})))
    told = {row["key"]: row for row in sensitivities(case, Clamp(None, grip.force, grip.force, 1.0, ""), [grip], {}, ())}
    assert told[key]["changed_to"] == to and told[key]["travel_mm"] == approx(0.36) == run.travel
    assert told[key]["torque_capacity_Nm"] == approx(usable_torque(case.changed({key: to}), run, {}), rel=0.005)


def test_a_change_that_leaves_the_screws_no_room_says_so():
    """Six M4 have room on circles from 36.95 mm, from 38.05 mm with a shaft of 23.1 mm, and the default one goes from 37.26 to 37.81 mm."""
    case = Case.example("sprocket_hub")
    grip = by_hand.in_corner(case, fits.of(case), GRIP, CLAMP)
    for given, keys in ((case, {"shaft.diameter"}), (case.changed({"screws.size": "M3"}), set()), (case.changed({"screws": None}), set())):
        told = sensitivities(given, CLAMP, [grip], {}, ())
        assert {row["key"] for row in told if row["screws_fit"] is False} == keys
        for row in told:
            named = screws.verdicts(changed := given.changed({row["key"]: row["changed_to"]}), CLAMP, screws.block(changed, CLAMP, [grip]), None, False)
            assert [v.ok for v in named if v.name == "screw_room"] == ([] if row["screws_fit"] is None else [row["screws_fit"]])
