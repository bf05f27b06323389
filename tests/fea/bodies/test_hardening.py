"""Hardening: straight or by a table, and what is refused."""

import numpy as np
import pytest

from colletfea.fea.bodies.hardening import Hardening


def test_straight():
    stress, slope = Hardening.linear(300, 1000).at(np.array([0.0, 0.01, 2.0]))
    np.testing.assert_allclose(stress, [300, 310, 2300])
    np.testing.assert_array_equal(slope, 1000)


def test_table_is_straight_between_its_rows_and_constant_behind():
    curve = Hardening.table([(0, 300), (0.01, 340), (0.03, 360)])
    stress, slope = curve.at(np.array([0.0, 0.005, 0.01, 0.02, 0.03, 1.0]))
    np.testing.assert_allclose(stress, [300, 320, 340, 350, 360, 360])
    np.testing.assert_allclose(slope, [4000, 4000, 1000, 1000, 0, 0])


@pytest.mark.parametrize("strains, stresses, slope, why", [
    ((0.0,), (0.0,), 0.0, "above 0"),
    ((0.0, 0.1), (300.0, 299.0), 0.0, "must not fall"),
    ((0.0,), (300.0,), -1.0, "must not fall"),
    ((0.0, 0.1, 0.1), (300.0, 310.0, 320.0), 0.0, "must rise"),
    ((0.1, 0.2), (300.0, 310.0), 0.0, "first strain 0"),
    ((0.0, 0.2), (300.0,), 0.0, "as many"),
])  # fmt: skip
def test_what_is_no_hardening_is_refused(strains, stresses, slope, why):
    with pytest.raises(ValueError, match=why):
        Hardening(strains, stresses, slope)
