"""Random samples between the limits of a case, and what is read off them: percentiles, shares and how sure they are."""

from __future__ import annotations

import math
from collections.abc import Sequence
from random import Random
from statistics import NormalDist
from typing import NamedTuple

from colletfea.cases.casefile.case import Case

#: percentiles that are told of every quantity, where samples are many enough
PERCENTILES = (1, 5, 25, 50, 75, 95, 99)
#: from so many samples on one is looked for beyond either end of the middle 90 %; of fewer, what is told
_MANY = 20
_FEW = {"least": 0, "middle": 50, "greatest": 100}

#: how clearances lie between the limits of the fit
UNIFORM, NORMAL = "uniform", "normal"
CLEARANCES = {
    UNIFORM: "uniform between the limits of the fit",
    NORMAL: "normal about the middle of the fit with its limits at 3 standard deviations, none beyond them",
}
#: standard deviations from the middle to the limits of a normal clearance
_REACH = 3.0
_ALL = NormalDist()


def drawn(case: Case, clearances: str) -> str:
    """How samples of a case are drawn, for whoever reads the results; clearances is UNIFORM or NORMAL."""
    play = f"one clearance, {CLEARANCES[clearances]}" if case.sleeve.fit else f"the clearance of the case, {case.sleeve.clearance:g} mm"
    rub = " and ".join(
        f"friction.{name} {f'uniform between {band.low:g} and {band.high:g}' if band.low < band.high else f'{band.nominal:g}'}"
        for name, band in (("cone", case.friction.cone), ("bore", case.friction.bore))
    )
    end = (
        "has one force, the least clamp force times a number uniform between 1 and the scatter of tightening" if case.push.travel is None
        else f"is pushed to the travel of the case, {case.push.travel:g} mm"
    )
    return f"each sample has {play}; {rub}, the same while the ring is pulled and while it carries; and {end}; each is drawn for itself"


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


def draw(limits: Limits, seed: int, index: int, clearances: str = UNIFORM) -> Sample:
    """The sample of a number: the same for a seed and an index, whoever draws it and in whatever order.

    clearances: UNIFORM or NORMAL, which gives the same friction and force and moves each clearance toward the middle.
    """
    dice = Random(f"{seed} {index}")
    clearance, cone, bore, force = (dice.random() for _ in range(4))
    if clearances == NORMAL:
        clearance = _toward_the_middle(clearance)
    between = lambda share, ends: ends[0] + share * (ends[1] - ends[0])
    return Sample(
        between(clearance, limits.clearance), between(cone, limits.cone), between(bore, limits.bore),
        between(force, limits.force) if limits.force else None,
    )


def _toward_the_middle(share: float) -> float:
    """A share between 0 and 1, uniform, as one that is normal about 0.5 with 0 and 1 at _REACH standard deviations.

    By inversion of the distribution cut off there: the standard way, no source.
    """
    beyond = _ALL.cdf(-_REACH)
    place = _ALL.inv_cdf(beyond + share * (1 - 2 * beyond)) / _REACH
    return min(max((place + 1) / 2, 0.0), 1.0)


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


def told(count: int) -> dict[str, int]:
    """Names of what is told of so many samples, with their percentages: percentiles beyond which at least one sample is looked for.

    >>> [list(told(n))[0] for n in (19, 20, 99, 100)]
    ['least', '5 %', '5 %', '1 %']
    """
    return {f"{p} %": p for p in PERCENTILES if count * min(p, 100 - p) >= 100} if count >= _MANY else _FEW


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
