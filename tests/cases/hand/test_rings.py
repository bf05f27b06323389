"""Rotating and warmed rings: printed check values, the solid disc, and radial equilibrium integrated step by step."""

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from pytest import approx
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from colletfea.cases.hand import lame, rings
from colletfea.cases.hand.rings import Annulus

STEEL = (210000.0, 0.3)
TURNS = 6000 * math.pi / 30


def steel(loose, bore=0.0):
    return Annulus(bore, 11, *STEEL), Annulus(11, 14.5, *STEEL, loose=loose), Annulus(14.5, 23, *STEEL)


@pytest.mark.verification(source="Thick rotating rings in plane stress, values computed apart from the code")
@pytest.mark.parametrize("loose, speed, warm", [(True, -0.6423, -31.14), (False, -0.5216, -33.18)], ids=["slit", "closed"])
def test_steel_rings_of_twenty_two_millimetres(loose, speed, warm):
    """Shaft 22, sleeve 22/29, ring 29/46: 6000/min; and ring/sleeve/shaft +40/20/0 K at 11.5e-6."""
    assert rings.change(steel(loose), TURNS).pressures[0] == approx(speed, rel=1e-3)
    assert rings.change(rings.warmed(steel(loose), 40.0), 0.0).pressures[0] == approx(warm, rel=1e-3)


@pytest.mark.verification(source="Rotating solid disc of one piece, Timoshenko & Goodier, section 32 (from memory)")
def test_like_rings_are_one_disc():
    """sigma_r = (3 + nu)/8 rho w^2 (R^2 - r^2), sigma_theta the like; both at both interfaces."""
    found, inertia = rings.change(steel(False), TURNS), 7.85e-9 * TURNS**2 / 8
    for pressure, r in zip(found.pressures, (11, 14.5), strict=True):
        assert pressure == approx(-3.3 * inertia * (23**2 - r**2), rel=1e-9)
    assert found.hoop == approx(inertia * (3.3 * 23**2 - 1.9 * 14.5**2), rel=1e-9)


def test_hollow_shaft_of_like_steel_is_one_ring():
    """Radial stress of a rotating ring: (3 + nu)/8 rho w^2 (a^2 + b^2 - a^2 b^2/r^2 - r^2)."""
    found = rings.change(steel(False, bore=5.0), TURNS).pressures
    for pressure, r in zip(found, (11, 14.5), strict=True):
        radial = 3.3 / 8 * 7.85e-9 * TURNS**2 * (25 + 529 - 25 * 529 / r**2 - r**2)
        assert pressure == approx(-radial, rel=1e-9)


UNLIKE = (
    Annulus(3.0, 11, 70000, 0.33, 2.7e-9, 23e-6, 10.0),
    Annulus(11, 14.5, 110000, 0.34, 8.8e-9, 17e-6, 30.0),
    Annulus(14.5, 23, 206000, 0.3, 7.85e-9, 11.5e-6, 50.0),
)


@pytest.mark.verification(source="Radial equilibrium of turning, warm rings integrated step by step (scipy.integrate)")
@pytest.mark.parametrize("loose, fill", [(False, 1.0), (True, 0.9)], ids=["closed", "slit"])
def test_three_materials_against_integrated_equilibrium(loose, fill):
    speed = 3000.0
    parts = (UNLIKE[0], replace(UNLIKE[1], loose=loose, fill=fill), UNLIKE[2])
    states = integrated(parts, speed)
    found = rings.change(parts, speed)
    assert found.pressures == approx([-s[1] for s in states[:2]], rel=1e-6)
    u, radial = states[1]
    last = parts[2]
    hoop = last.young * (u / 14.5 - last.expansion * last.warmer) + last.poisson * radial
    assert found.hoop == approx(hoop, rel=1e-6)


def integrated(parts, speed):
    """(Displacement, mean radial stress) at the outside of each part, free at both ends, by marching and a root."""

    def march(start):
        state, states = [start, 0.0], []
        for p in parts:
            share = p.fill if p.loose else 1.0

            def slopes(r, y, p=p, share=share):
                u, radial = y[0], y[1] / share
                hoop = 0.0 if p.loose else p.young * (u / r - p.expansion * p.warmer) + p.poisson * radial
                strain = (radial - p.poisson * hoop) / p.young + p.expansion * p.warmer
                return [strain, share * ((hoop - radial) / r - p.density * speed**2 * r)]

            state = solve_ivp(slopes, (p.bore, p.outside), state, rtol=1e-10, atol=1e-12).y[:, -1]
            states.append(state)
        return states

    return march(brentq(lambda start: march(start)[-1][1], -1.0, 1.0, xtol=1e-15))


@pytest.mark.verification(source="Press fit of two rings by Lamé: the interference that a temperature takes away")
def test_warm_ring_on_a_solid_shaft_is_a_press_fit_undone():
    shaft, hub = Annulus(0, 10, 207000, 0.292, expansion=12e-6), Annulus(10, 25, 100000, 0.211, expansion=10e-6, warmer=60.0)
    fit = lame.seat_pressure(0, -10e-6 * 60 * 10, 10, 25, 100000, 0.211, lame.shaft_compliance(10, 0, 207000, 0.292))
    assert rings.change((shaft, hub), 0.0).pressures[0] == approx(-fit, rel=1e-9)
    warm = replace(shaft, warmer=60.0)
    assert rings.change((warm, hub), 0.0).pressures[0] == approx(fit * 2 / 10, rel=1e-9)  # the shaft grows more


def test_all_parts_warmer_moves_unlike_materials_only():
    assert rings.change(rings.warmed(steel(False), warmer=50.0), 0.0).pressures == approx((0, 0), abs=1e-9)
    aluminium = replace(steel(False)[0], expansion=23e-6)
    assert rings.change(rings.warmed((aluminium, *steel(False)[1:]), warmer=50.0), 0.0).pressures[0] > 0


def test_service_gives_forces_and_their_signs():
    hot = rings.service(steel(True), 20.0, speed=6000.0, ring_hotter=40.0)
    area = math.pi * 22 * 20
    assert hot.lost_by_speed == approx(0.6423 * area, rel=1e-3)
    assert hot.lost_by_temperature == approx(31.14 * area, rel=1e-3)
    assert hot.lost == hot.lost_by_speed + hot.lost_by_temperature
    assert hot.hoop_by_speed > 0 > hot.hoop_by_temperature
    assert hot.cone_lost_by_temperature > 0 and hot.cone_lost_by_speed > 0
    cold = rings.service(steel(True), 20.0, ring_hotter=-40.0)
    assert cold.lost_by_temperature == approx(-hot.lost_by_temperature) and cold.hoop_by_temperature > 0
    assert cold.lost_by_speed == 0


def test_loose_sleeve_passes_force_in_and_its_mass_out():
    """Change of radial force, ring to shaft, is the mass's: rho w^2 (b^3 - a^3)/3 per radian and length."""
    inner, outer = rings.change(steel(True), TURNS).pressures
    assert outer * 14.5 - inner * 11 == approx(7.85e-9 * TURNS**2 * (14.5**3 - 11**3) / 3, rel=1e-9)


def test_rings_of_a_case_take_each_part_s_own_numbers():
    def part(young, poisson, density, expansion):
        return SimpleNamespace(
            material=SimpleNamespace(young=young, poisson=poisson, density=density, expansion=expansion)
        )

    case = SimpleNamespace(
        shaft=part(70000.0, 0.33, 2700, 23e-6), sleeve=part(110000.0, 0.34, 8800, 17e-6), ring=part(206000.0, 0.3, 7850, 11e-6)
    )
    c = SimpleNamespace(shaft_bore=6.0, bore_radius=11.0, cone_radius=14.5, ring_radius=23.0, closed=False, fill_fraction=0.95)
    shaft, sleeve, ring = rings.rings_of(c, case)
    assert shaft == Annulus(3.0, 11.0, 70000.0, 0.33, approx(2.7e-9), 23e-6)
    assert sleeve == Annulus(11.0, 14.5, 110000.0, 0.34, approx(8.8e-9), 17e-6, loose=True, fill=0.95)
    assert ring == Annulus(14.5, 23.0, 206000.0, 0.3, approx(7.85e-9), 11e-6)
    c.closed = True
    assert not rings.rings_of(c, case)[1].loose
    assert np.isfinite(rings.service((shaft, sleeve, ring), 20.0, 3000.0, 10.0, 20.0).lost)
