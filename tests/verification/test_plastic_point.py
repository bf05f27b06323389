"""Single points and bars that flow: closed forms in the strain measure of the code, and of small strain."""

import numpy as np
import pytest
from helpers.contact import hold, solve
from helpers.plastic import STIFF, metal, ring
from pytest import approx

from colletfea.fea.model.drives import ANGLE, Drive, Z

BAR = [
    (1.002, 301.73831, 0.99928554, 5.6801887e-4),
    (1.005, 308.63574, 0.99778377, 3.5501179e-3),
    (1.01, 320.25099, 0.99526577, 8.5400943e-3),
    (1.02, 343.93245, 0.99017285, 0.018594340),
]
SERIES = [
    (1.0, (-834.0733, -601.2070, -927.2198, 46.5733), 9.1460e-4),
    (0.1, (-365.6230, -80.8747, -81.5320, 56.9497), 5.1964e-4),
    (0.0, (-303.6523, -37.3370, 0.0, 53.2631), 6.4212e-4),
]
TWISTED = [(10, 214.208, 121.264), (40, 210.282, 123.533), (160, 209.131, 124.183)]
EXACT = {0.001: (270.642, 74.7285), 0.002: (208.730, 124.408)}
G = 210_000 / 2.6


@pytest.mark.verification(source="S-E bilinear bar, tangent modulus E H/(E + H), derived")
@pytest.mark.parametrize("stretch, force, lateral, alpha", BAR)
@pytest.mark.parametrize("fast", [False, True])
def test_bar_with_free_sides(stretch, force, lateral, alpha, fast):
    """Nominal stress, lateral stretch and alpha to 1e-8: E 210000, nu 0.3, yield 300, hardening 2000."""
    model = ring(metal(300, 2000), 0.0, 1.0, 1)
    drives = [hold("base", "ring.bottom", Z), Drive("pull", "ring.top", Z, lambda t: (stretch - 1) * t)]
    *_, state = solve(model, drives, (0.1, 0.5, 1.0), condensed=fast, residual=1e-11)
    assert state.totals["pull"] / np.pi == approx(force, rel=3e-8)
    edge = model.mesh.edge_nodes("ring.outer")
    np.testing.assert_allclose(1 + state.u.reshape(-1, 2)[edge, 0], lateral, rtol=1e-8)
    np.testing.assert_allclose(state.flow.alpha, alpha, atol=6e-10)


@pytest.mark.verification(source="Metal in series with an elastic hoop spring, derived")
@pytest.mark.parametrize("eta, stress, alpha", SERIES)
def test_point_behind_a_softened_hoop(eta, stress, alpha):
    """One step from rest to (RR, ZZ, TT, RZ) = (-0.002, 0.0005, -0.003, 0.001): to the digits given."""
    law = metal(300, 2000)
    moduli = law.moduli(np.array([eta]))[:, :4, :4]
    found = law.respond(np.array([[-0.002, 0.0005, -0.003, 0.001]]), moduli, np.zeros((1, 4)), np.zeros(1))
    np.testing.assert_allclose(found.stress[0], stress, atol=1e-4)
    assert found.alpha[0] == approx(alpha, abs=5e-9)


def turned(steps, end=0.005):
    """Tube point pulled to first yield, then twisted at fixed length with free sides: {shear: (sigma, tau)}."""
    law = metal(300)
    moduli, strain, path = law.moduli(np.ones(1)), np.zeros((1, 6)), {}
    strain[0, :3] = np.array([-0.3, 1.0, -0.3]) * 300 / 210_000
    old, alpha = np.zeros((1, 6)), np.zeros(1)
    for k in range(1, steps + 1):
        strain[0, 5] = end * k / steps
        for _ in range(20):
            found = law.respond(strain, moduli, old, alpha)
            side = found.stress[0, [0, 2]]
            if np.abs(side).max() < 1e-9:
                break
            strain[0, [0, 2]] -= np.linalg.solve(found.tangent()[0][np.ix_([0, 2], [0, 2])], side)
        old, alpha = found.strain, found.alpha
        path[round(strain[0, 5], 12)] = found.stress[0, 1], found.stress[0, 5]
    return path


@pytest.mark.verification(source="Backward Euler on the Prandtl-Reuss equations, own one-dimensional solution")
@pytest.mark.parametrize("steps, sigma, tau", TWISTED)
def test_point_pulled_and_twisted(steps, sigma, tau):
    assert turned(steps)[0.002] == approx((sigma, tau), rel=1e-5)


@pytest.mark.verification(source="Prandtl-Reuss, closed form derived; Hill, The Mathematical Theory of Plasticity, ch. IV (from memory)")
@pytest.mark.parametrize("shear", EXACT)
def test_error_of_the_step_is_of_first_order(shear):
    """Against the exact values; halving the steps halves the error."""
    error = [np.array(turned(n)[shear]) - EXACT[shear] for n in (80, 160, 320)]
    assert np.abs(error[-1]).max() < 0.3
    np.testing.assert_allclose(error[0] / error[1], 2, atol=0.1)
    np.testing.assert_allclose(error[1] / error[2], 2, atol=0.1)


@pytest.mark.verification(source="Backward Euler on the Prandtl-Reuss equations, own one-dimensional solution")
def test_thin_tube_pulled_and_twisted():
    """The same path as a tube of radius 100 and wall 0.1 with the twist unknown, small strain: 0.1 % (shear varies by that)."""
    model = ring(metal(300, times=STIFF), 99.95, 100.05, 1, twist=True)
    pull, shear = 300 / 210_000 / STIFF, 0.005 / STIFF
    drives = [
        hold("base", "ring.bottom", Z), hold("still", "ring.bottom", ANGLE),
        Drive("pull", "ring.top", Z, lambda t: pull * min(t, 1.0)),
        Drive("turn", "ring.top", ANGLE, lambda t: shear / 100 * max(t - 1.0, 0.0)),
    ]
    states = solve(model, drives, (0.9999, 1.0, *(1 + k / 10 for k in range(1, 11))), residual=1e-10)
    area = 2 * np.pi * 100 * 0.1
    at = states[5]  # 0.002
    assert at.t == 1.4
    assert at.totals["pull"] / area == approx(214.208, rel=1e-3)
    assert at.totals["turn"] / area / 100 == approx(121.264, rel=1e-3)
