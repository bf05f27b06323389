"""What settling leaves of the grip: by the numbers of a case, against simulated couplings, and how it is told beside the verdicts."""

import pytest
from pytest import approx

from colletfea.cases import run
from colletfea.cases.casefile.case import Case
from colletfea.cases.judgement.settling import FOLLOWS
from colletfea.cases.public import by_hand
from colletfea.cases.report import decided, decision, screw_lines


def settled(**changes):
    keys = {"screws__settling": 40} | changes
    return by_hand(Case.example("sprocket_hub").changed({key.replace("__", "."): value for key, value in keys.items()}))


def grip(found):
    return next(one for one in found["corners"] if one["name"] == "grip")


def test_a_tenth_of_what_the_screws_lose_is_taken_off_what_presses_the_seat():
    """Torque and normal force go together: 90 N m are asked for, so torque/90 times what is left of the normal force."""
    found = settled()
    corner, lost = grip(found), 6 * found["screws"]["preload_lost_N"]
    left = corner["usable_torque_Nm"] / 90 * (1 - 0.1 * lost / corner["bore"]["normal_force_N"])
    assert lost > 10000 and found["screws"]["grip_after_settling"] == {"bore": approx(left)} and left < 0.995


def test_a_cone_that_carries_loses_the_share_of_its_taper_more():
    """sin 5 degrees beside the tenth; the cone's torque against 45 N m."""
    found = settled(duty__torque=30, duty__carried_by="ring", friction__cone=[0.09, 0.1, 0.11])
    corner, lost = grip(found), 6 * found["screws"]["preload_lost_N"]
    cone = corner["cone"]
    left = cone["torque_capacity_Nm"] / 45 * (1 - 0.187156 * lost / cone["normal_force_N"])
    assert found["screws"]["grip_after_settling"]["cone"] == approx(left, rel=1e-6)


def test_the_grip_of_a_simulated_coupling_follows_no_more_than_that():
    """Drawn back while its cone sticks, till nothing pulls any more: of five hubs this one's bore follows most, by 0.066 to 0.084."""
    rows = run.solve(Case.example("bronze_sleeve").changed({"after.release": True}), "quick").history
    back = [row for row in rows if row["stage"] == "release" and row["push_force_N"] > -1]
    first, sine = back[0], 0.0871557
    less = [(first["push_force_N"] - row["push_force_N"], row) for row in back[2:]]
    bore, cone = ([(first[key] - row[key]) / force for force, row in less] for key in ("bore_normal_force_N", "cone_normal_force_N"))
    assert len(less) > 5 and 0.06 < max(bore) <= FOLLOWS and 0.13 < max(cone) <= FOLLOWS + sine


@pytest.mark.parametrize("settling, told", [(40, "which is too little: a greater push.force covers that"), (0, "")])
def test_a_grip_that_is_ok_by_less_than_settling_takes_says_so(settling, told):
    found = settled(screws__settling=settling)
    slip = next(v for v in found["verdicts"] if v["name"] == "slip")
    said = decision.sentences(found)
    assert slip["ok"] and slip["margin"] < 1.01 and (told in " ".join(said))
    assert ("Judged before the screws settle" in slip["because"]) == ("before the screws settle" in said[0]) == bool(told)


def test_a_grip_that_can_spare_it_is_told_with_what_is_left():
    found = settled(push__force=24000)
    (said,) = [line for line in decision.sentences(found) if line.startswith("The grip is judged before the screws settle")]
    assert min(found["screws"]["grip_after_settling"].values()) > 1 and said.endswith("times what is asked.")


def test_each_preload_is_told_with_what_it_is_for():
    """23 kN over six are 3833 N; what is left once they have settled is the other number."""
    found = settled(push__force=23000)
    screws = found["screws"]
    assert screws["preload_least_N"] + screws["preload_lost_N"] == approx(23000 / 6) and screws["preload_least_N"] < 2500
    short, page, told = screw_lines.short(found)[0], decided.screws(found), " ".join(screws["sentences"])
    assert "3.83 to 6.13 kN each before settling, for the grip, and" in short and "at least after it, for the ring to stay, at" in short
    assert "Preload before settling, least (counted on for the grip) and greatest" in page and "3.83 kN and 6.13 kN" in page
    assert "Preload after settling, least (counted on for the ring to stay)" in page
    assert "3833 N a screw is counted on for the grip, before settling" in told
    assert "from 3833 to 6133 N each" in next(v for v in found["verdicts"] if v["name"] == "screws")["because"]
    assert "counted on) and greatest" in decided.screws(settled(screws__settling=0))
