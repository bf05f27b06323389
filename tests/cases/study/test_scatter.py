"""Samples, percentiles and shares against closed forms and general-purpose libraries."""

import math

import numpy as np
import pytest
import scipy  # scipy.stats is loaded when asked for

from colletfea.cases.casefile.case import Case
from colletfea.cases.study import scatter
from helpers.study import TABLES

LIMITS = scatter.Limits((0.0, 0.054), (0.07, 0.13), (0.09, 0.15), (20e3, 32e3))


def test_a_sample_hangs_on_seed_and_number_alone():
    one = [scatter.draw(LIMITS, 3, k) for k in range(5)]
    assert one == [scatter.draw(LIMITS, 3, k) for k in reversed(range(5))][::-1]
    assert scatter.draw(LIMITS, 4, 0) != one[0] and len(set(one)) == 5


def test_samples_are_uniform_between_their_limits_and_independent():
    """Kolmogorov-Smirnov at 1 in 1000 for each, rank correlation of pairs below 5 standard deviations; the seed is fixed."""
    drawn = np.array([scatter.draw(LIMITS, 1, k) for k in range(2000)])
    for column, (low, high) in zip(drawn.T, LIMITS):
        assert low <= column.min() and column.max() <= high
        assert scipy.stats.kstest(column, scipy.stats.uniform(low, high - low).cdf).pvalue > 1e-3
    ranks = scipy.stats.spearmanr(drawn).statistic - np.eye(4)
    assert np.abs(ranks).max() < 5 / math.sqrt(len(drawn))


def test_a_normal_clearance_keeps_within_its_limits_and_leaves_all_else_as_it_was():
    """Against scipy's normal cut off at 3 standard deviations, Kolmogorov-Smirnov at 1 in 1000; the seed is fixed."""
    drawn = [scatter.draw(LIMITS, 1, k, scatter.NORMAL) for k in range(2000)]
    low, high = LIMITS.clearance
    values = [s.clearance for s in drawn]
    assert low <= min(values) and max(values) <= high
    exact = scipy.stats.truncnorm(-3, 3, (low + high) / 2, (high - low) / 6)
    assert scipy.stats.kstest(values, exact.cdf).pvalue > 1e-3 and scipy.stats.kstest(values, scipy.stats.uniform(low, high - low).cdf).pvalue < 1e-9
    assert [s[1:] for s in drawn] == [scatter.draw(LIMITS, 1, k)[1:] for k in range(2000)]


@pytest.mark.parametrize("share, place", [(0.0, 0.0), (0.5, 0.5), (1.0, 1.0)])
def test_a_normal_clearance_reaches_its_limits_and_no_further(monkeypatch, share, place):
    monkeypatch.setattr(scatter.Random, "random", lambda self: share)
    assert scatter.draw(LIMITS, 1, 0, scatter.NORMAL).clearance == pytest.approx(0.054 * place, abs=1e-12)


def test_percentiles_of_a_normal_clearance_meet_the_closed_form():
    """y = 3 + 1000 C: m + s Phi^-1(Phi(-3) + p (1 - 2 Phi(-3))) with m = 30, s = 9. Tolerance: four standard errors."""
    values = [3 + 1e3 * scatter.draw(LIMITS, 11, k, scatter.NORMAL).clearance for k in range(4000)]
    kept = 1 - 2 * scipy.stats.norm.cdf(-3)
    for percent in scatter.PERCENTILES:
        p = percent / 100
        z = scipy.stats.norm.ppf(scipy.stats.norm.cdf(-3) + p * kept)
        density = scipy.stats.norm.pdf(z) / 9 / kept
        assert scatter.percentile(values, percent) == pytest.approx(30 + 9 * z, abs=4 * math.sqrt(p * (1 - p) / 4000) / density)


def test_percentiles_of_a_linear_problem_meet_the_closed_form():
    """y = 1000 C + F/1000 of a clearance C over 0.012 mm and a force F over 12 kN is a sum of two uniforms of width 12: a triangle.

    Its percentile below the middle is a + 12 sqrt(2 p). Tolerance: four standard errors sqrt(p (1 - p)/n)/f, f the density there.
    """
    limits = LIMITS._replace(clearance=(0.0, 0.012))
    values = [1e3 * s.clearance + s.force / 1e3 for s in (scatter.draw(limits, 7, k) for k in range(4000))]
    for percent in (1, 5, 25, 50):
        p = percent / 100
        exact, density = 20 + 12 * math.sqrt(2 * p), math.sqrt(2 * p) / 12
        assert scatter.percentile(values, percent) == pytest.approx(exact, abs=4 * math.sqrt(p * (1 - p) / 4000) / density)


@pytest.mark.parametrize("percent", [0, 1, 12.5, 50, 99, 100])
def test_percentiles_are_those_of_numpy(percent):
    values = list(np.random.default_rng(2).normal(size=37))
    assert scatter.percentile(values, percent) == pytest.approx(np.percentile(values, percent), abs=1e-14)


@pytest.mark.parametrize("hits, count", [(0, 20), (3, 200), (17, 20), (20, 20)])
def test_the_limits_of_a_share_are_those_of_scipy(hits, count):
    exact = scipy.stats.binomtest(hits, count).proportion_ci(0.95, method="wilson")
    assert scatter.sure_between(hits, count) == pytest.approx((exact.low, exact.high), abs=1e-6)


@pytest.mark.parametrize("changes, said", [
    ({}, ["the clearance of the case, 0.06 mm", "friction.cone 0.08 and friction.bore 0.12", "is pushed to the travel of the case, 1.2 mm"]),
    ({"sleeve.fit": "H9/h9", "friction.cone": [0.06, 0.08, 0.11], "push.force": 2e4},
     ["one clearance, uniform between the limits of the fit", "friction.cone uniform between 0.06 and 0.11 and friction.bore 0.12",
      "has one force, the least clamp force times"]),
])  # fmt: skip
def test_what_is_drawn_is_told_of_this_case(changes, said):
    told = scatter.drawn(Case.from_tables(TABLES, "x").changed(changes), scatter.UNIFORM)
    assert all(words in told for words in said) and ("of the fit" in told) == ("sleeve.fit" in changes) and ("clamp force" in told) == ("push.force" in changes)
