"""Automatic increments along a stage: cut-back, growth, and events that land on an increment."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from colletfea.fea.stepping.guess import guess
from colletfea.fea.stepping.increment import Solver, State, solve_increment
from colletfea.fea.solvers.newton import NotConverged


@dataclass(frozen=True)
class Event:
    """Something that must fall on the end of an increment.

    measure(state) is negative before the event and grows to 0 at it; tolerance is allowed on it.
    smooth tells that it goes on alike behind the event; a gap does not. stops ends the stage there; restarts goes
    back to the first step size after it.
    """

    name: str
    measure: Callable[[State], float]
    tolerance: float
    smooth: bool = False
    stops: bool = False
    restarts: bool = False


@dataclass(frozen=True)
class Steps:
    """Increment sizes in units of the stage parameter: first, growth factor, largest.

    after (first, largest) takes their place once an event has restarted the steps.
    """

    first: float
    largest: float
    growth: float = 1.5
    after: tuple[float, float] | None = None

    def restarted(self) -> Steps:
        """Step sizes behind a restarting event."""
        return self if self.after is None else Steps(self.after[0], self.after[1], self.growth)


class Stopped(Exception):
    """A stage could not go on; the last accepted state was already handed out."""

    def __init__(self, t: float, cause: NotConverged):
        super().__init__(f"no equilibrium beyond {t:.6g}: {cause.reason}")
        self.t, self.cause = t, cause


#: tries for one event; parameters this near each other, relative, count as one
_LANDINGS, _NARROW = 40, 1e-9
#: share of the way to an event that is due, for measures that change behind it; and the share of an increment
#: within which nothing is accepted before it
_SHORT, _CLOSE = 0.95, 0.2
#: increments do not grow while the work balance misses more than this: friction works unevenly over long ones
_LEAK = 0.02


def run(solver: Solver, start: State, end: float, steps: Steps, events: Sequence[Event] = (),
        reversal: bool = False, tally: Tally | None = None) -> Iterator[State]:
    """Yield accepted states from start to the end of the stage or to a stopping event.

    reversal marks a stage that starts from a loaded state in a new direction: its first guess is
    linear with every touching point sticking. Raises Stopped.
    """
    tally = tally or Tally()
    past, size = [start], steps.first
    pending = [e for e in events if e.measure(start) < -e.tolerance]
    while past[-1].t < end * (1 - 1e-12):
        here = past[-1]
        target = here.t + size
        target = wanted = end if target > end - 0.3 * size else target
        target = min([target, *(_foreseen(e, past, target) for e in pending)])
        state, reached = _advance(solver, past, target, wanted, pending, steps, reversal, tally)
        past = [*past[-4:], state]
        yield state
        if any(e.stops for e in reached):
            return
        pending = [e for e in pending if e not in reached]
        cut = state.t - here.t < (target - here.t) * (1 - 1e-9) and not reached
        leaks = state.work.imbalance() > _LEAK
        size = state.t - here.t if cut else size if leaks else min(size * steps.growth, steps.largest)
        if any(e.restarts for e in reached):
            steps = steps.restarted()
            size = steps.first


def run_through(solver: Solver, start: State, targets: Sequence[float], reversal: bool = False) -> Iterator[State]:
    """Yield the accepted states at exactly these parameters; raises Stopped where one fails."""
    past = [start]
    for target in targets:
        try:
            state = _attempt(solver, past, [], target, reversal)
        except NotConverged as err:
            raise Stopped(past[-1].t, err) from err
        past = [*past[-4:], state]
        yield state


def _foreseen(event: Event, past: list[State], target: float) -> float:
    """Where to go for an event that is due before target by extrapolation: saves overshooting it."""
    due = _due(event, *past[-2:]) if len(past) > 1 else None
    if due is None or not past[-1].t < due < target:
        return target
    return due if event.smooth else past[-1].t + _SHORT * (due - past[-1].t)


def _due(event: Event, a: State, b: State, start: State | None = None) -> float | None:
    """Parameter at which the event is met from start (else b) with the slope between a and b; None if it falls."""
    before, after = event.measure(a), event.measure(b)
    start = start or b
    return start.t - event.measure(start) * (b.t - a.t) / (after - before) if after > before else None


@dataclass
class Tally:
    """Effort of a stage: iterations of all attempts, and rejected attempts."""

    iterations: int = 0
    cutbacks: int = 0


def _advance(solver, past, target, wanted, pending, steps, reversal, tally) -> tuple[State, list[Event]]:
    """The next accepted state at or before wanted, and the events it landed on; target is tried first."""
    here, cuts, tries, above, low = past[-1], 0, [], None, past[-1]
    close = any(_close(e, past) for e in pending)
    for _ in range(_LANDINGS):
        try:
            state = _attempt(solver, past, tries, target, reversal)
        except NotConverged as err:
            tally.iterations += err.iterations
            tally.cutbacks += 1
            cuts += 1
            if cuts > solver.settings.max_cuts or target - here.t < steps.first * 2.0**-solver.settings.max_cuts:
                raise Stopped(here.t, err) from err
            target = low.t + (target - low.t) / 2
            continue
        tally.iterations += state.iterations
        landed = [e for e in pending if abs(e.measure(state)) <= e.tolerance]
        passed = [e for e in pending if e.measure(state) > e.tolerance]
        if passed:
            above = state
        elif landed or above is None and (not close or cuts or target >= wanted):
            return replace(state, event=", ".join(e.name for e in landed)), landed
        else:
            tries.append(state)
        low = tries[-1] if tries else here
        ahead = pending if above is None else [e for e in pending if e.measure(above) > e.tolerance]
        if above is not None and above.t - low.t < _NARROW * above.t:  # closer than augmentation lets it be known
            return replace(tries[-1] if tries else above, event=", ".join(e.name for e in ahead)), ahead
        target = min([wanted, *(_aim(e, past, tries, above) for e in ahead)])
    raise Stopped(here.t, NotConverged("an event could not be landed on"))


def _close(event: Event, past: list[State]) -> bool:
    """Whether an event is due within a small part of the last increment: it is landed on from here, in one go."""
    due = _due(event, *past[-2:]) if len(past) > 1 else None
    return due is not None and due - past[-1].t < _CLOSE * (past[-1].t - past[-2].t)


def _aim(event: Event, past: list[State], tries: list[State], above: State | None) -> float:
    """Next parameter to try, between the last try (or the start) and the first state behind the event.

    Measures that change behind the event are extrapolated from before it. A first try stops a little short;
    from there the slope of the accepted states leads on, then that of the tries alone: they share one start,
    so what augmentation leaves open cancels.
    """
    low, seen = (tries or past)[-1], tries if len(tries) > 1 else past
    if above is not None and event.smooth:
        due = _due(event, low, above)
    elif len(seen) < 2:
        due = None
    else:
        due = _due(event, *seen[-2:], low)
        if due is not None and not event.smooth and not tries:
            due = low.t + _SHORT * (due - low.t)
    if above is None:
        return np.inf if due is None else due
    return due if due is not None and low.t < due < above.t else (low.t + above.t) / 2


def _attempt(solver: Solver, past: list[State], tries: list[State], target: float, reversal: bool) -> State:
    u, pressure = guess(solver, past, target, reversal)
    if tries:  # nearer by far than what lies before the start
        here, nearest = past[-1], tries[-1]
        ratio = (target - here.t) / (nearest.t - here.t)
        u = solver.balance.numbering.place(here.u + ratio * (nearest.u - here.u), target)
    return solve_increment(solver, past[-1], u, target, pressure)
