"""Division of a line: ends and knots kept, wanted sizes met, growth bounded."""

import numpy as np
import pytest

from colletfea.meshing.spacing import GROWTH, Spot, clip, divide

SPOTS = [Spot(0, 12, 0.5), Spot(0, 0, 0.1), Spot(12, 12, 0.1)]


def test_ends_and_knots_are_met_exactly():
    x = divide(-6, 20, SPOTS, knots=(3.7, 9.1, 30.0))
    assert x[0] == -6 and x[-1] == 20
    assert {3.7, 9.1} <= set(x)
    assert np.all(np.diff(x) > 0)


@pytest.mark.parametrize("spot", SPOTS)
def test_no_element_is_much_larger_than_wanted(spot):
    """Whole numbers of elements stretch the middle of a line by at most 3/4 of an element over its count."""
    x = divide(-6, 20, SPOTS)
    inside = (x[1:] > spot.low) & (x[:-1] < spot.high)
    stretch = 1 + 0.75 / (len(x) - 1)
    assert np.diff(x)[inside].max() <= stretch * spot.size * np.exp(GROWTH)


@pytest.mark.parametrize("growth", [GROWTH, 0.6])
def test_sizes_grow_by_the_stated_factor(growth):
    steps = np.diff(divide(0, 50, [Spot(0, 0, 0.05, growth)]))
    ratios = steps[1:] / steps[:-1]
    assert ratios == pytest.approx(np.exp(growth), rel=0.08)


def test_uniform_spot_gives_equal_steps():
    assert np.diff(divide(0, 6, [Spot(0, 6, 0.5)])) == pytest.approx(0.5, rel=1e-6)


def test_least_count_is_kept():
    assert len(divide(0, 1, [Spot(0, 1, 5.0)], least=3)) == 4


def test_clip_cuts_and_drops():
    assert clip([Spot(-1, 2, 0.1), Spot(5, 6, 0.1)], 0, 4) == [Spot(0, 2, 0.1)]
