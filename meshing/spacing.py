"""Node positions along a line from wanted element sizes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

#: growth of the element size with distance; neighbours then differ by a factor of about e^0.3
GROWTH = 0.3


@dataclass(frozen=True)
class Spot:
    """Elements no larger than `size` between `low` and `high` [mm], growing away from there by `growth` [-] of the distance."""

    low: float
    high: float
    size: float
    growth: float = GROWTH


def clip(spots: Iterable[Spot], low: float, high: float) -> list[Spot]:
    """Spots cut to the range from low to high [mm]; those that miss it are dropped."""
    return [
        replace(s, low=max(s.low, low), high=min(s.high, high))
        for s in spots
        if s.low <= high and s.high >= low
    ]


def divide(
    low: float, high: float, spots: Sequence[Spot], knots: Iterable[float] = (), least: int = 1
) -> np.ndarray:
    """Element boundaries (n,) [mm] from low to high [mm], both included, with every knot [mm] among them.

    Each stretch between knots gets the whole number of elements nearest to the wanted sizes and at
    least `least`; the remainder is spread over its middle, so that sizes stay smooth across a knot.
    """
    ends = [low, *sorted(k for k in set(knots) if low < k < high), high]
    stretches = list(pairwise(ends))
    spots = [*spots, *(Spot(a, b, b - a) for a, b in stretches)]
    parts = [_divide_stretch(a, b, spots, least)[:-1] for a, b in stretches]
    return np.concatenate([*parts, [high]])


def fractions(positions: np.ndarray) -> np.ndarray:
    """Positions (n,) of any unit, scaled to run from 0 to 1."""
    return (positions - positions[0]) / (positions[-1] - positions[0])


def wanted_size(x: np.ndarray, spots: Sequence[Spot]) -> np.ndarray:
    """Element size (n,) [mm] wanted at x (n,) [mm]: the least that any spot asks for there."""
    return np.min([s.size + s.growth * np.maximum(0, np.maximum(s.low - x, x - s.high)) for s in spots], axis=0)


def _divide_stretch(low: float, high: float, spots: Sequence[Spot], least: int) -> np.ndarray:
    x = _samples(low, high, spots)
    density = 1 / wanted_size(x, spots)
    count = np.concatenate([[0.0], np.cumsum((density[1:] + density[:-1]) / 2 * np.diff(x))])
    whole = max(least, round(count[-1]))
    share = count / count[-1]
    count = count + (whole - count[-1]) * share**2 * (3 - 2 * share)
    positions = np.interp(np.arange(whole + 1), count, x)
    positions[[0, -1]] = low, high
    return positions


def _samples(low: float, high: float, spots: Sequence[Spot]) -> np.ndarray:
    """Sampling points, crowded at the ends of the spots where the wanted size is smallest."""
    away = (high - low) * np.geomspace(1e-6, 1, 300)
    ends = [s.low - away for s in spots] + [s.high + away for s in spots]
    return np.unique(np.clip(np.concatenate([np.linspace(low, high, 500), *ends]), low, high))
