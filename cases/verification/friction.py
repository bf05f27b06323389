"""Checks of friction along a seat: a rod that is drawn out, and torque up to full slip, with thrust, and spreading."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from colletfea.cases.verification.check import Check
from colletfea.cases.verification.scene import STEEL, Solved, hold, model, pair, rigid, solved
from colletfea.fea.bodies.elastic import Elastic
from colletfea.fea.elements.grids import block, graded, join, spread
from colletfea.fea.model.drives import ANGLE, Drive, Z

_RADIUS, _FRICTION = 10.0, 0.1


def _fitted(stations: np.ndarray, pressure: float, radius: float = _RADIUS, poisson: float = 0.3, twist: bool = True, **kept) -> Solved:
    """Shaft in a longer rigid sleeve, fitted without friction under a uniform pressure [MPa], with friction from then on."""
    over = pressure * radius * (1 - poisson) / STEEL.young
    shaft = block(0, radius + over, stations, spread(0, 1, 5, ratio=0.4))
    sleeve = block(radius, 1.2 * radius, spread(stations[0] - 5, stations[-1] + 5, 40), spread(0, 1, 1))
    mesh, law, seat = join({"shaft": shaft, "sleeve": sleeve}), Elastic(STEEL.young, poisson), pair("shaft.outer", "sleeve.inner", **kept)
    smooth, rough = (model(mesh, law, [replace(seat, friction=f)], twist=twist) for f in (0.0, _FRICTION))
    far = [hold("shaft.bottom", c) for c in ((Z, ANGLE) if twist else (Z,))]
    return Solved(rough, [replace(solved(smooth, [*_still(smooth), *far]).last, t=0.0)])


def _still(whole) -> list[Drive]:
    """The sleeve held in every component."""
    return rigid(whole.mesh, "sleeve", {ANGLE: lambda t: 0.0} if whole.unknowns == 3 else None)


def _driven(fit: Solved, drives: list[Drive], targets, **settings) -> Solved:
    """The fit with its shaft driven, from the state in which it was fitted."""
    return solved(fit.model, [*_still(fit.model), *drives], targets, fit.last, reversal=True, **settings)


def _drawn_rod() -> float:
    """Force [N] that draws a rod of 10 mm radius, fitted at 50 MPa over 100 mm, out of a rigid sleeve, friction 0.1."""
    fit = _fitted(graded((0, 90, 30, 0.4), (90, 100, 10, 0.2)), 50.0, twist=False)
    base = fit.moved("shaft.top", Z)
    mouth = Drive("mouth", "shaft.top", Z, displacement=lambda t: base + 0.2 * t)
    return _driven(fit, [mouth], (0.02, 0.06, 0.15, 0.4, 1.0)).last.totals["mouth"]


def _full_slip() -> float:
    """Torque [N mm] to full slip of a shaft of 20 mm, fitted at 50 MPa over 100 mm, friction 0.1; at a tenth of the pressure."""
    fit = _fitted(spread(0, 100, 25), 5.0)
    turn = Drive("turn", "shaft.top", ANGLE, displacement=lambda t: 0.005 * t)
    return 10 * _driven(fit, [turn], (0.02, 0.1, 0.3, 1.0), augment=False).last.totals["turn"]


def _slip_with_thrust() -> float:
    """Torque [N mm] at which a seat of 20 kN at a radius of 5 mm slips, friction 0.1, beside a thrust of 1 kN."""
    fit = _fitted(spread(0, 10, 8), 20_000 / (2 * math.pi * 5 * 10), 5.0, poisson=0.0)
    thrust = Drive("thrust", "shaft.top", Z, force=lambda t: 1000 * min(1.0, 5 * t))
    turn = Drive("turn", "shaft.top", ANGLE, displacement=lambda t: 0.02 * max(0.0, (t - 0.2) / 0.8))
    return _driven(fit, [thrust, turn], np.append(0.2, np.linspace(0.25, 1, 16)), augment=False).last.totals["turn"]


def _spreading_slip() -> float:
    """Rotation [rad] of the mouth when three quarters of the torque to full slip are put in, at a tenth of 50 MPa."""
    fit = _fitted(graded((0, 20, 6, 1.0), (20, 100, 48, 1.0)), 5.0, tangential=10.0)
    limit = 2 * math.pi * _RADIUS**2 * _FRICTION * 50  # [N] torque per length
    turn = Drive("turn", "shaft.top", ANGLE, force=lambda t: 0.75 * limit * 10 * t)
    return 10 * _driven(fit, [turn], np.linspace(0.2, 1, 5), augment=False).moved("shaft.top", ANGLE)


_TORQUE = "torque to full slip, with thrust, spreading slip"
CHECKS = [
    Check(
        "rod drawn out of a sleeve, force", "Takaku & Arridge, J. Phys. D 6 (1973) 2038 (from memory), derived again here", "N", 21_097.8, 0.003,
        "0.14 % off when measured", _drawn_rod, "rod drawn out of a sleeve",
    ),
    Check("torque to full slip", "Coulomb friction, μ p π d² L/2", "N mm", 314_159, 1e-3, "0.02 % off when measured", _full_slip, _TORQUE),
    Check(
        "simulated torque at slip beside a thrust", "Coulomb friction, r √((μN)² - F²)", "N mm", 8660.25, 0.002, "0.07 % off when measured",
        _slip_with_thrust, _TORQUE,
    ),
    Check(
        "slip that spreads along a seat, rotation of its mouth", "shear lag, T²/(2 T' G J) (derived here)", "rad", 6.96429e-3, 0.003,
        "0.09 % off when measured", _spreading_slip, _TORQUE,
    ),
]
