"""A radial pull on the seat: statics summed round the circumference, and what is not judged."""

import math

import pytest
from pytest import approx

from colletfea.cases.hand import radial
from colletfea.cases.hand.integral import integral
from colletfea.cases.hand.radial import Seat, radial_pull
from colletfea.cases.hand.shaft import bending

SOLID = (22.0, 0.0)


@pytest.mark.verification(source="Statics evaluated by hand: d 22, L 26, 1200 N at the nose (z = 26): 5.342 MPa")
def test_amplitude_of_a_pull_at_the_nose():
    assert radial.amplitude(1200, 13, 26, 22) == approx(5.342, rel=1e-4)
    assert radial.amplitude(-1200, -13, 26, 22, 0.5) == approx(2 * 5.342, rel=1e-4)
    pull = radial_pull(Seat(0, 26, 22, 60.0), 1200, 26, 26, SOLID)
    assert pull.amplitude == approx(1.7 * 5.342, rel=1e-4)
    assert pull.least_pressure == approx(60 - 1.7 * 5.342, rel=1e-4)
    assert pull.bending == approx(32 * 1200 * 26 / (math.pi * 22**3))
    assert pull.judged and "9.08 MPa" in pull.reason and "are left" in pull.reason


@pytest.mark.verification(source="Force and moment of p cos(theta) on a cylinder, summed by quadrature")
def test_first_harmonic_balances_the_pull():
    """Uniform and linear part of the amplitude along z, summed round and along, are the pull and its moment."""
    d, length, lever, pull = 30.0, 24.0, 9.0, 1000.0
    uniform = radial.amplitude(pull, 0, length, d)
    tilt = radial.amplitude(pull, lever, length, d) - uniform
    around = integral(lambda a: math.cos(a) ** 2, 0, 2 * math.pi) * d / 2
    assert around * integral(lambda z: uniform + 2 * tilt / length * z, -length / 2, length / 2) == approx(pull)
    moment = around * integral(lambda z: (uniform + 2 * tilt / length * z) * z, -length / 2, length / 2)
    assert moment == approx(pull * lever)


def test_slit_sleeve_loses_pressure_beside_the_slit():
    through = radial_pull(Seat(0, 26, 22, 30.0, 0.97, "through", 20.0), 1200, 13, 26, SOLID)
    closed = radial_pull(Seat(0, 26, 22, 30.0, 0.97, "none", 20.0), 1200, 13, 26, SOLID)
    assert closed.least_pressure - through.least_pressure == approx(14.0)
    assert closed.amplitude == through.amplitude == approx(1.7 * 2 * 1200 / (math.pi * 22 * 26 * 0.97))
    assert "14 MPa beside the slit" in through.reason


def test_seat_that_opens_is_judged_and_says_so():
    pull = radial_pull(Seat(0, 26, 22, 5.0), 1200, 26, 26, SOLID)
    assert pull.judged and pull.least_pressure < 0 and "opens" in pull.reason


@pytest.mark.parametrize(
    "seat, at, word",
    [
        (Seat(0, 27.6, 22, 60), 13, "1.25 diameters long"),
        (Seat(0, 26, 22, 60), 52.1, "from the middle"),
        (Seat(0, 26, 22, 60), -26.1, "from the middle"),
        (Seat(0, 26, 22, 60, 0.9, "fingers"), 13, "fingers"),
        (Seat(0, 26, 22, 60, 0.9, "alternating"), 13, "alternating slots"),
        (Seat(5, 5, 22, 0.0), 13, "touches"),
    ],
)
def test_outside_its_range_nothing_is_judged_but_the_shaft_bends_all_the_same(seat, at, word):
    pull = radial_pull(seat, 1200, at, 26, SOLID)
    assert not pull.judged and pull.amplitude is None and pull.least_pressure is None
    assert word in pull.reason and "judged" not in pull.reason  # the verdict and the decision say that
    assert pull.bending == approx(bending(1200 * max(abs(at), abs(26 - at)), 22))
    assert pull.block() == {"pressure_amplitude_MPa": None, "least_pressure_MPa": None, "bending_MPa": pull.bending}


@pytest.mark.parametrize("seat, at", [(Seat(0, 27.5, 22, 60), 13), (Seat(0, 26, 22, 60), 52), (Seat(0, 26, 22, 60), -26)])
def test_the_ends_of_the_range_are_judged(seat, at):
    assert radial_pull(seat, 1200, at, 26, SOLID).judged
