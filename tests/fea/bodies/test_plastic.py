"""The elastic-plastic law: its return, its tangent and its history, with and without a softened hoop."""

import numpy as np
import pytest
from pytest import approx

from colletfea.fea.bodies.elastic import Elastic
from colletfea.fea.bodies.hardening import Hardening
from colletfea.fea.bodies.plastic import Plastic, equivalent

CURVES = {
    "ideal": Hardening.linear(300.0),
    "straight": Hardening.linear(300.0, 2000.0),
    "table": Hardening.table([(0.0, 300.0), (0.0005, 340.0), (0.002, 360.0), (0.01, 360.0)]),
    "upward": Hardening.table([(0.0, 300.0), (0.001, 300.0), (0.0012, 500.0), (0.01, 520.0)]),
}
ETAS = [1.0, 0.6, 0.1, 0.0]
SIZES = [4, 6]


def law(curve="straight"):
    return Plastic(210_000.0, 0.3, hardening=CURVES[curve])


def step(curve, eta, size, seed=0, points=60, amplitude=0.0012):
    """Random strains, some beyond yield, from a history that flowed before: (strain, moduli, plastic strain, alpha)."""
    rng = np.random.default_rng(seed)
    moduli = np.broadcast_to(law(curve).moduli(eta)[:size, :size], (points, size, size))
    before = law(curve).respond(rng.normal(size=(points, size)) * amplitude, moduli, np.zeros((points, size)), np.zeros(points))
    return rng.normal(size=(points, size)) * amplitude, moduli, before.strain, before.alpha


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("eta", ETAS)
@pytest.mark.parametrize("curve", CURVES)
def test_stress_comes_back_to_the_yield_surface_and_is_that_of_the_elastic_part(curve, eta, size):
    strain, moduli, old, alpha = step(curve, eta, size)
    kept = old.copy(), alpha.copy()
    found = law(curve).respond(strain, moduli, old, alpha)
    limit = CURVES[curve].at(found.alpha)[0]
    flows = found.alpha > alpha
    assert 10 < flows.sum() < 60
    np.testing.assert_allclose(equivalent(found.stress)[flows], limit[flows], rtol=1e-11)
    assert np.all(equivalent(found.stress) <= limit * (1 + 1e-9))
    np.testing.assert_allclose(found.stress, np.einsum("pij,pj->pi", moduli, strain - found.strain), atol=1e-9)
    assert np.array_equal(old, kept[0]) and np.array_equal(alpha, kept[1])


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("eta", ETAS)
def test_flow_keeps_the_volume_is_along_the_deviator_and_grows_by_its_own_length(eta, size):
    """da^2 = 2/3 dEp:dEp, engineering shears halved."""
    strain, moduli, old, alpha = step("straight", eta, size)
    found = law().respond(strain, moduli, old, alpha)
    flow = found.strain - old
    assert np.abs(flow[:, :3].sum(axis=1)).max() < 1e-17
    squares = np.sum(flow[:, :3] ** 2, axis=1) + np.sum(flow[:, 3:] ** 2, axis=1) / 2
    np.testing.assert_allclose(found.alpha - alpha, np.sqrt(2 / 3 * squares), atol=1e-15)
    deviator = found.stress.copy()
    deviator[:, :3] -= deviator[:, :3].mean(axis=1, keepdims=True)
    deviator[:, 3:] *= 2
    flows = found.alpha > alpha
    along = np.sum(flow * deviator, axis=1)[flows]
    lengths = np.linalg.norm(flow[flows], axis=1) * np.linalg.norm(deviator[flows], axis=1)
    np.testing.assert_allclose(along, lengths, rtol=1e-12)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("eta", ETAS)
@pytest.mark.parametrize("curve", CURVES)
def test_tangent_is_the_central_difference_of_the_stress_and_symmetric(curve, eta, size):
    """Largest error measured 2e-7 of the largest modulus at points that stay on one side of yield and of a table's kink."""
    strain, moduli, old, alpha = step(curve, eta, size, seed=3)
    metal, h = law(curve), 1e-8
    found = metal.respond(strain, moduli, old, alpha)
    told, seen = found.tangent(), np.empty_like(moduli)
    np.testing.assert_allclose(told, np.swapaxes(told, 1, 2), atol=1e-10 * np.abs(told).max())
    same = np.ones(len(alpha), bool)
    for j in range(size):
        ahead, behind = (metal.respond(strain + s * np.eye(size)[j], moduli, old, alpha) for s in (h, -h))
        seen[:, :, j] = (ahead.stress - behind.stress) / (2 * h)
        for other in (ahead, behind):
            same &= (other.alpha > alpha) == (found.alpha > alpha)
            same &= CURVES[curve].at(other.alpha)[1] == CURVES[curve].at(found.alpha)[1]
    assert same.sum() > 50 and (found.alpha > alpha)[same].sum() > 10
    assert np.abs(told - seen)[same].max() < 1e-6 * np.abs(moduli).max()


def test_below_yield_it_is_the_elastic_law_to_the_last_digit():
    moduli = law().moduli(np.full(5, 0.4))
    strain = np.random.default_rng(1).normal(size=(5, 6)) * 2e-4
    found = law().respond(strain, moduli, np.zeros((5, 6)), np.zeros(5))
    assert np.array_equal(moduli, Elastic(210_000.0, 0.3).moduli(np.full(5, 0.4)))
    assert np.array_equal(found.stress, np.einsum("...ij,...j->...i", moduli, strain))
    assert np.array_equal(found.tangent(), moduli) and not found.alpha.any() and not found.strain.any()


def test_an_accepted_point_that_stays_answers_elastically():
    """Its stress lies on the yield surface within rounding: a predictor is elastic, and nothing flows by rounding."""
    strain, moduli, old, alpha = step("table", 0.1, 6)
    found = law("table").respond(strain, moduli, old, alpha)
    again = law("table").respond(strain, moduli, found.strain, found.alpha)
    assert np.array_equal(again.alpha, found.alpha) and np.array_equal(again.tangent(), moduli)
    np.testing.assert_allclose(again.stress, found.stress, atol=1e-9)


def test_twist_off_is_twist_at_zero():
    strain, moduli, old, alpha = step("straight", 0.3, 4)
    wide = lambda x: np.pad(x, ((0, 0), (0, 2)))
    whole = np.broadcast_to(law().moduli(0.3), (len(alpha), 6, 6))
    plane, full = law().respond(strain, moduli, old, alpha), law().respond(wide(strain), whole, wide(old), alpha)
    np.testing.assert_allclose(full.stress, wide(plane.stress), atol=1e-10)
    np.testing.assert_allclose(full.tangent()[:, :4, :4], plane.tangent(), atol=1e-8)


@pytest.mark.parametrize("size", SIZES)
def test_far_beyond_yield_the_return_still_ends(size):
    """Trial stresses up to a hundred times yield, hoop without stiffness, a table that rises late."""
    strain, moduli, old, alpha = step("upward", 0.0, size, amplitude=0.1)
    found = law("upward").respond(strain, moduli, old, alpha)
    assert equivalent(found.stress) == approx(CURVES["upward"].at(found.alpha)[0], rel=1e-11)
