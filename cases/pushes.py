"""All pushes of a case: which corners, the clamp force they are pushed to, and which process does each."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Executor
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Any

from colletfea.cases.casefile.case import Case, PushSettings
from colletfea.cases.hand import corners as spec
from colletfea.cases.hand.corners import GRIP, NOMINAL, Clamp, Corner, Reached, Seat
from colletfea.cases.judgement.corner import clamp_at_travel
from colletfea.cases.judgement.screws import scatter_of
from colletfea.cases.simulation import corners, lines, trust
from colletfea.cases.simulation.corners import Way, needed_of
from colletfea.cases.simulation.ladder import End
from colletfea.cases.simulation.section import arrays
from colletfea.cases.simulation.pushed import Progress, Push, silent
from colletfea.cases.simulation.roles import chosen_by_work
from colletfea.cases.stored.names import DUTY, EARLY, FORCE, INTERRUPTED, TRAVEL
from colletfea.cases.workers import share

Lost = dict[str, float]
#: what can be done with the nominal push while other processes push the other corners; it may tell how far it is
Meanwhile = Callable[[Push, Callable[[str], None]], None]


@dataclass(frozen=True)
class CornerRun:
    """One corner's push as the results need it.

    end: None where nothing was pushed. arrays: as stored, empty where nothing was pushed or nothing is to be shown; so are
    lines (rows, see simulation.lines) and errors (by part, see simulation.trust).
    """

    reached: Reached
    end: End | None
    arrays: dict[str, Any]
    lines: list[dict[str, Any]] = field(default_factory=list)
    errors: dict[str, dict[str, float]] = field(default_factory=dict)


@dataclass(frozen=True)
class Pushes:
    """The nominal push with its states, every corner in the table's order, and the clamp forces."""

    nominal: Push
    corners: tuple[CornerRun, ...]
    clamp: Clamp
    asked: str  # the reason that ends a nominal push which reached its own end

    def run(self, name: str) -> CornerRun:
        """The run of a corner, the first one where it was left out as the repeat of another."""
        return next((run for run in self.corners if run.reached.corner.name == name), self.corners[0])

    @property
    def message(self) -> str:
        """Why a push did not come to its end, the nominal one's first; empty where all did."""
        said = [self.nominal.message, *(f"Corner {r.corner.name}: {r.message}" for r in self.reached if r.corner.name != NOMINAL and r.message)]
        return next((words for words in said if words), "")

    @property
    def reached(self) -> tuple[Reached, ...]:
        """What each corner came to."""
        return tuple(run.reached for run in self.corners)


def push_all(
    case: Case, fit, clamp: Clamp | None, lost: Lost, way: Way, executor: Executor | None = None, meanwhile: Meanwhile | None = None
) -> Pushes:
    """Push a case in its corners; never raises for what happens on the way.

    clamp: forces that are known before any push, else None. lost [N]: what service takes off each pair. executor: who takes
    a part of the pushes. meanwhile: called once if there is a nominal push among several.
    """
    asked = spec.table(case, fit)
    search = None
    if case.push.travel is None and clamp is None:
        scatter = scatter_of(case)
        # what a cone carries once its ring is drawn off is known of a push to a force, which passes the lesser one on its way
        if len(spec.distinct(asked, scatter == 1)) == 1 and not case.drawn_off:
            return _driven_by_duty(case, asked[0], scatter, lost, way)
        search, clamp = _search(case, asked, scatter, lost, replace(way, progress=_part(way.progress, 0.0, 0.4)))
        if search[1].reason == INTERRUPTED or search[1].force <= 0:
            return _search_alone(case, search, clamp, way)
    way = replace(way, progress=_part(way.progress, 0.4 if search else 0.0, 1.0), follower=_follower(case, search))
    return _push_corners(case, asked, clamp, search, lost, way, executor, meanwhile)


def warm() -> None:
    """Nothing: what a new process imports on the way here is what its first push would wait for."""


def _part(progress: Progress, start: float, end: float) -> Progress:
    return lambda done, text: progress(start + (end - start) * done, text)


def _driven_by_duty(case: Case, corner: Corner, scatter: float, lost: Lost, way: Way) -> Pushes:
    """A case with one corner and no push: it ends where it carries the duty."""
    done, reached = corners.push(case, corner, replace(case.push, travel=None, force=None), _need(case, corner, lost), True, way)
    return Pushes(done, (_run(case, done, reached, way),), _clamp(reached, scatter), DUTY)


def _search(case: Case, asked: tuple[Corner, ...], scatter: float, lost: Lost, way: Way) -> tuple[tuple[Push, Reached], Clamp]:
    """Push the grip corner until it carries the duty: the clamp forces follow from there."""
    corner = next(c for c in asked if c.name == GRIP)
    done, reached = corners.push(case, corner, replace(case.push, travel=None, force=None), _need(case, corner, lost), True, way)
    return (done, reached), _clamp(reached, scatter)


def _search_alone(case: Case, search: tuple[Push, Reached], clamp: Clamp, way: Way) -> Pushes:
    """The push that looks for the clamp force as all there is: nothing is lost, and the message says what it is."""
    done, reached = search
    if done.message:
        done.message += " It is the push that looks for the clamp force, in the worst corner of fit and friction."
    return Pushes(done, (_run(case, done, reached, way),), clamp, FORCE)


def _follower(case: Case, search: tuple[Push, Reached] | None) -> str | None:
    """The edge that the search's work has shown to follow on the cone, for the other corners: a wrong one costs a push in each."""
    return search and chosen_by_work(corners.at_corner(case, search[1].corner, case.push), search[0])


def _interrupted(search: tuple[Push, Reached]) -> tuple[Push, Reached]:
    """The finished search as what is left of a run that was interrupted before its nominal push began."""
    done, reached = search
    done.interrupt()
    return done, replace(reached, reason=INTERRUPTED, message=done.message)


def _clamp(reached: Reached, scatter: float) -> Clamp:
    """Least and greatest clamp force from the push that looked for the force needed."""
    if reached.reason in EARLY:
        why = "the push that looks for the force needed did not reach its end: the least force is where it stopped"
        return Clamp(None, reached.force, reached.force * scatter, scatter, why)
    if reached.needed is None:
        why = "the duty is not carried at any pull in the worst corner: the least force is where that push ended"
        return Clamp(None, reached.force, reached.force * scatter, scatter, why)
    least = spec.rounded_up(reached.needed)
    why = "the force needed in the worst corner of fit and friction, rounded up; the greatest is the least times the scatter of tightening"
    return Clamp(reached.needed, least, least * scatter, scatter, why)


def _push_corners(
    case: Case, asked: tuple[Corner, ...], clamp: Clamp | None, search: tuple[Push, Reached] | None, lost: Lost, way: Way,
    executor: Executor | None, meanwhile: Meanwhile | None,
) -> Pushes:
    kept = spec.distinct(asked, clamp is None or clamp.scatter == 1)
    finder = next((c.name for c in kept if c.name == GRIP), NOMINAL)
    done = _already(case, search, finder, way)
    found = search and search[0]
    own, others = _shared([c for c in kept if c.name not in done], finder if found else NOMINAL)
    todo, first = [*own, *others], replace(way, progress=_part(way.progress, 0.0, 1 / max(len(own + others), 1)))
    tasks = [
        (case, c, _end(case, c, clamp), lost, c.name == finder and search is None,
         first if c.name == NOMINAL else replace(way, progress=silent), found if c.name == finder else None)
        for c in todo
    ]  # fmt: skip
    try:
        for count, (index, (run, push)) in enumerate(share(executor, push_one, tasks, len(own)), 1):
            done[todo[index].name] = run, push
            told = partial(way.progress, count / len(tasks))
            told(f"{count} of {len(tasks)} corners pushed")
            if meanwhile and todo[index].name == NOMINAL:
                meanwhile(push, told)
            if run.reached.reason == INTERRUPTED:
                break
    except KeyboardInterrupt:
        if NOMINAL not in done:
            if search is None:
                raise
            return _search_alone(case, _interrupted(search), clamp, way)
    runs = tuple(done[c.name][0] if c.name in done else CornerRun(_never(c), None, {}) for c in kept)
    asked_for = TRAVEL if case.push.travel is not None else FORCE
    return Pushes(done[NOMINAL][1], runs, _settled(case, clamp, runs, finder), asked_for)


def _shared(corners: list[Corner], begun: str) -> tuple[list[Corner], list[Corner]]:
    """Corners that this process pushes, and others: it keeps the nominal one, whose states are wanted, and the one it has begun."""
    own = sorted((c for c in corners if c.name in (NOMINAL, begun)), key=lambda c: c.name != NOMINAL)
    return own, [c for c in corners if c not in own]


def push_one(case: Case, corner: Corner, end: PushSettings, lost: Lost, finds: bool, way: Way, found: Push | None) -> tuple[CornerRun, Push | None]:
    """One corner, in whatever process: its results, and the push itself where its states are wanted, which stay in this one.

    found: see corners.push.
    """
    done, reached = corners.push(case, corner, end, _need(case, corner, lost), finds, way, found)
    return _run(case, done, reached, way), done if corner.name == NOMINAL else None


def _already(case: Case, search: tuple[Push, Reached] | None, finder: str, way: Way) -> dict[str, tuple[CornerRun, Push | None]]:
    """The corner whose push the search was already: where no pull carries the duty, nothing is gained by a second one."""
    if search is None or search[1].needed is not None:
        return {}
    done, reached = search
    reached = replace(reached, corner=replace(reached.corner, name=finder))
    return {finder: (_run(case, done, reached, way), done if finder == NOMINAL else None)}


def _need(case: Case, corner: Corner, lost: Lost):
    return needed_of(case, corner.carrying, lost)


def _end(case: Case, corner: Corner, clamp: Clamp | None) -> PushSettings:
    """Where a corner is pushed to. A thrust that presses the ring on adds to the greatest force."""
    if case.push.travel is not None:
        return replace(case.push, force=None)
    pressing = spec.pressed_on(case.duty, corner.end) if case.duty else 0.0
    return replace(case.push, travel=None, force=clamp.force(corner.end) + pressing)


def _run(case: Case, done: Push, reached: Reached, way: Way) -> CornerRun:
    if not way.pictured:
        return CornerRun(reached, End.of(done), {})
    shown = done.model, done.states[-1]
    return CornerRun(reached, End.of(done), arrays(*shown), lines.rows(case, *shown), trust.errors(case, *shown))


def _never(corner: Corner) -> Reached:
    """A corner that an interrupt left unpushed."""
    return Reached(corner, 0.0, 0.0, INTERRUPTED, Seat(), Seat(), Seat(), {}, 0.0)


def _settled(case: Case, clamp: Clamp | None, runs: tuple[CornerRun, ...], finder: str) -> Clamp:
    """The clamp forces after all pushes: the force needed, and for a given travel the least and greatest force it took."""
    needed = next((run.reached.needed for run in runs if run.reached.corner.name == finder), None)
    if clamp is not None:
        return clamp if clamp.needed is not None else replace(clamp, needed=needed)
    return clamp_at_travel(case, needed, [run.reached for run in runs])
