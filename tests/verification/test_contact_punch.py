"""Rigid flat punch on an elastic block, without and with friction.

Source: Sneddon, Int. J. Eng. Sci. 3 (1965) 47-57; Johnson, Contact Mechanics, ch. 3 (from memory). The block is 20 radii
wide and deep, base fixed, sides free: 1.0413 times the half-space's force (a separate finite-element study; factors for
four widths stand in BLOCKS). Load at a hundredth, so that strains stay small.
"""

from math import log, pi, sqrt

import numpy as np
import pytest
from helpers.contact import POISSON, YOUNG, displacement, node, seat
from helpers.punch import A, BLOCKS, pressed, scene

from colletfea.fea.contact.pair import SLIP, STICK
from colletfea.fea.model.drives import Z

DEPTH, SHARE, BLOCK = 0.01, 0.01, BLOCKS[20]
FORCE = 23_076.92  # [N] 2 a E* depth on a half-space


def punched(edges, friction=0.0, **kept):
    """Model, state and force [N at full load]; edges are the spreads of the follower's stations up to the radius a."""
    mesh, pair = scene(20 * A, edges, friction=friction, **kept)
    fitted = {"residual": 1e-7, "condensed": True}
    model, (state,) = pressed(mesh, pair, DEPTH * SHARE, **fitted)
    return model, state, -state.totals["punch z"] / SHARE


@pytest.mark.parametrize("count", [16, 32])
def test_force_and_pressure_of_a_flat_punch(count):
    """F within 0.5 % (measured 0.24 and 0.17 %); F / [2 pi a sqrt(a^2 - r^2)] up to 0.8 a within 2 % (measured 1.1 and 0.6 %)."""
    model, state, force = punched([(0, A, count, 0.1)])
    assert force == pytest.approx(FORCE * BLOCK, rel=5e-3)
    profile, total = seat(model, state)
    assert total.normal_force / SHARE == pytest.approx(force, rel=1e-6)
    radius = profile.position[:, 0]
    inner = radius < 0.8 * A
    wanted = force * SHARE / (2 * pi * A * np.sqrt(A**2 - radius**2))
    np.testing.assert_allclose(profile.pressure[inner], wanted[inner], rtol=0.02)


@pytest.mark.parametrize("count", [12, 20])
@pytest.mark.parametrize("width", BLOCKS)
def test_block_of_finite_size_is_stiffer(width, count):
    """Force over the half-space's: 0.1 % of the study's factor, measured 0.06 % at most.

    Surface beside the punch at 2 a: (2 depth / pi) asin(1/2) of a half-space that is pressed with the same force, less
    what the block's far faces keep it from sinking, which is the same under the punch: 0.6 %, measured
    0.45 % in the narrowest block and 0.04 % in the others.
    """
    mesh, pair = scene(width * A, [(0, A, count, 0.1)], [(A, 2 * A, count // 2, 8.0)], count=count, spot=A)
    fitted = {"residual": 1e-7, "condensed": True}
    model, (state,) = pressed(mesh, pair, DEPTH * SHARE, **fitted)
    force = -state.totals["punch z"] / SHARE / FORCE
    assert force == pytest.approx(BLOCKS[width], rel=1e-3)
    sinks = -displacement(model, state, node(mesh, 2 * A, 0, "ground"), Z) / SHARE
    assert sinks == pytest.approx(force * 3.33333e-3 - (force - 1) * DEPTH, rel=6e-3)


def test_share_of_the_force_inside():
    """1 - sqrt(1 - (r/a)^2) of the force lies within r: 0.133975 at a/2, 0.564110 at 0.9 a; 1 % (measured 0.5 and 0.9 %)."""
    _, state, _ = punched([(0, 2.5, 8, 1.0), (2.5, 4.5, 10, 0.3), (4.5, 5, 24, 0.1)])
    ev = state.contact
    load = ev.pressure * ev.area
    for part, share in ((0.5, 0.133975), (0.9, 0.564110)):
        inside = load[ev.position[:, 0] < part * A].sum() / load.sum()
        assert inside == pytest.approx(share, rel=0.01)
        assert share == pytest.approx(1 - sqrt(1 - part**2), rel=1e-5)


def test_edge_peak_grows_with_refinement():
    """p ~ (a - r)^-1/2 at the edge: a quarter of the element size must about double the peak, so it is no stress."""
    peaks = [seat(*punched([(0, 4, 10, 0.4), (4, 5, n, 1.0)])[:2])[1].peak_pressure for n in (4, 16)]
    assert 1.7 < peaks[1] / peaks[0] < 2.3


def test_no_radial_slip_stiffens_the_punch():
    """mu -> infinity: F / F_frictionless = (1 - nu) ln(3 - 4 nu) / (1 - 2 nu) = 1.028627; 0.2 % (measured 0.15 %; block size cancels).

    Source: Mossakovskii 1954/63; Johnson ch. 3 (from memory); own finite-element study 1.02887.
    """
    edges = [(0, A, 24, 0.05)]
    smooth, stuck = punched(edges)[2], punched(edges, friction=1e6, tangential=10.0)[2]
    wanted = (1 - POISSON) * log(3 - 4 * POISSON) / (1 - 2 * POISSON)
    assert wanted == pytest.approx(1.028627, rel=1e-6)
    assert stuck / smooth == pytest.approx(wanted, rel=2e-3)


def test_finite_friction_lies_between():
    """mu = 0.05 and 0.1 (Spence 1968, bounds only): force between the bounds, growing with mu; stick inside, slip at the rim."""
    edges = [(0, A, 24, 0.05)]
    forces = []
    for friction in (0.0, 0.05, 0.1, 1e6):
        _, state, force = punched(edges, friction, tangential=10.0)
        forces.append(force)
        if 0 < friction < 1:
            ev = state.contact
            radius = ev.position[:, 0]
            rim = radius[ev.status == SLIP].min()
            assert np.all(ev.status[radius < 0.5 * rim] == STICK) and 0 < rim < A
            assert np.all(np.abs(ev.traction[:, 0]) <= friction * ev.pressure * (1 + 1e-9))
    assert np.all(np.diff(forces) > 0)


def test_half_space_constant():
    assert 2 * A * YOUNG / (1 - POISSON**2) * DEPTH == pytest.approx(FORCE, rel=1e-6)
