"""Torsion, bending and seat pressure of the shaft, against handbook formulas evaluated apart and stress tensors."""

import math
from itertools import product

import numpy as np
import pytest
from pytest import approx

from colletfea.cases.hand import lame, shaft

HANDBOOK = "Torsion and bending of round bars and Lamé's ring, evaluated apart from the code (handbook formulas from memory)"


def von_mises(stress):
    """Of a full tensor (3, 3)."""
    deviator = stress - np.trace(stress) / 3 * np.eye(3)
    return math.sqrt(1.5 * np.sum(deviator**2))


def tensor(radial, hoop, axial, hoop_axial=0.0, radial_axial=0.0):
    return np.array([[radial, 0, radial_axial], [0, hoop, hoop_axial], [radial_axial, hoop_axial, axial]], float)


@pytest.mark.verification(source=HANDBOOK)
def test_hollow_shaft_of_twenty_millimetres():
    """20/14, 150 N m with safety, 60 MPa: shear 125.7 and 87.97; surface 266.8, bore 280.3, mouth 217.7 MPa."""
    s = shaft.shaft_stresses(60.0, 150e3, 20.0, 14.0)
    assert (s.shear, s.bore_shear) == (approx(125.7, rel=1e-3), approx(87.97, rel=1e-3))
    assert (s.surface, s.bore, s.mouth) == (
        approx(266.8, rel=1e-3), approx(280.3, rel=1e-3), approx(217.7, rel=1e-3)
    )  # fmt: skip
    assert s.greatest == s.bore


@pytest.mark.verification(source="Elementary bending: 1 kN on a lever of 100 mm bends a 20 mm bar by 127.32 MPa")
def test_bending_stress():
    assert shaft.bending(100e3, 20.0) == approx(127.324, rel=1e-5)
    assert shaft.bending(100e3, 20.0, 14.0) == approx(127.324 / (1 - 0.7**4), rel=1e-5)


@pytest.mark.parametrize("at, lever", [(13, 13), (0, 26), (26, 26), (40, 40), (-10, 36)])
def test_pull_bends_over_the_longer_lever(at, lever):
    assert shaft.pull_moment(1200.0, at, 26.0) == shaft.pull_moment(-1200.0, at, 26.0) == 1200.0 * lever


def test_solid_shaft_has_no_bore():
    s = shaft.shaft_stresses(60.0, 0.0, 20.0)
    assert s.bore is None and s.bore_shear == 0 and s.mouth == 0
    assert s.surface == s.greatest == approx(60.0)


@pytest.mark.parametrize("bore", [0.0, 14.0])
def test_bending_takes_the_worse_sign_at_every_place(bore):
    """Each place as a full stress tensor, both signs of bending."""
    s = shaft.shaft_stresses(60.0, 100e3, 20.0, bore, 50e3)
    hoop = lame.hoop_at_outside(0, 60.0, bore / 2, 10)
    places = {"surface": (-60.0, hoop, 1.0), "mouth": (0.0, 0.0, 1.0)}
    if bore:
        places["bore"] = (0.0, lame.hoop_at_bore(0, 60.0, 7, 10), 0.7)
    for name, (radial, around, share) in places.items():
        both = [von_mises(tensor(radial, around, sign * share * s.bending, share * s.shear)) for sign in (1, -1)]
        assert getattr(s, name) == approx(max(both), rel=1e-12)


def test_torsion_joins_a_field_without_twist_exactly_and_bending_on_the_safe_side():
    """Any axisymmetric stress with shear in the meridional plane; signs of bending do not matter."""
    for radial, hoop, axial, inplane in product((-60.0, 20.0), (-175.0, 80.0), (-90.0, 0.0, 120.0), (0.0, 35.0)):
        push = von_mises(tensor(radial, hoop, axial, radial_axial=inplane))
        twisted = von_mises(tensor(radial, hoop, axial, 125.7, inplane))
        assert shaft.with_torsion(push, 125.7) == approx(twisted, rel=1e-12)
        for bent in (70.0, -70.0):
            true = von_mises(tensor(radial, hoop, axial + bent, 125.7, inplane))
            assert true <= shaft.with_torsion(push, 125.7, bent) * (1 + 1e-12)
    assert shaft.with_torsion(50.0, 0.0, -20.0) == 70.0
