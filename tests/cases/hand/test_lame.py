"""Thick rings against printed press-fit values and the closed forms of Lamé."""

import math

import pytest
from pytest import approx

from colletfea.cases.hand import lame
from colletfea.cases.hand.integral import integral

LAME = "Lamé, Timoshenko & Goodier, Theory of Elasticity, section 28 (from memory), evaluated by hand"
STEEL = (210000.0, 0.3)
ROUNDED = 2e-6  # the targets are printed to six figures


@pytest.mark.verification(source=LAME)
def test_tube_under_inner_pressure():
    assert lame.hoop_at_bore(100, 0, 10, 20) == approx(166.667, rel=3e-6)
    assert lame.bore_expansion(100, 10, 20, *STEEL) == approx(9.36508e-3, rel=ROUNDED)
    assert lame.von_mises(-100, lame.hoop_at_bore(100, 0, 10, 20)) == approx(233.333, rel=ROUNDED)


@pytest.mark.verification(source=LAME)
def test_tube_under_outer_pressure():
    assert lame.hoop_at_bore(0, 100, 10, 20) == approx(-266.667, rel=ROUNDED)
    assert lame.outside_closing(0, 100, 10, 20, *STEEL) == approx(0.0130159, rel=4e-6)
    assert lame.outside_over_bore_closing(10, 20, 0.3) == approx(0.0130159 / 0.0126984, rel=8e-6)
    assert lame.outside_closing(100, 0, 10, 20, *STEEL) == approx(-6.34921e-3, rel=ROUNDED)


@pytest.mark.verification(
    source="Printed example of a press fit in a public teaching manual: 100 MPa, plane stress"
)
def test_printed_press_fit():
    compliance = lame.shaft_compliance(500, 0, 2e5, 0.3)
    assert lame.seat_pressure(0, -0.6667, 500, 1000, 2e5, 0.3, compliance) == approx(100, rel=1e-4)


@pytest.mark.verification(
    source="Budynas & Nisbett, Shigley's Mechanical Engineering Design, ch. 7; numbers by hand"
)
@pytest.mark.parametrize(
    "radii, diametral, hub, shaft, bore, target",
    [
        ((20, 40), 0.05, (100000, 0.211), (207000, 0.292), 10, 49.1786),
        ((15, 30), 0.03, STEEL, STEEL, 0, 78.7500),
        ((15, 30), 0.03, (70000, 0.33), STEEL, 0, 31.3901),
    ],
    ids=["iron hub on hollow steel", "steel on steel", "aluminium on steel"],
)
def test_press_fit_of_two_materials(radii, diametral, hub, shaft, bore, target):
    compliance = lame.shaft_compliance(radii[0], bore, *shaft)
    assert lame.seat_pressure(0, -diametral / 2, *radii, *hub, compliance) == approx(target, rel=ROUNDED)


@pytest.mark.verification(source=LAME)
def test_pressure_that_closes_a_clearance():
    """Sleeve 10/14, radial clearance 0.01: 51.4286 MPa, and the bore's hoop stress is then -E c/r."""
    assert lame.closing_pressure(0.01, 10, 14, 210000) == approx(51.4286, rel=ROUNDED)
    assert lame.hoop_at_bore(0, 51.4286, 10, 14) == approx(-210.0, rel=ROUNDED)


@pytest.mark.verification(source=LAME)
@pytest.mark.parametrize("outside, target", [(100, 48.5714), (150, 98.5714)])
def test_closed_sleeve_passes_pressure_on_to_a_shaft_of_its_own_material(outside, target):
    compliance = lame.shaft_compliance(10, 0, *STEEL)
    assert lame.seat_pressure(outside, 0.01, 10, 14, *STEEL, compliance) == approx(target, rel=ROUNDED)


@pytest.mark.verification(source=LAME)
@pytest.mark.parametrize(
    "shaft, clearance, target",
    [
        ((70000, 0.33), 0.01, 36.7738),
        ((math.inf, 0.3), 0.01, 58.6207),
        ((70000, 0.33), 0.0, 75.7108),
        ((math.inf, 0.3), 0.0, 120.690),
        (STEEL, 0.0, 100.0),
    ],
    ids=[
        "aluminium",
        "rigid",
        "aluminium without clearance",
        "rigid without clearance",
        "steel without clearance",
    ],
)
def test_closed_sleeve_on_another_shaft(shaft, clearance, target):
    compliance = lame.shaft_compliance(10, 0, *shaft)
    assert lame.seat_pressure(100, clearance, 10, 14, *STEEL, compliance) == approx(target, rel=3e-6)


@pytest.mark.verification(source="sigma_r r = const without hoop stress, derived here")
def test_sleeve_without_hoop_stress_gets_thinner():
    """10/14 under 100 MPa: 2.24315e-3 mm; and the same by summing the radial strain through the wall."""
    loss = lame.hoop_free_shortening(100, 10, 14, 210000)
    assert loss == approx(2.24315e-3, rel=ROUNDED)
    assert loss == approx(integral(lambda r: 100 * 14 / r / 210000, 10, 14), rel=1e-12)


@pytest.mark.parametrize("bore", [0.0, 6.0])
def test_shaft_and_sleeve_close_by_the_same_amount(bore):
    """The seat pressure leaves the sleeve's bore and the shaft's surface on one radius: both from their own formulas."""
    a, b, clearance, outside = 10.0, 14.0, 0.01, 120.0
    compliance = lame.shaft_compliance(a, bore, 70000, 0.33)
    seat = lame.seat_pressure(outside, clearance, a, b, *STEEL, compliance)
    strain = (lame.hoop_at_bore(seat, outside, a, b) + 0.3 * seat) / 210000
    assert -a * strain == approx(clearance + compliance * seat, rel=1e-12)


def test_integral_of_a_known_function():
    assert integral(lambda x: 1 / x, 1.0, 4.0) == approx(math.log(4), rel=1e-9)
    assert integral(lambda x: x**9, -1.0, 2.0, panels=1) == approx((2**10 - 1) / 10, rel=1e-12)
