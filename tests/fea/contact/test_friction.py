"""Coulomb return mapping: limit, direction, tangent."""

import numpy as np
import pytest

from colletfea.fea.contact.friction import return_mapping

RNG = np.random.default_rng(5)
COUNT = 12


def inputs(components, scale):
    """Old traction, slip, pressure, friction, stiffness; scale moves the trial across the limit."""
    old, slip = RNG.normal(size=(2, COUNT, components)) * scale
    pressure, friction = RNG.uniform(1, 2, COUNT), RNG.uniform(0.2, 0.4, COUNT)
    return old * 0.1, slip, pressure, friction, RNG.uniform(0.5, 2, COUNT)


@pytest.mark.parametrize("components", [1, 2])
def test_within_the_limit_traction_is_elastic(components):
    old, slip, pressure, friction, stiffness = inputs(components, 0.02)
    law = return_mapping(old, slip, pressure, friction, stiffness, stick=False)
    assert not law.sliding.any()
    np.testing.assert_array_equal(law.value, old + stiffness[:, None] * slip)


@pytest.mark.parametrize("components", [1, 2])
def test_sliding_traction_lies_on_the_circle_along_its_trial(components):
    old, slip, pressure, friction, stiffness = inputs(components, 20.0)
    law = return_mapping(old, slip, pressure, friction, stiffness, stick=False)
    assert law.sliding.all()
    np.testing.assert_allclose(np.linalg.norm(law.value, axis=1), friction * pressure, rtol=1e-14)
    trial = old + stiffness[:, None] * slip
    along = np.sum(trial * law.value, axis=1) / np.linalg.norm(trial, axis=1)
    np.testing.assert_allclose(along, friction * pressure, rtol=1e-14)


@pytest.mark.parametrize("components", [1, 2])
@pytest.mark.parametrize("scale, sliding", [(0.02, False), (20.0, True)])
def test_slopes_match_central_differences(components, scale, sliding):
    """Measured 2e-9 of the largest entry; 1e-7 allowed."""
    old, slip, pressure, friction, stiffness = inputs(components, scale)

    def value(slip, pressure):
        law = return_mapping(old, slip, pressure, friction, stiffness, stick=False)
        assert np.all(law.sliding == sliding)
        return law.value

    law, h = return_mapping(old, slip, pressure, friction, stiffness, stick=False), 1e-6
    for j in range(components):
        step = h * np.eye(components)[j]
        seen = (value(slip + step, pressure) - value(slip - step, pressure)) / (2 * h)
        np.testing.assert_allclose(law.by_slip[:, :, j], seen, atol=1e-7)
    seen = (value(slip, pressure + h) - value(slip, pressure - h)) / (2 * h)
    np.testing.assert_allclose(law.by_pressure, seen, atol=1e-7)


def test_sticking_predictor_keeps_the_trial_beyond_the_limit():
    old, slip, pressure, friction, stiffness = inputs(2, 20.0)
    law = return_mapping(old, slip, pressure, friction, stiffness, stick=True)
    assert not law.sliding.any()
    np.testing.assert_array_equal(law.value, old + stiffness[:, None] * slip)


def test_frictionless_points_carry_no_traction():
    old, slip, pressure, _, stiffness = inputs(2, 20.0)
    law = return_mapping(0 * old, slip, pressure, np.zeros(COUNT), stiffness, stick=False)
    assert np.all(law.value == 0) and np.all(law.by_slip == 0) and np.all(law.by_pressure == 0)


@pytest.mark.parametrize("pressure", [0.0, -1.0])
def test_nothing_moved_and_nothing_pressed_is_safe(pressure):
    """Nor is one that is held though it pulls, as a first guess may have it; a warning would be an error here."""
    law = return_mapping(np.zeros((3, 2)), np.zeros((3, 2)), np.full(3, pressure), np.full(3, 0.1), np.ones(3), stick=False)
    assert np.all(np.isfinite(law.by_slip)) and np.all(law.value == 0)
