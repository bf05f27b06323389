"""The push of a case: mesh, model, increments; what was accepted is kept whatever happens."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from functools import lru_cache, partial
from typing import Any

from colletfea.cases.casefile.case import Case
from colletfea.cases.hand.corners import Collapse
from colletfea.cases.simulation import events, model
from colletfea.cases.simulation.blas import one_thread
from colletfea.cases.simulation.cause import cause
from colletfea.cases.simulation.collapse import NEARLY, collapse
from colletfea.cases.simulation.in_service import Stage
from colletfea.cases.simulation.plan import LEVELS, Plan, penetration_scale
from colletfea.cases.stored import names
from colletfea.fea.solvers.condensed import Condensed
from colletfea.fea.solvers.full import FullNewton
from colletfea.fea.stepping.events import Event
from colletfea.fea.stepping.state import State, initial_state
from colletfea.fea.model.balance import Balance
from colletfea.fea.model.model import Model
from colletfea.fea.solvers.newton import Settings
from colletfea.fea.stepping.increment import Solver
from colletfea.fea.stepping.run import LEAK, Aside, Stopped, Tally, run
from colletfea.meshing.build import build
from colletfea.meshing.section import Section, default_size

Progress = Callable[[float, str], None]
More = Callable[[Model], list[Event]]

SOLVERS = {"condensed": Condensed, "full": FullNewton}
#: times that increments are halved for the work's sake, and the share of what is missing that each may leave. Measured on a soft
#: ring that overhangs its sleeve's back: the wrong follower misses 4.4, 4.9, 6.0 % and pushes a seventh too hard, the right one
#: 4.4, 3.7, 1.6, 0.1 %: half of 0.9 would have given it up, and more than 1 would go on with the wrong one
_FINER, _GAIN = 2, 0.9
#: share of what is missing up to which the other follower takes the place of the one that the tapers call for. Of 27 random designs
#: with a soft ring that overhangs, three miss more than LEAK; the other follower leaves 0.04, 0.98 and 1.7 of it, so 0.25 and 0.9
#: choose alike
_CLEARLY = 0.5
#: times what the better follower misses from which the other one is not pushed in shorter increments too. Of a design whose followers
#: missed 4 and 23 % the second still missed 20 % in the shortest, which took half of all its time
_RIVAL = 2.0
#: share of all work, and of that of two increments one after the other, that a push misses which is left on the way. The wrong follower
#: of two designs missed 28 and 56 % at the end and took 10 and 35 s more from here on; a right one that comes to it goes on later
_ASTRAY = 0.2


def silent(done: float, text: str) -> None:
    """Progress that nobody follows."""


def nothing_more(model: Model) -> list[Event]:
    """No events but those of every push."""
    return []


@dataclass
class Course:
    """What sets the way of a push besides its case, for others that go a part of it.

    follower: edge that follows on the cone. solver: by name; method: the solver itself, ready, from the first increment on.
    events: what its increments had to fall on.
    """

    plan: Plan
    section: Section
    follower: str
    solver: str
    method: Solver | None = None
    events: list[Event] = field(default_factory=list)


@dataclass
class Push:
    """A push as far as it came. states begins with the unloaded one; reason as in the results.

    level is that of the mesh and the increments.
    aside: states that were looked up on the way, by their event; beyond: states further on than the end that was asked for.
    collapse: the one that the push ended with. astray: left on the way, see _astray. residuals [-]: of the try that failed last, over
    the force scale; empty where none did. course, service (what followed on its end, where the case has one): lost where a push is copied or sent to another process.
    """

    model: Model
    size: float
    states: list[State] = field(default_factory=list)
    tally: Tally = field(default_factory=Tally)
    reason: str = names.TRAVEL
    message: str = ""
    seconds: float = 0.0
    mesh_seconds: float = 0.0
    level: str = "default"
    aside: dict[str, State] = field(default_factory=dict)
    beyond: list[State] = field(default_factory=list)
    residuals: list[float] = field(default_factory=list)
    collapse: Collapse | None = None
    astray: bool = False
    course: Course | None = field(default=None, repr=False)
    service: Stage | None = field(default=None, repr=False)

    def __getstate__(self) -> dict[str, Any]:
        return {**self.__dict__, "course": None, "service": None}

    @property
    def follower(self) -> str:
        """The edge that follows on the cone."""
        return next(pair.follower for pair in self.model.contact.pairs if pair.name == model.CONE)

    def landed(self, event: str) -> State | None:
        """The state that an event fell on, or that was looked up for it, None where it did not fall."""
        return next((s for s in self.states if event in s.events), self.aside.get(event))

    def interrupt(self) -> None:
        """Count as interrupted; what was reached is kept."""
        self.reason = names.INTERRUPTED
        self.message = f"Interrupted at travel {self.states[-1].t:.4g} mm; what was reached is kept."


def contact_size(case: Case, plan: Plan, level: str) -> float:
    """Element size at the contact [mm]: the case's own or the default, times the level's factor."""
    size = case.mesh.size or default_size(model.section(case, plan.expected))
    return size * LEVELS[level][0]


def settings(case: Case) -> Settings:
    """Stop rules of a case: penetration [mm] within a thousandth of g0, see plan.penetration_scale."""
    return Settings(augment=case.solver.augment, penetration=1e-3 * penetration_scale(case))


@one_thread()
def push(
    case: Case, plan: Plan, level: str, progress: Progress, solver: str = "condensed", more: More = nothing_more,
    follower: str | None = None,
) -> Push:
    """Push the ring as far as the case asks; never raises for what happens on the way.

    more: events besides those of every push; those that do not stop it are looked up aside. follower: edge that is known to
    follow on the cone, see chosen_by_work; found by the push itself where it is not given. Rounded edges are drawn, but their peaks are
    the business of colletfea.cases.simulation.ladder.
    """
    section = model.section(case, plan.expected, contact_size(case, plan, level))
    way = lru_cache(None)(partial(_pushed, case, section=section, progress=progress, solver=solver, clock=time.perf_counter(), more=more))
    first = way(plan, follower) if follower else _in_role(case, section, partial(way, plan))
    trusted = _on_course(case, first, partial(way, plan), lambda done: advance(done, case, more, progress))
    pushed = _adding_up(case, plan, trusted, way, known=follower is not None)
    pushed.level = level
    return pushed


def _on_course(case: Case, first: Push, pushed_with: Callable[[str], Push], go_on: Callable[[Push], None]) -> Push:
    """The first push, or the one with the other follower where the first lost its way: given up, see _astray, or without equilibrium.

    The other one takes its place if it came to an end or further and misses clearly less; else the first goes on, be it astray.
    """
    lost = first.astray or first.reason == names.NOT_CONVERGED and first.states[-1].missing > LEAK
    if not lost or case.solver.increments:
        return first
    other = pushed_with(_other(first.course.follower))
    further = other.reason != names.NOT_CONVERGED or not other.astray and other.states[-1].t > first.states[-1].t
    if other.reason == names.INTERRUPTED or further and other.states[-1].missing <= max(LEAK, _CLEARLY * first.states[-1].missing):
        return other
    if first.astray:
        go_on(first)
    return first


def _other(follower: str) -> str:
    return next(edge for edge in model.CONES if edge != follower)


def _astray(case: Case, done: Push) -> bool:
    """Whether so much of a push's work is missing, and goes on being, that the other follower is worth a trial first.

    Before the touch there is little work, of which much may be missing; a seat that never touches has its end where it was expected.
    """
    if len(done.states) < 3:
        return False
    a, b, c = done.states[-3:]
    if case.sleeve.clearance > 0 and not done.landed(names.TOUCH) and c.t < done.course.plan.expected:
        return False
    return c.missing > _ASTRAY and b.work.own(a.work) > _ASTRAY and c.work.own(b.work) > _ASTRAY


def chosen_by_work(case: Case, done: Push) -> str | None:
    """The edge that follows in a push whose work adds up, where it is not the one that the end calls for; else None."""
    follower, last = done.course.follower, done.states[-1]
    return follower if last.missing <= LEAK and follower != model.cone_follower(case, done.course.section, last.t) else None


def _adding_up(case: Case, plan: Plan, done: Push, way: Callable[[Plan, str], Push], known: bool = False) -> Push:
    """The push whose work adds up: where done's misses more than LEAK it is repeated as long as that helps.

    First with the other follower, unless the follower is known: which corner presses is known by the tapers where they differ; where they
    do not, a soft ring may be pressed by the corner of the part that it overhangs. Then with increments half as large, by which the right follower gains
    and a wrong one does not: the hand calculation that they are planned by knows nothing of an end after two of them. A case with
    increments of its own keeps them; and where a part was overstrained, which says that no more is worth asking, shorter ones are
    not worth their time.
    """
    if adds_up(done):
        return done
    other = done if known else way(plan, _other(done.course.follower))
    best = _better(done, other, _CLEARLY)
    second = done if best is other else other
    rivals = [best, *([second] if second is not best and second.states[-1].missing < _RIVAL * best.states[-1].missing else [])]
    for _ in range(_FINER):
        if adds_up(best) or best.reason == names.STRAIN or case.solver.increments:
            break
        plan = replace(plan, steps=plan.steps.halved())
        for one in (one for one in rivals if one.reason != names.NOT_CONVERGED):
            again = way(plan, one.course.follower)
            if again.reason != names.NOT_CONVERGED and adds_up(again):
                return again
            if _better(one, again, _GAIN) is again:
                best = _better(best, again, 1.0 if again.course.follower == best.course.follower else _CLEARLY)
                rivals = [again]
                break
        else:
            break
    return best


def _better(done: Push, again: Push, gain: float) -> Push:
    """The repeat of a push if it came to an end and misses at most this share [-] of what the first one misses, or was interrupted."""
    if again.reason == names.NOT_CONVERGED:
        return done
    return again if again.reason == names.INTERRUPTED or again.states[-1].missing <= gain * done.states[-1].missing else done


def adds_up(done: Push) -> bool:
    """Whether a push's work adds up, or it came to no end by which that could be told."""
    return done.reason in names.EARLY or done.states[-1].missing <= LEAK


def _in_role(case: Case, section: Section, pushed_with: Callable[[str], Push]) -> Push:
    """The push whose follower on the cone, see model.cone_follower, is the one that its end calls for.

    It is repeated once where that shows only at its end. A repeat that does not converge does not take the place of a
    push that did.
    """
    follower = model.cone_follower(case, section, section.travel)
    first = pushed_with(follower)
    if first.reason == names.INTERRUPTED or first.astray:
        return first
    wanted = model.cone_follower(case, section, first.states[-1].t)
    if wanted == follower:
        return first
    again = pushed_with(wanted)
    return first if again.reason == names.NOT_CONVERGED != first.reason else again


def _pushed(
    case: Case, plan: Plan, follower: str, section: Section, progress: Progress, solver: str, clock: float, more: More
) -> Push:
    """The push on one mesh, whose preparation began at clock; follower is the edge that follows on the cone."""
    mesh = build(section)
    whole = model.of(case, mesh, section.travel, follower=follower)
    result = Push(whole, section.size, mesh_seconds=time.perf_counter() - clock, course=Course(plan, section, follower, solver))
    result.states.append(initial_state(Balance.of(whole, model.push_drives(case))))
    advance(result, case, more, progress, doubting=not case.solver.increments)
    return result


def advance(done: Push, case: Case, more: More, progress: Progress, doubting: bool = False) -> None:
    """Push on from the last state of done, in the increments of its own course, to an end of the case's or of more's. Never raises.

    doubting: it is left, and called astray, as soon as its work is seen not to add up; it can go on from there.
    """
    clock, before, states = time.perf_counter() - done.seconds, done.states[:-1], done.states
    course, wanted = done.course, more(done.model)
    course.events = [*events.events(case, done.model), *(e for e in wanted if e.stops)]
    steps = course.plan.steps.restarted() if done.landed(names.TOUCH) else course.plan.steps
    sizes, done.astray = done.tally.sizes, False
    size = sizes.pop() if len(sizes) == len(states) else states[-1].t - states[-2].t if sizes else None
    try:
        course.method = course.method or SOLVERS[course.solver](Balance.of(done.model, model.push_drives(case)), settings(case))
        way = run(
            course.method, states[-1], course.plan.end, steps, course.events, tally=done.tally, before=before, size=size,
            aside=Aside([e for e in wanted if not e.stops], done.aside),
        )
        for state in way:
            states.append(state)
            done.seconds = time.perf_counter() - clock
            progress(min(state.t / course.plan.expected, 1.0), f"ring pushed {state.t:.3g} mm")
            done.collapse = None if names.FORCE in state.events else collapse(done.model, states)
            if done.collapse:
                break
            if doubting and not states[-1].events and _astray(case, done):
                done.astray, done.reason = True, names.NOT_CONVERGED
                return
        done.reason = names.COLLAPSE if done.collapse else reason(case, states[-1])
    except Stopped as stop:
        _stopped(done, case, stop)
    except KeyboardInterrupt:
        done.interrupt()


def _stopped(done: Push, case: Case, stop: Stopped) -> None:
    """Why no equilibrium was found further on: nothing carries any more, or it is not known and the cause is guessed at."""
    done.collapse = collapse(done.model, done.states, NEARLY)
    if done.collapse:
        done.reason = names.COLLAPSE
        return
    done.reason, done.residuals = names.NOT_CONVERGED, stop.residuals
    done.message = f"{stop} (travel in mm). {cause(case, done.model, done.states, done.size)}"


def reason(case: Case, last: State) -> str:
    """What ended a push that ran to its end."""
    stops: Iterable[str] = (names.FORCE, names.MET, names.SHUT, names.YIELD, names.STRAIN)
    for name in stops:
        if name in last.events:
            return name
    if names.DUTY in last.events and case.push.travel is None and case.push.force is None:
        return names.DUTY
    return names.MET if case.push.travel is None and case.sleeve.flange_thickness else names.TRAVEL
