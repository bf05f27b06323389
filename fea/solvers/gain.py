"""What rounds of correction gain, and what is to be done where that is little. norms [-] are those of a balance so far, one a round."""

from __future__ import annotations

import math

#: rounds of correction, of elastic bodies and of such as may flow
CORRECTIONS, ROUNDS = 25, 60
#: bodies that may flow go over to full Newton after as many rounds, when the last ten gained less than this factor
_PATIENCE, _LOOK_BACK, _GAINED = 40, 10, 10.0
#: elastic bodies do so as soon as the last few rounds, carried on at their gain, would not reach balance in the rounds that are
#: left, or lose: parts that hardly change their volume feel large strains in many rounds, and full Newton in few. It starts from
#: the best round. A ring pushed to 1 % of hoop strain took 79 iterations so, for 36 cut-backs and seven times as long
_TREND = 6
#: more rounds than this left at the gain of the last few are dearer than to condense flowing bodies anew: that costs about ten rounds, and
#: five to eight are left then
_DEAR = 16
#: elastic bodies are condensed anew as they stand where, at the gain of the last rounds, more than the second would be left: that costs
#: about ten rounds, two or three are left then, and later increments have fewer too. A shaft like a thin shell pushed far takes 0.7 of
#: its time, from 2 to 7 alike, two couplings that full Newton had to help 0.4 and 0.5; five bundled examples never come to it
_SEEN, _WORTH = 2, 5


def slow(norms: list[float]) -> bool:
    """Whether rounds have gone on for long and gain little."""
    return len(norms) > _PATIENCE and norms[-1] > norms[-1 - _LOOK_BACK] / _GAINED


def many(norms: list[float], residual: float) -> bool:
    """Whether bodies that flow would be dearer to balance to residual [-] as they are than condensed anew."""
    return len(norms) > _TREND and _gain(norms) * _DEAR < math.log(norms[-1] / residual)


def worth(norms: list[float], residual: float) -> bool:
    """Whether to condense elastic bodies as they stand is cheaper than to balance them to residual [-] as they are."""
    return len(norms) > _SEEN and math.log(norms[-1 - _SEEN] / norms[-1]) / _SEEN * _WORTH < math.log(norms[-1] / residual)


def short(norms: list[float], residual: float) -> bool:
    """Whether elastic bodies would not be balanced to residual [-] in the rounds that are left, going on as before."""
    return len(norms) > _TREND and _gain(norms) * (CORRECTIONS - len(norms)) < math.log(norms[-1] / residual)


def _gain(norms: list[float]) -> float:
    """Gain of the last few rounds, each: logarithm of a factor; there must be more than _TREND."""
    return math.log(norms[-1 - _TREND] / norms[-1]) / _TREND
