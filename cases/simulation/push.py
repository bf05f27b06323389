"""The push of a case: mesh, model, increments; what was accepted is kept whatever happens."""

from __future__ import annotations

import time
from collections.abc import Iterable
from dataclasses import replace
from functools import lru_cache, partial
from math import inf

from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.faults import CaseError, fault
from colletfea.cases.simulation import events, model, roles
from colletfea.cases.simulation.blas import one_thread
from colletfea.cases.simulation.cause import cause
from colletfea.cases.simulation.collapse import NEARLY, collapse
from colletfea.cases.simulation.plan import LEVELS, Plan
from colletfea.cases.simulation.pushed import Course, More, Progress, Push, nothing_more
from colletfea.cases.stored import names
from colletfea.fea.solvers.condensed import Condensed
from colletfea.fea.solvers.full import FullNewton
from colletfea.fea.stepping.state import State, initial_state
from colletfea.fea.model.balance import Balance
from colletfea.fea.solvers.newton import Settings
from colletfea.fea.stepping.run import Aside, Jumped, Stopped, run
from colletfea.meshing.build import build
from colletfea.meshing.outlines import elements
from colletfea.meshing.section import Section, default_size

SOLVERS = {"condensed": Condensed, "full": FullNewton}
#: elements of a mesh, some 300 000 unknowns. A push took 0.9 GB of memory with 16 500, 2.0 GB with 32 300 (benchmarks/speed.py --large), which
#: makes 3.5 GB with so many, and a run pushes two at a time. A hundredth of the wall, the least mesh.size, makes 55 000 of that coupling
MOST_ELEMENTS = 50_000


def contact_size(case: Case, plan: Plan, level: str) -> float:
    """Element size at the contact [mm]: the case's own or the default, times the level's factor."""
    size = case.mesh.size or default_size(model.section(case, plan.expected))
    return size * LEVELS[level][0]


def affordable(case: Case, section: Section) -> Section:
    """The section to mesh, where it asks for no more than MOST_ELEMENTS; else CaseError is raised."""
    count = elements(section)
    if count > MOST_ELEMENTS:
        said = f"must be larger: elements of {section.size:.3g} mm at the contacts make {count} elements in all, and a push may have {MOST_ELEMENTS}"
        raise CaseError([fault("mesh.size", case.mesh.size, said)])
    return section


def settings(case: Case) -> Settings:
    """Stop rules of a case."""
    return Settings(augment=case.solver.augment)


@one_thread()
def push(
    case: Case, plan: Plan, level: str, progress: Progress, solver: str = "condensed", more: More = nothing_more,
    follower: str | None = None,
) -> Push:
    """Push the ring as far as the case asks; never raises for what happens on the way. Raises CaseError for a mesh with too many elements.

    more: events besides those of every push; those that do not stop it are looked up aside. follower: edge that is known to
    follow on the cone, see roles.chosen_by_work; found by the push itself where it is not given. Rounded edges are drawn, but their peaks are
    the business of colletfea.cases.simulation.ladder.
    """
    section = affordable(case, model.section(case, plan.expected, contact_size(case, plan, level)))
    way = lru_cache(None)(partial(_pushed, case, section=section, progress=progress, solver=solver, clock=time.perf_counter(), more=more))
    go_on = lambda done: advance(done, case, more, progress)
    first = way(plan, follower) if follower else roles.in_role(case, section, partial(way, plan), go_on)
    trusted = roles.on_course(case, first, partial(way, plan), go_on)
    pushed = roles.adding_up(case, plan, trusted, way, known=follower is not None)
    pushed.level = level
    return pushed


def _pushed(
    case: Case, plan: Plan, follower: str, section: Section, progress: Progress, solver: str, clock: float, more: More
) -> Push:
    """The push on one mesh, whose preparation began at clock; follower is the edge that follows on the cone."""
    mesh = build(section)
    whole = model.of(case, mesh, section.travel, follower=follower)
    result = Push(whole, section.size, mesh_seconds=time.perf_counter() - clock, course=Course(plan, section, solver))
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
    ends = {e.name for e in course.events if e.stops}
    steps = replace(course.plan.steps, wary=roles.ASTRAY if doubting else inf)
    steps = steps.restarted() if done.landed(names.TOUCH) else steps
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
            if doubting and not ends & set(state.events) and roles.astray(case, done):
                done.astray, done.reason = True, names.NOT_CONVERGED
                return
        done.reason = names.COLLAPSE if done.collapse else reason(case, states[-1])
    except Jumped:
        done.astray, done.reason = True, names.NOT_CONVERGED
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
