"""What report and verdicts draw from the hand calculation: worst friction and advice."""


from helpers.hand import closed_case, slit_case
from pytest import approx

from colletfea.cases.hand import calculation, columns
from colletfea.cases.hand.coupling import coupling
from colletfea.cases.hand.slit_model import Slits


def test_worst_friction_pair_of_the_flanged_hub():
    """The worst pair asks for about half as much force again as the nominal one."""
    case = slit_case(flange=(6.0, 52.0))
    worst = calculation.at_friction(case, cone=0.13, bore=0.09)["refined"]["clamp_force_N"]
    nominal = calculation.at_friction(case, cone=0.10, bore=0.12)
    assert nominal == {name: calculation.hand(case)[name] for name in ("plain", "refined")}
    assert 1.4 < worst / nominal["refined"]["clamp_force_N"] < 1.6


def test_advice_recomputes_the_changed_design():
    entries = {entry["key"]: entry for entry in calculation.hand(closed_case())["advice"]}
    designed = entries[None]
    assert designed["clamp_force_N"] == calculation.hand(closed_case())["refined"]["clamp_force_N"]
    thinner = calculation.hand(closed_case(sleeve__nose_wall=1.05))["refined"]
    assert entries["sleeve.nose_wall"]["closing_force_N"] == approx(thinner["closing_force_N"])
    better = calculation.hand(closed_case(friction={"cone": 0.08, "bore": 0.15}))["refined"]
    assert entries["friction.bore"]["grip_force_N"] == approx(better["grip_force_N"])
    assert entries["sleeve.slits"]["closing_force_N"] < 0.02 * designed["closing_force_N"]


def test_a_clearance_is_advised_only_where_the_case_file_takes_one():
    keys = [{e["key"] for e in calculation.hand(closed_case(**which))["advice"]} for which in ({}, {"sleeve__clearance": None, "sleeve__fit": "H8/f7"})]
    assert "sleeve.clearance" in keys[0] and "sleeve.clearance" not in keys[1] and "sleeve.nose_wall" in keys[1]


def test_no_more_friction_is_advised_than_a_case_file_may_have():
    changes = [e["change"] for bore in (0.9, 1.0) for e in calculation.hand(closed_case(friction={"cone": 0.08, "bore": bore}))["advice"] if e["key"] == "friction.bore"]
    assert changes == ["bore friction of 1"]


def test_softer_or_slit_sleeves_leave_the_plain_grip_force_alone():
    """The plain grip force moves with friction only, at a given duty, shaft and taper."""
    base = coupling(slit_case())
    grips = [
        columns.plain(base.changed(**change))["grip_force_N"]
        for change in (
            {},
            {"sleeve_young": 70000.0},
            {"nose_wall": 1.0},
            {"slits": Slits()},
            {"clearance": 0.01},
        )
    ]
    assert grips == [grips[0]] * 5
    assert columns.plain(base.changed(bore_friction=0.15))["grip_force_N"] < grips[0]
    assert columns.plain(base.changed(cone_friction=0.05))["grip_force_N"] < grips[0]
