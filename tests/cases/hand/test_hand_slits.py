"""The hand calculation of slit sleeves against the 3D results, and what it says where a value does not hold."""

import math
from types import SimpleNamespace

import pytest
from helpers.hand import closed_case, friction, noted, slit_case
from helpers.slits import SOURCE, row_id, rows
from pytest import approx

from colletfea.cases.hand import calculation
from colletfea.cases.hand import columns, covered
from colletfea.cases.hand.coupling import coupling
from colletfea.cases.hand.slit_model import Slits

# Slits ------------------------------------------------------------------------------------------------------------


@pytest.mark.verification(source=SOURCE)
@pytest.mark.parametrize("row", [row for row in rows("pressed") if row["pattern"] == "through"], ids=row_id)
def test_pressed_slit_sleeve_passes_force_on(row):
    """q/p of the table at its bore pressure (3 %: two digits printed), and cone over bore pressure as a/b (3 %)."""
    slope = (row["wall_base"] - row["wall_nose"]) / 20
    case = slit_case(
        Slits("through", 1, 1.0),
        shaft__diameter=16 - 2 * row["c"],
        sleeve__clearance=2 * row["c"],
        sleeve__length=20.0,
        sleeve__nose_wall=row["wall_nose"],
        sleeve__taper=math.degrees(math.atan(slope)),
    )
    unit = coupling(case).changed(sleeve_young=210000.0)
    normal = row["p_bore"] / columns.mean_pressure(unit, 1.0)
    c = unit.changed(torque=unit.bore_friction * normal * unit.diameter / 2, slip_safety=1.0)
    assert columns.mean_pressure(c, columns.grip_normal(c)) == approx(row["p_bore"])
    assert calculation.hoop_over_pressure(c) == approx(row["q_over_p_cone"], rel=0.03, abs=0.005)
    assert row["p_bore"] / row["p_cone"] == approx(columns.pressure_passed(c), rel=0.03)


def test_slit_block_of_a_through_slit():
    c, slits = coupling(slit_case()), calculation.hand(slit_case())["slits"]
    pressure = 1.5 * 60000 / 11 / 0.12 / (math.pi * 22 * 26 * c.fill_fraction) * c.bore_radius / c.cone_radius
    q = 206000 * c.wall.thickness(13) * 0.0135 / c.wall.radius(13) ** 2
    assert slits["q_over_p"] == approx(q / pressure)
    assert slits["cone_peak_factor"] == approx(1 + 0.33 * q / pressure)
    assert slits["excess_cone_force_relative"] == approx(c.closing.ratio * q / pressure)
    assert slits["bending_stress_MPa"] == approx(
        1.19 * 206000 * c.wall.thickness(0) * 0.0135 / (2 * c.wall.radius(0) ** 2)
    )
    assert slits["shuts_at_closing_mm"] == approx(1.5 / (2 * math.pi))


def test_flange_has_no_share_in_the_excess_of_the_sleeve():
    bare, flanged = (calculation.hand(slit_case(flange=flange))["slits"] for flange in ((0.0, 0.0), (6.0, 52.0)))
    assert bare["excess_cone_force_relative"] == flanged["excess_cone_force_relative"]


@pytest.mark.parametrize("pattern, depth", [("fingers", 18.0), ("alternating", 20.0)])
def test_slotted_patterns_have_no_ring_bending(pattern, depth):
    hand = calculation.hand(slit_case(Slits(pattern, 4, 1.0, depth)))
    assert hand["slits"]["bending_stress_MPa"] is None and hand["slits"]["excess_cone_force_relative"] is None
    base = covered.grip_share(coupling(slit_case(Slits(pattern, 4, 1.0, depth))))
    assert hand["refined"]["grip_force_N"] == approx(hand["plain"]["grip_force_N"] * base)
    assert (base > 1) is (pattern == "fingers")
    assert {"slits.cone_peak_factor", "refined.stress_MPa.sleeve_von_mises"} <= noted(hand)


def test_fingers_close_over_their_slotted_part_only():
    c = coupling(slit_case(Slits("fingers", 4, 1.0, 18.0)))
    start = c.model.slotted_from
    assert 8.0 < start < 11.0 and c.closing.length == approx(26 - start)
    area = (26 - start) * (c.wall.thickness(start) + c.wall.thickness(26)) / 2
    assert c.closing.area == approx(area)
    mean_diameter = 22.027 + area / (26 - start)
    expected = 2 * math.pi * c.closing.ratio * 206000 * area * 0.027 / mean_diameter
    assert columns.plain(c)["closing_normal_force_N"] == approx(expected)


def test_given_hoop_stiffness_scales_the_closing_force():
    forces = [
        calculation.hand(slit_case(Slits("through", 1, 1.5, 0.0, True, eta)))["refined"]["closing_force_N"]
        for eta in (0.02, 0.04)
    ]
    assert forces[1] == approx(2 * forces[0])


# Missing values and notes -----------------------------------------------------------------------------------------


def test_without_a_duty_only_closing_remains():
    hand = calculation.hand(closed_case(duty=None))
    assert hand["grip_normal_force_N"] is None and "grip_normal_force_N" in noted(hand)
    for column in ("plain", "refined"):
        assert hand[column]["closing_force_N"] > 0 and hand[column]["clamp_force_N"] is None
    assert set(hand["refined"]["stress_MPa"].values()) == {None}


def test_slots_that_shut_too_early_leave_no_closing_force():
    hand = calculation.hand(slit_case(Slits("through", 1, 0.05)))
    missing = {
        f"refined.{key}" for key, value in hand["refined"].items() if value is None and "normal" not in key
    }
    assert {"refined.closing_force_N", "refined.release_force_N"} <= missing <= noted(hand)
    assert hand["plain"]["clamp_force_N"] is None and hand["plain"]["closing_travel_mm"] > 0


def test_fit_whose_loosest_end_shuts_the_slots_is_named():
    limits = SimpleNamespace(tightest=0.0, middle=0.027, loosest=0.4)
    hand = calculation.hand(slit_case(Slits("through", 1, 1.0), sleeve__fit="H8/h7"), limits)
    assert hand["fit"]["loosest"]["refined"]["closing_force_N"] is None and "fit.loosest" in noted(hand)


@pytest.mark.parametrize(
    "changed, key",
    [
        ({"sleeve__held": "fully"}, "plain.closing_force_N"),
        ({"sleeve__held": "fully"}, "refined.clamp_force_N"),
        ({"flange": (6.0, 52.0), "slits": Slits("through", 1, 1.5, 0.0, False)}, "plain.clamp_force_N"),
        ({"slits": Slits("fingers", 4, 1.0, 18.0)}, "refined.clamp_force_sliding_N"),
        ({"ring__taper": 4.9}, "refined.closing_travel_mm"),
        ({"flange": (6.0, 52.0), "slits": Slits()}, "refined.closing_force_N"),
        ({"flange": (6.0, 52.0), "slits": Slits("through", 1, 1.5, 0.0, False)}, "refined.closing_force_N"),
        ({"slits": Slits("through", 2, 1.5)}, "hoop_stiffness_ratio"),
        ({"slits": Slits("alternating", 4, 1.0, 20.0)}, "hoop_stiffness_ratio"),
        ({"slits": Slits("fingers", 4, 1.0, 18.0)}, "plain.closing_force_N"),
        ({"sleeve__nose_wall": 0.2, "sleeve__taper": 1.0}, "hoop_stiffness_ratio"),
    ],
)
def test_reservations_are_named(changed, key):
    assert key in noted(calculation.hand(slit_case(**changed)))
    assert key not in noted(calculation.hand(slit_case()))


def test_seat_without_friction_holds_nothing():
    hand = calculation.hand(slit_case(friction__bore=friction(0.0, 0.0, 0.0)))
    assert hand["grip_normal_force_N"] is None and "grip_normal_force_N" in noted(hand)
