"""Automatic increments along a stage: cut-back, growth, and events that land on an increment."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from math import inf, isfinite

import numpy as np

from colletfea.fea.errors import NotConverged
from colletfea.fea.stepping.events import Event, aim, foreseen, imminent
from colletfea.fea.stepping.guess import guess
from colletfea.fea.stepping.increment import Solver, solve_increment
from colletfea.fea.stepping.state import State


@dataclass(frozen=True)
class Steps:
    """Increment sizes in units of the stage parameter: first, growth factor, largest.

    after (first, largest) takes their place once an event has restarted the steps. doubt: from this parameter on increments grow
    without limit, for what should have ended the stage long ago has not come and may never do. seat: parameter at which nothing
    carries any more; no increment takes more than a third of what is left up to there. spill: share of all work that an increment
    may miss, see _shorter; wary: share from which none goes on whose force jumps on the way to an event, see Jumped.
    """

    first: float
    largest: float
    growth: float = 1.5
    after: tuple[float, float] | None = None
    doubt: float = inf
    seat: float = inf
    spill: float = inf
    wary: float = inf

    def restarted(self) -> Steps:
        """Step sizes [-] behind a restarting event."""
        return self if self.after is None else replace(self, first=self.after[0], largest=self.after[1], after=None)

    def halved(self) -> Steps:
        """Step sizes [-] half as large, that grow by half as much; doubt comes where it came."""
        after = self.after and (self.after[0] / 2, self.after[1] / 2)
        return replace(self, first=self.first / 2, largest=self.largest / 2, growth=(1 + self.growth) / 2, after=after)

    def next(self, size: float, t: float) -> float:
        """The size [-] that follows one which went well, at t."""
        return min(size * self.growth, self.largest if t < self.doubt else inf)

    def within(self, size: float, t: float) -> float:
        """As much of a size [-] as the seat that is left at t allows."""
        return min(size, _OF_SEAT * (self.seat - t)) if t < self.seat else size


class Stopped(Exception):
    """A stage could not go on from parameter t [-]; the last accepted state was already handed out."""

    def __init__(self, t: float, cause: NotConverged):
        super().__init__(f"no equilibrium beyond {t:.6g}: {cause.reason}")
        self.t, self.cause = t, cause

    @property
    def residuals(self) -> list[float]:
        """Finite residuals [-] of the try that failed last, over the force scale."""
        return [float(x) for x in self.cause.norms if isfinite(x)]


class Jumped(Stopped):
    """The force jumps between two tries for an event, and more work is missing than Steps.wary: looking for it further is not worth it."""


#: tries for one event
_LANDINGS = 40
#: tries after which what is left is halved by every other one, as by all where a force is seen to jump: there secants lead nowhere. A
#: push with such a jump took 30 s with 10, and 26 with this and tries shared among its events
_PATIENT = 5
#: share of the seat that is left which an increment may take, see Steps. Where a soft ring runs off its seat friction turns round: in
#: one step from 1.3 mm of it to 0.24 mm a push ended with 150 N, in steps of half of what is left and shorter with 185 to 188 N
_OF_SEAT = 1 / 3
#: halvings of an increment for its work's sake, and the share of what it misses that the half may miss. Of a force with a kink on the
#: way the half misses at most a quarter, of a smooth one an eighth; of a work that is missed evenly, which no step heals, a half
_HALVINGS, _HEALS = 3, 0.4
#: share of the first increment below which none is halved: from nothing every step, however short, is all work done so far
_SHORTEST = 1 / 8
#: a measure that keeps the first share of what it differs by over a stretch of which the second is left jumps: one that is only steep
#: falls with the stretch
_KEEPS, _LEFT = 0.8, 0.25
#: growth of the share of its own work that an increment misses over that of the one before, from which halves are tried again
_WORSE = 2.0
#: share of all work that may be missing; no increment that misses more by itself is followed by a longer one, unless its half misses
#: as much a length
LEAK = 0.02


def run(solver: Solver, start: State, end: float, steps: Steps, events: Sequence[Event] = (), reversal: bool = False,
        tally: Tally | None = None, aside: Aside | None = None, before: Sequence[State] = (), size: float | None = None) -> Iterator[State]:
    """Yield accepted states from start to the end [-] of the stage or to a stopping event; tally counts the effort.

    before, size: accepted states that led to start, and the size [-] of the increment from there, where a way is taken up again.
    aside: events whose states are looked up between two accepted ones, before the second is handed out. reversal marks a
    stage that starts from a loaded state in a new direction: its first guess is linear with every touching point
    sticking. Raises Stopped, Jumped where the steps are wary.
    """
    tally = tally or Tally()
    past, size = [*before[-4:], start], steps.first if size is None else size
    pending = [e for e in events if e.measure(start) < -e.tolerance]
    while past[-1].t < end * (1 - 1e-12):
        here = past[-1]
        size = steps.within(size, here.t)
        tally.sizes.append(size)
        target = here.t + size
        target = wanted = end if target > end - 0.3 * size else target
        target = min([target, *(foreseen(e, past, target) for e in pending)])
        state, reached = _advance(solver, past, target, wanted, pending, steps, reversal, tally)
        even = _leaks(steps.spill, here, state) and len(past) > 1 and _as_before(steps.spill, past[-2], here, state)
        if _leaks(steps.spill, here, state) and not even:
            state, reached, even = _shorter(solver, past, state, reached, pending, steps, reversal, tally)
        if aside is not None:
            aside.look(solver, past, state, reversal, tally)
        past = [*past[-4:], state]
        yield state
        if any(e.stops for e in reached):
            return
        pending = [e for e in pending if e not in reached]
        cut = state.t - here.t < (target - here.t) * (1 - 1e-9) and not reached
        leaks = not even and _leaks(min(steps.spill, LEAK), here, state)
        size = state.t - here.t if cut else size if leaks else steps.next(size, state.t)
        if any(e.restarts for e in reached):
            steps = steps.restarted()
            size = steps.first


def run_through(solver: Solver, start: State, targets: Sequence[float], reversal: bool = False) -> Iterator[State]:
    """Yield the accepted states at exactly these stage parameters [-]; raises Stopped where one fails."""
    past = [start]
    for target in targets:
        try:
            state = _attempt(solver, past, [], target, reversal)
        except NotConverged as err:
            raise Stopped(past[-1].t, err) from err
        past = [*past[-4:], state]
        yield state


@dataclass
class Tally:
    """Effort of a stage: iterations of all attempts, and rejected attempts; sizes [-] that increments had in mind, from each state on."""

    iterations: int = 0
    cutbacks: int = 0
    sizes: list[float] = field(default_factory=list)


@dataclass
class Aside:
    """Events that are looked up without bending the way: the accepted states are those of a run without them.

    found: name to state, for each event that was passed and could be landed on; each is looked for once.
    """

    events: Sequence[Event]
    found: dict[str, State] = field(default_factory=dict)

    def look(self, solver: Solver, past: list[State], state: State, reversal: bool, tally: Tally) -> None:
        """Find the events between the last of past and the next accepted state; one that can't be landed on is left out."""
        tried = [past[-1], state]
        for event in self.events:
            if event.name not in self.found and event.measure(past[-1]) < 0 <= event.measure(state):
                between = _between(solver, past, tried, event, reversal, tally)
                if between is not None:
                    self.found[event.name] = between


def _between(solver, past, tried: list[State], event: Event, reversal: bool, tally: Tally) -> State | None:
    """The state at which an event falls between two of those tried, None where no try gets there; tries are added to them."""
    first = next(k for k, state in enumerate(tried) if event.measure(state) >= 0)
    low, high = tried[first - 1 : first + 1]
    for count in range(_LANDINGS):
        before, after = event.measure(low), event.measure(high)
        target = low.t - before * (high.t - low.t) / (after - before) if count <= _PATIENT else (low.t + high.t) / 2
        if abs(after) <= event.tolerance or event.behind and high.t - low.t < event.nearness * high.t:
            return replace(high, events=(event.name,))
        if not low.t < target < high.t:
            return None
        try:
            state = _attempt(solver, past, [high], target, reversal)
        except NotConverged as err:
            tally.iterations += err.iterations
            return None
        tally.iterations += state.iterations
        tried.append(state)
        tried.sort(key=lambda one: one.t)
        if abs(event.measure(state)) <= event.tolerance:
            return replace(state, events=(event.name,))
        low, high = (state, high) if event.measure(state) < 0 else (low, state)
    return None


def _leaks(share: float, old: State, state: State) -> bool:
    """Whether the increment to a state misses more than a share of all work; where nothing presses there is no work but rounding."""
    return bool(np.any(state.contact.pressure > 0)) and state.work.spilt(old.work) > share


def _as_before(spill: float, before: State, old: State, state: State) -> bool:
    """Whether the increment before leaked too, and missed no much smaller share of its own work: then no half is tried again."""
    return _leaks(spill, before, old) and state.work.own(old.work) < _WORSE * old.work.own(before.work)


def _heals(here: State, half: State, whole: State) -> bool:
    """Whether half an increment from here misses much less than half of what the whole one does."""
    return abs(half.work.lost() - here.work.lost()) <= _HEALS * abs(whole.work.lost() - here.work.lost())


def _shorter(solver, past, state, reached, pending, steps, reversal, tally) -> tuple[State, list[Event], bool]:
    """A state nearer to the last of past than the accepted one, so that less is missed on the way, what it landed on, and whether
    work is missed evenly: half an increment misses half as much.

    Missed is what the work balance loses in an increment, over all work done: a force that rises at once, as a slack sleeve's when
    it comes to lie on all along, has much more or less work than its trapezoid. Where the half misses as much a length the whole
    increment stays, the next one is not tried, and increments grow: short ones gain nothing. A push that crept on by short ones took
    53 of them and missed 20 %, with 15 it missed 23 %.
    """
    here = past[-1]
    for _ in range(_HALVINGS):
        middle = (here.t + state.t) / 2
        if middle - here.t < _SHORTEST * steps.first:
            break
        try:
            half, landed = _advance(solver, past, middle, middle, pending, steps, reversal, tally)
        except Stopped:
            break
        if not _heals(here, half, state):
            return state, reached, True
        state, reached = half, landed
        if not _leaks(steps.spill, here, state):
            break
    return state, reached, False


def _advance(solver, past, target, wanted, pending, steps, reversal, tally) -> tuple[State, list[Event]]:
    """The next accepted state at or before wanted, and the events it landed on; target is tried first."""
    here, cuts, tries, above, low, spans, beyond = past[-1], 0, [], None, past[-1], [], []
    close, leaking = any(imminent(e, past) for e in pending), False
    for count in range(_LANDINGS):
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
        half, leaking = leaking, False
        if passed:
            leaking = above is None and not tries and _leaks(steps.spill, here, state) and state.t - here.t >= 2 * _SHORTEST * steps.first
            above, beyond = state, [*beyond, *([above] if above else [])]
            if leaking:  # no event is looked for in an increment that will be halved; where that does not heal, its half is a try for it
                target = (here.t + state.t) / 2
                continue
        elif half and not landed and _heals(here, state, above):
            return state, []
        elif landed or above is None and (not close or cuts or target >= wanted):
            return replace(state, events=tuple(e.name for e in landed)), landed
        else:
            tries.append(state)
        low = tries[-1] if tries else here
        ahead = pending if above is None else [e for e in pending if e.measure(above) > e.tolerance]
        spans += [(above.t - low.t, max(e.measure(above) - e.measure(low) for e in ahead))] if above else []
        jumps = above is not None and _jumps(spans)
        if jumps and _leaks(steps.wary, here, above):
            raise Jumped(here.t, NotConverged("the force jumps"))
        if above is not None and above.t - low.t < min(max(e.nearness, e.leapt if jumps else 0.0) for e in ahead) * above.t:
            before = tries and not any(e.behind for e in ahead)
            return replace(tries[-1] if before else above, events=tuple(e.name for e in ahead)), ahead
        target = min([wanted, *(aim(e, past, tries, above, beyond) for e in ahead)])
        if jumps or above is not None and count > _PATIENT and count % 2:
            target = (low.t + above.t) / 2
    raise Stopped(here.t, NotConverged("an event could not be landed on"))


def _jumps(spans: list[tuple[float, float]]) -> bool:
    """Whether the measures of the events that are looked for jump.

    spans: stretches that they were looked for in, one after the other, and what the measures differed by over each.
    """
    width, span = spans[-1]
    return span >= _KEEPS * next((before for reach, before in reversed(spans) if width <= _LEFT * reach), inf)


def _attempt(solver: Solver, past: list[State], tries: list[State], target: float, reversal: bool) -> State:
    # places of touch not from the tries: each would move those of the next, and what they find would be no function of target
    u, pressure, history = guess(solver, past, target, reversal)
    if tries:  # nearer by far than what lies before the start
        here, nearest = past[-1], tries[-1]
        ratio = (target - here.t) / (nearest.t - here.t)
        u = solver.balance.numbering.prescribe(here.u + ratio * (nearest.u - here.u), target)
    return solve_increment(solver, past[-1], history, u, target, pressure)
