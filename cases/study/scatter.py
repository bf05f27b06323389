"""Random samples between the limits of a case, and what is read off them: percentiles, shares and how sure they are."""

from __future__ import annotations

import math
from collections.abc import Sequence
from random import Random
from typing import NamedTuple

#: percentiles that are told of every quantity
PERCENTILES = (1, 5, 25, 50, 75, 95, 99)

#: how samples are drawn, for whoever reads the results
DRAWN = (
    "each sample has one clearance, uniform between the limits of the fit; one friction a pair, uniform between the low and the "
    "high end of its band, the same while the ring is pulled and while it carries; and one force, the least clamp force times a "
    "number uniform between 1 and the scatter of tightening, all independent of each other"
)


class Limits(NamedTuple):
    """Lower and upper end of what is drawn: clearance [mm], friction of the pairs, force [N]; None where a travel is given."""

    clearance: tuple[float, float]
    cone: tuple[float, float]
    bore: tuple[float, float]
    force: tuple[float, float] | None


class Sample(NamedTuple):
    """One coupling as it may turn out: clearance [mm], friction of the pairs, push force [N] or None for the case's own travel."""

    clearance: float
    cone: float
    bore: float
    force: float | None


def draw(limits: Limits, seed: int, index: int) -> Sample:
    """The sample of a number: the same for a seed and an index, whoever draws it and in whatever order."""
    dice = Random(f"{seed} {index}")
    clearance, cone, bore, force = (dice.random() for _ in range(4))
    between = lambda share, ends: ends[0] + share * (ends[1] - ends[0])
    return Sample(
        between(clearance, limits.clearance), between(cone, limits.cone), between(bore, limits.bore),
        between(force, limits.force) if limits.force else None,
    )


def percentile(values: Sequence[float], percent: float) -> float:
    """Value below which a percentage of the values lies, linear between neighbours in rank (n - 1) p.

    values in any order, at least one. Source: Hyndman & Fan 1996, definition 7 (from memory).
    >>> percentile([4, 1, 3, 2], 50)
    2.5
    """
    ranked = sorted(values)
    place = (len(ranked) - 1) * percent / 100
    low = math.floor(place)
    high = min(low + 1, len(ranked) - 1)
    return ranked[low] + (place - low) * (ranked[high] - ranked[low])


def sure_between(hits: int, count: int) -> tuple[float, float]:
    """Limits between which the true share lies with 95 % confidence, where `hits` of `count` samples were hits.

    Score interval, Wilson 1927 (from memory); z = 1.96.
    >>> [round(x, 4) for x in sure_between(0, 100)]
    [0.0, 0.037]
    """
    z, share = 1.959964, hits / count
    middle = share + z * z / (2 * count)
    half = z * math.sqrt(share * (1 - share) / count + z * z / (4 * count * count))
    scale = 1 + z * z / count
    return max((middle - half) / scale, 0.0), min((middle + half) / scale, 1.0)
