"""Checks on a half-space: a pressed circle, punches, a cone, spheres, and punches that are turned.

A block stands for it, 20 or 40 contact radii wide and deep, base fixed, sides free: what it sinks less is told by
`_held_back`. Loads are small, so that strains are.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from functools import cache

import numpy as np

from colletfea.cases.verification.check import Check
from colletfea.cases.verification.scene import SMALL, STEEL, hold, model, pair, rigid, solved
from colletfea.fea.contact.pair import Pair
from colletfea.fea.contact.resultants import profile
from colletfea.fea.elements.grids import Grid, graded, join, mapped, spread
from colletfea.fea.elements.mesh import Mesh
from colletfea.fea.model.drives import ANGLE, Drive, R, Z
from colletfea.fea.model.loads import Pressure

#: [mm] contact radius
_A = 5.0
#: force of a flat punch on a block of 20 radii over the half-space's: a separate finite-element study
_BLOCK = 1.0413
_SHEAR = STEEL.young / 2 / (1 + STEEL.poisson)
_BASE = [hold("ground.bottom", R), hold("ground.bottom", Z)]


def _ground(width: float, *pieces, count: int = 16) -> Grid:
    """Block of a width and depth [mm], its top at z = 0, with spreads in r up to and past the contact's edge."""
    first = 2 * pieces[-1][1] / sum(piece[2] for piece in pieces)
    across = graded(*pieces, (pieces[-1][1], width, count, 1.5 * width / first / count))
    return mapped(lambda r, t: (r, -width * (1 - t)), across, spread(0, 1, 2 * count, ratio=0.2 * _A / width))


def _held_back(force: float, width: float) -> float:
    """What the block [mm] sinks less than a half-space under a force [N], near it."""
    return 20 * (1 - 1 / _BLOCK) * force * (1 - STEEL.poisson**2) / (2 * STEEL.young * width)


def _pressed_circle() -> float:
    """How far [mm] the middle of a circle of 5 mm sinks under 100 MPa."""
    mesh = join({"ground": _ground(20 * _A, (0, _A, 24, 0.5), (_A, 2 * _A, 12, 8.0), count=24)}, {"ground.spot": lambda r, z: (abs(z) < 1e-9) & (r < _A + 1e-9)})
    done = solved(model(mesh, loads=[Pressure("ground.spot", lambda t: 100 * SMALL * t)]), _BASE)
    return -done.moved_at(0, 0, Z) / SMALL + _held_back(math.pi * _A**2 * 100, 20 * _A)


def _scene(*pieces, face: Callable = lambda r: 0 * r, count: int = 16, **kept) -> tuple[Mesh, Pair]:
    """Block and rigid punch, whose lower face is a height over r, and their pair; kept goes to the pair."""
    edge, reach = pieces[-1][1], 1.2 * _A
    punch = mapped(lambda r, t: (r, face(r) * (1 - t) + t * 0.4 * reach), spread(0, reach, 12), spread(0, 1, 1))
    spot = {"ground.spot": lambda r, z: (np.abs(z) < 1e-9) & (r < edge + 1e-9)}
    return join({"ground": _ground(20 * _A, *pieces, count=count), "punch": punch}, spot), pair("ground.spot", "punch.bottom", **kept)


def _flat_punch(ratio: float = 0.1, count: int = 32, **kept) -> float:
    """Force [N] that presses a flat rigid punch 0.01 mm into a half-space, by a hundredth of that."""
    mesh, spot = _scene((0, _A, count, ratio), **kept)
    done = solved(model(mesh, pairs=[spot]), [*_BASE, *rigid(mesh, "punch", {Z: lambda t: -1e-4 * t})], residual=1e-7)
    return -done.last.totals["punch z"] * 100 / _BLOCK


def _sticking_punch() -> float:
    """Force of a flat punch under which nothing slips over that without friction."""
    return _flat_punch(0.05, 24, friction=1e6, tangential=10.0) / _flat_punch(0.05, 24)


def _cone() -> float:
    """Force [N] that presses a rigid cone, 2 degrees between face and plane, 0.02 mm into a half-space, by a ten-thousandth of slope and depth."""
    depth, slope, width, count = 0.02, math.tan(math.radians(2)), 40, 10
    a = 2 * depth / math.pi / slope
    ground = _ground(width * a, (0, 0.8 * a, count, 1.0), (0.8 * a, 1.2 * a, count, 1.0), count=24)
    punch = mapped(lambda r, t: (r, SMALL * slope * r * (1 - t) + t * 0.4 * a), spread(0, 1.5 * a, 12), spread(0, 1, 1))
    mesh = join({"ground": ground, "punch": punch}, {"ground.spot": lambda r, z: (np.abs(z) < 1e-9 * a) & (r < 1.2 * a * (1 + 1e-9))})
    drives = [*_BASE, *rigid(mesh, "punch", {Z: lambda t: -depth * SMALL * t})]
    done = solved(model(mesh, pairs=[pair("ground.spot", "punch.bottom")]), drives, np.linspace(0.25, 1, 4), residual=1e-7)
    found = -done.last.totals["punch z"] / SMALL
    return found / (1 + _held_back(found, width * a) / depth) ** 2


@cache
def _sphere() -> tuple[float, float]:
    """Contact radius [mm] and peak pressure [MPa] of a steel sphere R = 10 on a steel flat, brought to 100 N by F^(1/3).

    From a straight line through p^2 over r^2 of the edges that carry.
    """
    radius, a, width = 10.0, 0.186626 * SMALL ** (1 / 3), 0.2
    face = lambda r: radius - np.sqrt(radius**2 - r**2)
    across = lambda n: graded((0, 1.3 * a, n, 1.0), (1.3 * a, width, 14, 2 * (width - 1.3 * a) / 14 * n / 1.3 / a))
    parts = {
        "ball": mapped(lambda r, t: (r, face(r) * (1 - t) + t * width), across(36), spread(0, 1, 24, ratio=60)),
        "ground": mapped(lambda r, t: (r, width * (t - 1)), across(46), spread(0, 1, 24, ratio=1 / 60)),
    }
    pole = {"ball.pole": lambda r, z: (r < 1.3 * a + 1e-9) & (np.abs(z - face(np.minimum(r, width))) < 1e-9)}
    press = Drive("press", "ball.top", Z, displacement=lambda t: -(a**2) / radius * t)
    whole = model(join(parts, pole), pairs=[pair("ball.pole", "ground.top")])
    done = solved(whole, [hold("ground.bottom", Z), press], np.linspace(0.2, 1, 5), residual=1e-7)
    means = profile(whole.contact, done.last.contact, "fit")
    carry = means.pressure > 0.3 * means.pressure.max()
    slope, top = np.polyfit(means.position[carry, 0] ** 2, means.pressure[carry] ** 2, 1)
    larger = (100 / -done.last.totals["press"]) ** (1 / 3)
    return larger * math.sqrt(-top / slope), larger * math.sqrt(top)


def _turned(star: float, depth: float, *pieces, face: Callable = lambda r: 0 * r, radius: Callable = lambda force: _A) -> float:
    """Moment over μ P a of a punch that was pressed in by a depth [mm], then turned by star in parts of μ P/(G a^2).

    radius: a [mm] of the force. Friction 0.1; two contact points an edge, so that none stands next to the axis.
    """
    mesh, spot = _scene(*pieces, face=face, count=12, tangential=10.0)
    smooth, rough = (model(mesh, pairs=[replace(spot, friction=f)], twist=True, contact_order=2) for f in (0.0, 0.1))
    base = [*_BASE, hold("ground.bottom", ANGLE)]
    pressed = solved(smooth, [*base, *rigid(mesh, "punch", {Z: lambda t: -depth * t, ANGLE: lambda t: 0.0})], residual=1e-7)
    force = pressed.seat().normal_force
    a = radius(force)
    turn = {Z: lambda t: -depth, ANGLE: lambda t: 0.1 * force / _SHEAR / a**2 * t}
    targets = np.linspace(0, star, 5)[1:]
    done = solved(rough, [*base, *rigid(mesh, "punch", turn)], targets, replace(pressed.last, t=0.0), augment=False, residual=1e-7)
    return abs(done.seat().torque) / (0.1 * force * a)


def _turned_flat_punch() -> float:
    """Moment over μ P a of a flat punch that still sticks within half its radius."""
    return _turned(0.171610, 1e-4, (0, _A, 20, 0.1))


def _turned_sphere() -> float:
    """Moment over μ P a of a sphere that still sticks within half its contact's radius."""
    curvature = 5e4
    hertz = lambda force: (0.75 * force * curvature * (1 - STEEL.poisson**2) / STEEL.young) ** (1 / 3)
    face = lambda r: curvature - np.sqrt(curvature**2 - r**2)
    return _turned(0.225712, 0.972 * _A**2 / curvature, (0, _A, 20, 1.0), (_A, 1.15 * _A, 3, 1.0), face=face, radius=hertz)


_PUNCH, _TURNING = "flat punch, sticking punch", "turning punch, sticking and slipping"
_SNEDDON, _HERTZ = "Sneddon, Int. J. Eng. Sci. 3 (1965) 47-57; Johnson, Contact Mechanics, ch. 3 and 5 (from memory)", "Hertz; Johnson, Contact Mechanics, ch. 4 (from memory)"
CHECKS = [
    Check(
        "half-space under a pressed circle, sinking", "Timoshenko & Goodier, Theory of Elasticity, art. 139 (from memory)", "mm", 4.33333e-3, 1e-3,
        "0.007 % off when measured, 0.09 % on smaller blocks", _pressed_circle, "pressed circle",
    ),
    Check("flat punch, force", _SNEDDON, "N", 23_076.92, 0.003, "0.18 % off when measured", _flat_punch, _PUNCH),
    Check(
        "sticking flat punch, force over that without friction", "Mossakovskii 1954/63; Johnson, Contact Mechanics, ch. 3 (from memory)", "", 1.028627,
        0.002, "0.15 % off when measured", _sticking_punch, _PUNCH,
    ),
    Check("rigid cone, force", _SNEDDON, "N", 1682.81, 1e-3, "5e-7 off when measured, 0.007 % on a finer mesh", _cone, "rigid cone"),
    Check("sphere on a flat, contact radius", _HERTZ, "mm", 0.186626, 0.002, "0.09 % off when measured", lambda: _sphere()[0], "spheres"),
    Check("sphere on a flat, peak pressure", _HERTZ, "MPa", 1370.88, 0.002, "0.06 % off when measured", lambda: _sphere()[1], "spheres"),
    Check(
        "flat punch that is turned, moment over μ P a", "Reissner & Sagoci 1944; Jäger; Johnson, Contact Mechanics, ch. 3 (from memory)", "", 0.769016,
        0.005, "0.25 % off when measured", _turned_flat_punch, _TURNING,
    ),
    Check(
        "sphere that is turned, moment over μ P a", "Lubkin, J. Appl. Mech. 18 (1951) 183-187 (from memory)", "", 0.528576, 0.003,
        "0.13 % off when measured", _turned_sphere, _TURNING,
    ),
]
