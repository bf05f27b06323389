"""What loads the shaft beside the seat, whatever the clamp force, against round-bar formulas worked out here."""

from math import hypot, pi, sqrt

from helpers.push import case_of
from pytest import approx

from colletfea.cases.judgement.loads import shaft_block

# 20/14 mm, 100 N m times 1.5: W_p = pi (20^4 - 14^4)/(16 20) = 1193.6 mm^3, tau = 150000/1193.6 = 125.67 MPa
SECTION = pi * (20**4 - 14**4) / (16 * 20)
HOLLOW = {"shaft__bore": 14, "duty": {"torque": 100, "slip_safety": 1.5}}


def test_torque_alone():
    found = shaft_block(case_of(**HOLLOW))
    assert found == {"torsion_MPa": approx(125.67, abs=0.01), "bending_MPa": 0.0, "von_mises_MPa": approx(217.66, abs=0.02)}
    assert found["torsion_MPa"] == approx(150e3 / SECTION) and found["von_mises_MPa"] == approx(sqrt(3) * 150e3 / SECTION)


def test_a_radial_pull_bends_it():
    """500 N at 45 mm from the far end of a seat of 20 mm: M = 22500 N mm, sigma = M/(W_p/2) = 37.70 MPa."""
    found = shaft_block(case_of(**{**HOLLOW, "duty": {**HOLLOW["duty"], "radial": 500, "radial_at": 45}}))
    assert found["bending_MPa"] == approx(500 * 45 / (SECTION / 2)) == approx(37.70, abs=0.01)
    assert found["von_mises_MPa"] == approx(hypot(37.70, sqrt(3) * 125.67), rel=1e-4)


def test_no_duty_no_load():
    assert shaft_block(case_of(push__travel=0.5, duty=None)) is None
