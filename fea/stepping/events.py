"""Events that must fall on the end of an increment, and where the next try for one goes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from colletfea.fea.stepping.state import State

#: share of the way to an event that is due, for measures that change behind it; and the share of an increment
#: within which nothing is accepted before it
_SHORT, _CLOSE = 0.95, 0.2


@dataclass(frozen=True)
class Event:
    """Something that must fall on the end of an increment.

    measure(state), in a unit of its own, is negative before the event and grows to 0 at it; tolerance, in that unit, is
    allowed on it. smooth: the measure keeps its slope behind the event (a gap does not). stops: the stage ends there.
    restarts: the steps begin again with their first size. nearness: parameters this near each other, relative, count as one: where
    a measure jumps over its tolerance, the state before the jump is taken once it is known to this, with behind the one behind it.
    leapt: as nearness, where the measure is seen to jump, if that asks for less.
    """

    name: str
    measure: Callable[[State], float]
    tolerance: float
    smooth: bool = False
    stops: bool = False
    restarts: bool = False
    nearness: float = 1e-9  # nearer than balance lets a parameter be known
    behind: bool = False
    leapt: float = 0.0


def foreseen(event: Event, past: list[State], target: float) -> float:
    """Stage parameter [-] to try where an event is due before target by extrapolation: saves overshooting it."""
    due = _due(event, *past[-2:]) if len(past) > 1 else None
    if due is None or not past[-1].t < due < target:
        return target
    return due if event.smooth else past[-1].t + _SHORT * (due - past[-1].t)


def _due(event: Event, a: State, b: State, start: State | None = None) -> float | None:
    """Parameter at which the event is met from start (else b) with the slope between a and b; None if it falls."""
    before, after = event.measure(a), event.measure(b)
    start = start or b
    return start.t - event.measure(start) * (b.t - a.t) / (after - before) if after > before else None


def imminent(event: Event, past: list[State]) -> bool:
    """Whether an event is due within a share [-] of the last increment: then nothing is accepted before it."""
    due = _due(event, *past[-2:]) if len(past) > 1 else None
    return due is not None and due - past[-1].t < _CLOSE * (past[-1].t - past[-2].t)


def aim(event: Event, past: list[State], tries: list[State], above: State | None, beyond: Sequence[State] = ()) -> float:
    """Next stage parameter [-] to try, between the last try (or the start) and the first state behind the event.

    Measures that change behind the event are extrapolated from before it. A first try stops a little short;
    from there the slope of the accepted states leads on, then that of the tries alone: they share one start,
    so what that leaves open cancels. beyond: states behind above that were tried. Between both, a measure that keeps its slope
    is aimed at along the two states nearest to it: where a kink lies behind it, the line to a far state creeps up from one side.
    """
    low, seen = (tries or past)[-1], tries if len(tries) > 1 else past
    if above is not None and event.smooth:
        next_best, best = sorted([*past[-2:], *tries, above, *beyond], key=lambda s: -abs(event.measure(s)))[-2:]
        due = _due(event, *sorted([best, next_best], key=lambda s: s.t), best)
    elif len(seen) < 2:
        due = None
    else:
        due = _due(event, *seen[-2:], low)
        if due is not None and not event.smooth and not tries:
            due = low.t + _SHORT * (due - low.t)
    if above is None:
        return np.inf if due is None else due
    return due if due is not None and low.t < due < above.t else (low.t + above.t) / 2
