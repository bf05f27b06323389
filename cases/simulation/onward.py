"""Pushes that begin with what another push went already: further than its end, or to an end of another kind."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from colletfea.cases.casefile.case import Case
from colletfea.cases.simulation import events, model
from colletfea.cases.simulation.blas import one_thread
from colletfea.cases.simulation.collapse import collapse
from colletfea.cases.simulation.measures import push_force
from colletfea.cases.simulation.plan import Plan
from colletfea.cases.simulation.push import advance, reason
from colletfea.cases.simulation.pushed import More, Progress, Push
from colletfea.cases.simulation.roles import adds_up, chosen_by_work
from colletfea.cases.stored import names
from colletfea.fea.stepping.branch import parting
from colletfea.fea.stepping.run import Aside, Stopped, Tally, run

#: increments that a search which nothing ends takes over what is left of the way, about
_MOST = 20


def carry_on(done: Push, case: Case, plan: Plan, more: More) -> tuple[str, float]:
    """Go on from a push's end as a push would that has no end but `more`; states land in `beyond`, what is looked up in `aside`.

    case: without an end of its push; plan: of that case. Returns why it ended, as the results name it, and the force [N] there.
    Never raises.
    """
    last, wanted = done.states[-1], more(done.model)
    steps = plan.steps.restarted() if done.landed(names.TOUCH) or not case.sleeve.clearance else plan.steps
    # a start at `last`, which is a state before the force sought: an event that it is past already is none
    stops = [e for e in events.events(case, done.model) if e.stops or e.restarts] + [e for e in wanted if e.stops]
    try:
        way = run(
            done.course.method, last, plan.end, replace(steps, largest=max(steps.largest, (plan.end - last.t) / _MOST)), stops,
            tally=done.tally, aside=Aside([e for e in wanted if not e.stops], done.aside),
        )
        for state in way:
            done.beyond.append(state)
            if collapse(done.model, [*done.states, *done.beyond]):
                return names.COLLAPSE, push_force(state)
    except Stopped:
        return names.NOT_CONVERGED, push_force((done.beyond or [last])[-1])
    except KeyboardInterrupt:
        done.interrupt()
        return names.INTERRUPTED, push_force(last)
    end = (done.beyond or [last])[-1]
    return reason(case, end), push_force(end)


@one_thread()
def taken_up(done: Push, case: Case, plan: Plan, progress: Progress, more: More, moved: Collection[str] = ()) -> Push | None:
    """The push of a case whose way is that of done as far as their events let it be; None where they differ from the start.

    case differs in the end of its push only; more: its events besides, see push.push; moved: names of those that fall elsewhere than
    in done. Every state is the one that the push would have come to alone. Never raises.
    """
    course = done.course
    if course is None or course.plan != plan:
        return None
    own = [*events.events(case, done.model), *more(done.model)]
    common = {(e.name, e.stops) for e in course.events if e.name not in moved} & {(e.name, e.stops) for e in own}
    k = parting(done.states, done.tally.sizes, [e for e in (*course.events, *own) if (e.name, e.stops) not in common])
    states = done.states[: k + 1]
    spent = Tally(sum(s.iterations for s in states), done.tally.cutbacks, done.tally.sizes[: k + 1])
    result = replace(
        done, states=states, tally=spent, reason=names.TRAVEL, message="", aside={}, beyond=[], residuals=[], collapse=None, course=replace(course),
    )
    advance(result, case, more, progress)
    usual = done.follower == model.cone_follower(case, course.section, result.states[-1].t)
    alike = (usual or chosen_by_work(case, done)) and adds_up(result)
    return result if alike or result.reason == names.INTERRUPTED else None
