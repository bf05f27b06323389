"""Patch tests of contact: uniform pressure through flat, cylindrical and conical faces, grids that do not match.

Source: contact patch test, Taylor & Papadopoulos 1991, Crisfield 2000 (from memory); nested and conical forms
derived here: a stress of -p everywhere satisfies equilibrium and every face condition, whatever the cone.
Contact points stand in the follower's edges, so a leader's node inside an edge is integrated across; the error
left shrinks with the number of points an edge. It stays under 1 % with the default on even grids; where edges differ
fourfold it is 1.9 % with the default and 0.9 % with eight points (measured), so those patches take eight.
"""

from math import pi, radians, tan

import numpy as np
import pytest
from helpers.contact import build, displacement, hold, node, seat, solve, touching, uneven

from colletfea.fea.bodies.stress import cauchy, von_mises
from colletfea.fea.elements.grids import block, join, spread
from colletfea.fea.model.drives import Z
from colletfea.fea.model.loads import Pressure

FULL = 100.0  # [MPa]
SHARE = 0.1  # of it: true stress is exact at any load, displacements differ from the linear ones by 1e-4
LOAD = FULL * SHARE
EVEN, UNEVEN = spread, uneven
ORDER = {EVEN: {}, UNEVEN: {"contact_order": 8}}


def discs(spacing, few=7, many=11):
    lower = block(0, 10, spread(0, 5, 4), spacing(0, 1, few))
    upper = block(0, 10, spread(5, 10, 4), spacing(0, 1, many))
    mesh = join({"lower": lower, "upper": upper})
    return mesh, ("lower.top", "upper.bottom"), ["upper.top"], [hold("base", "lower.bottom", Z)]


def nested(spacing, few=7, many=11):
    rod = block(0, 10, spacing(0, 10, few), spread(0, 1, 6))
    ring = block(10, 20, spacing(0, 10, many), spread(0, 1, 6))
    mesh = join({"rod": rod, "ring": ring})
    held = [hold("rod", node(mesh, 0, 0), Z), hold("ring", node(mesh, 20, 0), Z)]
    return mesh, ("rod.outer", "ring.inner"), ["ring.outer"], held


def conical(degrees, height):
    def build_cone(spacing, few=7, many=11):
        def cone(z):
            return 8 + z * tan(radians(degrees))

        inside = block(0, cone, spacing(0, height, few), spread(0, 1, 6))
        outside = block(cone, 20, spacing(0, height, many), spread(0, 1, 6))
        mesh = join({"inside": inside, "outside": outside})
        held = [hold("inside", "inside.bottom", Z), hold("outside", "outside.bottom", Z)]
        return mesh, ("inside.outer", "outside.inner"), ["outside.outer", "inside.top", "outside.top"], held

    return build_cone


PATCHES = {
    "flat": discs,
    "nested": nested,
    "cone 3": conical(3, 40),
    "cone 15": conical(15, 40),
    "cone 45": conical(45, 10),
}


def squeeze(patch, spacing=EVEN, swap=False, friction=0.0, refine=1, **kept):
    mesh, edges, pressed, held = PATCHES[patch](spacing, 7 * refine, 11 * refine)
    pair = touching(*(edges[::-1] if swap else edges), friction=friction)
    loads = [Pressure(edge, lambda t: LOAD * t) for edge in pressed]
    model = build(mesh, (pair,), loads=loads, **ORDER[spacing])
    (state,) = solve(model, held, residual=1e-9, **kept)
    return model, state


@pytest.mark.parametrize("swap", [False, True], ids=["", "swapped"])
@pytest.mark.parametrize("refine", [1, 2])
@pytest.mark.parametrize("patch", PATCHES)
def test_pressure_is_uniform_on_even_grids(patch, refine, swap):
    """Element means 1 %: measured 0.2 to 0.8 %, the worst on cones of 3 and 15 degrees."""
    model, state = squeeze(patch, swap=swap, refine=refine)
    profile, total = seat(model, state)
    np.testing.assert_allclose(profile.pressure, LOAD, rtol=0.01)
    assert total.length == pytest.approx(np.linalg.norm(profile_length(model)), rel=1e-3)


def profile_length(model):
    """End to end vector of the follower's straight edge."""
    ends = model.mesh.edge_nodes(model.contact.pairs[0].follower)[[0, -1]]
    return np.diff(model.mesh.nodes[ends], axis=0)[0]


@pytest.mark.parametrize("swap", [False, True], ids=["", "swapped"])
@pytest.mark.parametrize("patch", PATCHES)
def test_pressure_is_uniform_on_uneven_grids(patch, swap):
    """The longest edge is four times the shortest: 1 %, measured 0.4 to 0.9 % with eight points an edge."""
    model, state = squeeze(patch, UNEVEN, swap)
    np.testing.assert_allclose(seat(model, state)[0].pressure, LOAD, rtol=0.01)


def test_flat_patch_passes_the_whole_force():
    """Contact force = base reaction = p times the top's current area, 1e-8 each; and the linear displacements."""
    model, state = squeeze("flat")
    _, total = seat(model, state)
    radius = 10 + displacement(model, state, node(model.mesh, 10, 10), 0)
    assert total.normal_force == pytest.approx(state.totals["base"], rel=1e-8)
    assert total.normal_force == pytest.approx(pi * radius**2 * LOAD, rel=1e-8)
    assert displacement(model, state, "upper.top", 1) / SHARE == pytest.approx(-4.76190e-3, rel=1e-3)
    assert displacement(model, state, node(model.mesh, 10, 10), 0) / SHARE == pytest.approx(1.42857e-3, rel=1e-3)


@pytest.mark.parametrize("refine", [1, 2])
def test_nested_patch_stress_and_displacement(refine):
    """u_r(20) = -(1 - nu) p r / E and a von Mises stress of p everywhere (Lame, equal materials): 0.1 % and 1 %.

    Measured 0.6 and 0.4 % in stress at the worst integration point, which lies at the seat.
    """
    model, state = squeeze("nested", refine=refine)
    np.testing.assert_allclose(von_mises(cauchy(model.solid, state.u)), LOAD, rtol=0.01)
    assert displacement(model, state, "ring.outer", 0) / SHARE == pytest.approx(-6.66667e-3, rel=1e-3)


@pytest.mark.parametrize("patch, top", [("cone 3", -7.61905e-3), ("cone 15", -7.61905e-3), ("cone 45", -1.90476e-3)])
def test_conical_patch_displacements(patch, top):
    """u_r(20) = -(1 - 2 nu) p r / E and u_z = -(1 - 2 nu) p H / E under pressure on all faces: 0.1 %, measured 0.03 %."""
    model, state = squeeze(patch)
    side = displacement(model, state, "outside.outer", 0)
    assert side / SHARE == pytest.approx(-3.80952e-3, rel=1e-3)
    assert displacement(model, state, "outside.top", 1) / SHARE == pytest.approx(top, rel=1e-3)


@pytest.mark.parametrize("patch", ["cone 3", "cone 15", "cone 45"])
def test_conical_patch_has_no_shear(patch):
    """With friction the state stays hydrostatic: shear within 0.2 % of the pressure (measured 0.17 %), pressure 1 % (0.8 %)."""
    model, state = squeeze(patch, friction=0.3)
    profile, _ = seat(model, state)
    assert np.max(np.abs(profile.shear)) < 2e-3 * LOAD
    np.testing.assert_allclose(profile.pressure, LOAD, rtol=0.01)


@pytest.mark.parametrize("patch", ["flat", "nested", "cone 15"])
def test_penetration_follows_the_penalty(patch):
    """Without augmentation the gap is pressure over the penalty at every point, exactly."""
    model, state = squeeze(patch, augment=False)
    ev = state.contact
    stiffness = model.contact.normal
    np.testing.assert_allclose(-ev.gap, ev.pressure / stiffness, rtol=1e-9)
    weight = ev.area / ev.area.sum()
    assert -np.sum(weight * ev.gap * stiffness) == pytest.approx(LOAD, rel=0.03)
