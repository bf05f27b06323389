"""Which edge follows on the cone: tried, and judged by whether the push's work adds up."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from colletfea.cases.casefile.case import Case
from colletfea.cases.simulation import model
from colletfea.cases.simulation.plan import Plan
from colletfea.cases.simulation.pushed import Push
from colletfea.cases.stored import names
from colletfea.fea.stepping.run import LEAK
from colletfea.meshing.section import Section

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
#: share of all work, and of that of two increments one after the other, or of one whose force jumps, that a push misses which is left on the
#: way. The wrong follower of three designs missed 28 to 56 % at the end and took 10 to 35 s more from here on; a right one that comes
#: to it goes on later
ASTRAY = 0.1


def on_course(case: Case, first: Push, pushed_with: Callable[[str], Push], go_on: Callable[[Push], None]) -> Push:
    """The first push, or the one with the other follower where the first lost its way: given up, see astray, or without equilibrium.

    The other one takes its place if it came to an end or further and misses clearly less; else the first goes on, be it astray.
    """
    lost = first.astray or first.reason == names.NOT_CONVERGED and first.states[-1].missing > LEAK
    if not lost or case.solver.increments:
        return first
    other = pushed_with(_other(first.follower))
    further = other.reason != names.NOT_CONVERGED or not other.astray and other.states[-1].t > first.states[-1].t
    missing = max(first.states[-1].missing, ASTRAY if first.astray else 0.0)
    if other.reason == names.INTERRUPTED or further and other.states[-1].missing <= max(LEAK, _CLEARLY * missing):
        return other
    if first.astray:
        go_on(first)
    return first


def _other(follower: str) -> str:
    return next(edge for edge in model.CONES if edge != follower)


def astray(case: Case, done: Push) -> bool:
    """Whether so much of a push's work is missing, and goes on being, that the other follower is worth a trial first.

    Before the touch there is little work, of which much may be missing; a seat that never touches has its end where it was expected.
    """
    if len(done.states) < 3:
        return False
    a, b, c = done.states[-3:]
    if case.sleeve.clearance > 0 and not done.landed(names.TOUCH) and c.t < done.course.plan.expected:
        return False
    return c.missing > ASTRAY and b.work.own(a.work) > ASTRAY and c.work.own(b.work) > ASTRAY


def chosen_by_work(case: Case, done: Push) -> str | None:
    """The edge that follows in a push whose work adds up, where it is not the one that the end calls for; else None."""
    follower, last = done.follower, done.states[-1]
    return follower if last.missing <= LEAK and follower != model.cone_follower(case, done.course.section, last.t) else None


def adding_up(case: Case, plan: Plan, done: Push, way: Callable[[Plan, str], Push], known: bool = False) -> Push:
    """The push whose work adds up: where done's misses more than LEAK it is repeated as long as that helps.

    First with the other follower, unless the follower is known: which corner presses is known by the tapers where they differ; where they
    do not, a soft ring may be pressed by the corner of the part that it overhangs. Then with increments half as large, by which the
    right follower gains and a wrong one does not: the hand calculation that they are planned by knows nothing of an end after two of them. A case with
    increments of its own keeps them.
    """
    if adds_up(done):
        return done
    other = done if known else way(plan, _other(done.follower))
    best = _better(done, other, _CLEARLY)
    second = done if best is other else other
    rivals = [best, *([second] if second is not best and second.states[-1].missing < _RIVAL * best.states[-1].missing else [])]
    for _ in range(_FINER):
        if adds_up(best) or case.solver.increments:
            break
        plan = replace(plan, steps=plan.steps.halved())
        for one in (one for one in rivals if one.reason != names.NOT_CONVERGED):
            again = way(plan, one.follower)
            if again.reason != names.NOT_CONVERGED and adds_up(again):
                return again
            if _better(one, again, _GAIN) is again:
                best = _better(best, again, 1.0 if again.follower == best.follower else _CLEARLY)
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


def in_role(case: Case, section: Section, pushed_with: Callable[[str], Push], go_on: Callable[[Push], None]) -> Push:
    """The push whose follower on the cone, see model.cone_follower, is the one that its end calls for.

    It is repeated once where that shows only at its end; with equal tapers, where either will do if the work adds up, only if it does not.
    With unlike ones the tapers tell which corner presses there, so a repeat that was left on the way (see astray) goes on. One that does
    not converge does not take the place of a push that did.
    """
    follower = model.cone_follower(case, section, section.travel)
    first = pushed_with(follower)
    if first.reason == names.INTERRUPTED or first.astray:
        return first
    wanted = model.cone_follower(case, section, first.states[-1].t)
    if wanted == follower or case.ring.taper == case.sleeve.taper and adds_up(first):
        return first
    again = pushed_with(wanted)
    if again.astray and case.ring.taper != case.sleeve.taper:
        go_on(again)
    return first if again.reason == names.NOT_CONVERGED != first.reason else again
