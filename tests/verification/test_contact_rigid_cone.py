"""A rigid cone pressed into an elastic block.

With the angle beta between cone and plane: contact radius a = 2 d / (pi tan beta), force (2/pi) E* d^2 / tan beta, mean
pressure (E*/2) tan beta, and (E*/2) tan beta arcosh(a/r) at r. The slope is a ten-thousandth of the one named and so is
the depth, which leaves the radius as it is and strains small; force and pressure are scaled back. The apex is
logarithmic and not looked at. The block's far faces, 40 radii away, hold it back by 1 % of the depth: results are
compared at the depth in a half-space that has the same force.
"""

from math import acosh, pi, radians, tan

import numpy as np
import pytest
from helpers.contact import build, rigid, seat, solve, touching
from helpers.punch import base, ground, held_back

from colletfea.fea.bodies.elastic import Elastic
from colletfea.fea.elements.grids import join, mapped, spread
from colletfea.fea.model.drives import Z

SHARE, WIDTH = 1e-4, 40

pytestmark = pytest.mark.verification(
    source="Sneddon, Int. J. Eng. Sci. 3 (1965) 47-57; Johnson, Contact Mechanics, ch. 5 (from memory)"
)


def pressed_cone(degrees, depth, young, count):
    """Element means and totals of the contact, and the force [N], both scaled back; `count` edges over 0.8 of the radius."""
    slope, a = tan(radians(degrees)), 2 * depth / pi / tan(radians(degrees))
    block = ground(WIDTH * a, [(0, 0.8 * a, count, 1.0), (0.8 * a, 1.2 * a, count, 1.0)], count=24)
    cone = lambda r, t: (r, SHARE * slope * r * (1 - t) + t * 0.4 * a)
    punch = mapped(cone, spread(0, 1.5 * a, 12), spread(0, 1, 1))
    near = {"ground.spot": lambda r, z: (np.abs(z) < 1e-9 * a) & (r < 1.2 * a * (1 + 1e-9))}
    mesh = join({"ground": block, "punch": punch}, near)
    model = build(mesh, (touching("ground.spot", "punch.bottom", young=young),), Elastic(young, 0.3))
    ones = np.ones(len(mesh.body_nodes("punch")))
    drives = [*base(False), *rigid(mesh, "punch", {Z: lambda t: -depth * SHARE * t * ones})]
    fitted = {"residual": 1e-7, "condensed": True}
    state = solve(model, drives, np.linspace(0.25, 1, 4), **fitted)[-1]
    return *seat(model, state), -state.totals["punch z"] / SHARE


@pytest.mark.parametrize("count", [10, 20])
@pytest.mark.parametrize(
    "degrees, depth, young, force, mean", [(2, 0.02, 210_000, 1682.81, 4029.32), (10, 0.05, 1000, 9.91882, 96.8830)]
)
def test_force_radius_and_pressure(degrees, depth, young, force, mean, count):
    """Force 0.1 % (measured 0.007 %), radius one element (measured a quarter at most), mean pressure 3 % (2.0 and 0.6 %
    on 10 and 20 edges, all of it the radius), pressure from 0.35 to 0.65 a 2 % (measured 1.7 %)."""
    slope, stiffness = tan(radians(degrees)), young / 0.91
    radius = 2 * depth / pi / slope
    assert 2 / pi * stiffness * depth**2 / slope == pytest.approx(force, rel=1e-5)
    assert stiffness * slope / 2 == pytest.approx(mean, rel=1e-5)
    profile, total, found = pressed_cone(degrees, depth, young, count)
    deeper = 1 + held_back(found, WIDTH * radius, young) / depth
    assert found == pytest.approx(force * deeper**2, rel=1e-3)
    assert total.length == pytest.approx(radius * deeper, abs=0.4 * radius / count)
    assert found / (pi * total.length**2) == pytest.approx(mean, rel=0.03)
    place = profile.position[:, 0]
    middle = np.abs(place / radius - 0.5) < 0.15
    wanted = mean * np.array([acosh(deeper * radius / r) for r in place[middle]])
    np.testing.assert_allclose(profile.pressure[middle] / SHARE, wanted, rtol=0.02)
