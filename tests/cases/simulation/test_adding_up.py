"""A push whose work does not add up is repeated with the other follower and in shorter increments, and only then."""

from math import inf
from types import SimpleNamespace

import pytest
from helpers.push import case_of, coarsest, push_corner

from colletfea.cases import pushes as pushes_of
from colletfea.cases.hand.corners import NOMINAL, table
from colletfea.cases.simulation import push as pushing
from colletfea.cases.simulation import roles
from colletfea.cases.simulation.model import RING_CONE, SLEEVE_CONE
from colletfea.cases.simulation.plan import Plan
from colletfea.cases.stored.names import FORCE, INTERRUPTED, NOT_CONVERGED, STRAIN, TOUCH
from colletfea.fea.errors import NotConverged
from colletfea.fea.stepping.run import Jumped, Steps, Stopped
from colletfea.fea.stepping.state import Work

PLAN = Plan(2.0, 1.0, Steps(0.2, 0.4, 2.5))
R, S = RING_CONE, SLEEVE_CONE


def ended(missing, follower=R, reason=FORCE):
    return SimpleNamespace(reason=reason, states=[SimpleNamespace(missing=missing)], follower=follower)


def pushes(first, *others, case=None, reason=FORCE, **known):
    """What is missing in the push that is kept, and first increment and follower of those that were made after the first."""
    seen, ends = [], list(others)

    def way(plan, follower):
        seen.append((plan.steps.first, follower))
        end = ends.pop(0)
        return ended(end[0], follower, end[1]) if isinstance(end, tuple) else ended(end, follower)

    kept = roles.adding_up(case or case_of(), PLAN, ended(first, R, reason), way, **known)
    return kept.states[-1].missing, seen


@pytest.mark.parametrize("missing, kept, seen", [
    ([0.02], 0.02, []),
    ([0.12, 0.01], 0.01, [(0.2, S)]),
    ([0.04, 0.3, 0.01], 0.01, [(0.2, S), (0.1, R)]),
    ([0.04, 0.03, 0.01], 0.01, [(0.2, S), (0.1, R)]),
    ([0.3, 0.06, 0.03, 0.015], 0.015, [(0.2, S), (0.1, S), (0.05, S)]),
    ([0.044, 0.043, 0.049, 0.037, 0.016], 0.016, [(0.2, S), (0.1, R), (0.1, S), (0.05, S)]),
    ([0.044, 0.043, 0.049, 0.037, 0.03], 0.044, [(0.2, S), (0.1, R), (0.1, S), (0.05, S)]),  # not so much better that the tapers are wrong
    ([0.12, 0.116, 0.024, 0.019], 0.019, [(0.2, S), (0.1, R), (0.05, R)]),  # hardly gained, but enough
    ([0.2, 0.3, 0.12, 0.08], 0.08, [(0.2, S), (0.1, R), (0.05, R)]),  # still too much, which is told; it is not tried for ever
    ([0.1, 0.19, 0.095, 0.18], 0.1, [(0.2, S), (0.1, R), (0.1, S)]),  # increments are not what is wrong
    ([0.1, 0.21, 0.095], 0.1, [(0.2, S), (0.1, R)]),  # the other follower misses too much to have a chance
    ([0.04, (0.0, NOT_CONVERGED), (0.0, NOT_CONVERGED)], 0.04, [(0.2, S), (0.1, R)]),
    ([0.04, (0.9, INTERRUPTED)], 0.9, [(0.2, S)]),
    ([0.04, 0.05, (0.9, INTERRUPTED)], 0.9, [(0.2, S), (0.1, R)]),
], ids=["adds up", "follower", "increments", "follower hardly better", "both", "follower that gains", "and that is not enough", "enough", "never", "of no use", "no rival", "no end",
        "interrupted", "interrupted later"])  # fmt: skip
def test_a_push_is_repeated_while_that_helps(missing, kept, seen):
    assert pushes(*missing) == (kept, seen)


def test_a_push_that_ends_overstrained_is_made_to_add_up_too():
    assert pushes(0.05, 0.04, 0.01, reason=STRAIN) == (0.01, [(0.2, S), (0.1, R)])


def test_a_push_without_an_end_is_kept():
    assert pushes(0.5, reason=NOT_CONVERGED) == (0.5, [])


def test_increments_that_a_case_sets_are_kept_and_the_other_follower_is_tried():
    own = case_of(solver__increments=8)
    assert pushes(0.05, 0.04, case=own) == (0.05, [(0.2, S)])
    assert pushes(0.05, 0.01, case=own) == (0.01, [(0.2, S)])


def test_where_the_follower_is_known_only_increments_are_tried():
    assert pushes(0.3, 0.1, 0.01, known=True) == (0.01, [(0.1, R), (0.05, R)])


@pytest.mark.parametrize("missing, called_for, known", [(0.01, S, R), (0.01, R, None), (0.05, S, None)])
def test_a_follower_that_work_has_chosen_is_known_in_other_corners(monkeypatch, missing, called_for, known):
    """Where the tapers call for the other one, and the work adds up."""
    monkeypatch.setattr(roles.model, "cone_follower", lambda *given: called_for)
    done = SimpleNamespace(states=[SimpleNamespace(missing=missing, t=1.0)], follower=R, course=SimpleNamespace(section=None))
    monkeypatch.setattr(pushes_of.corners, "at_corner", lambda case, corner, end: case)
    assert roles.chosen_by_work(case_of(), done) == known == pushes_of._follower(case_of(), (done, SimpleNamespace(corner=None)))
    assert pushes_of._follower(case_of(), None) is None


def left(missing, reason=FORCE, astray=False, t=1.0):
    return SimpleNamespace(reason=reason, astray=astray, states=[SimpleNamespace(missing=missing, t=t)], follower=R)


@pytest.mark.parametrize("first, other, kept, goes_on", [
    (left(0.5), None, 0, False),  # it ended, and its work is the next question
    (left(0.01, NOT_CONVERGED), None, 0, False),  # nothing is wrong but its end
    (left(0.3, NOT_CONVERGED, astray=True), left(0.02), 1, False),
    (left(0.3, NOT_CONVERGED, astray=True), left(0.14), 1, False),
    (left(0.3, NOT_CONVERGED, astray=True), left(0.16), 0, True),
    (left(0.3, NOT_CONVERGED, astray=True), left(0.3, NOT_CONVERGED, astray=True), 0, True),
    (left(0.3, NOT_CONVERGED, astray=True), left(0.0, NOT_CONVERGED, t=0.0), 0, True),
    (left(0.3, NOT_CONVERGED, astray=True), left(0.01, NOT_CONVERGED, t=1.1), 1, False),
    (left(0.0, NOT_CONVERGED, astray=True, t=0.0), left(0.04), 1, False),
    (left(0.0, NOT_CONVERGED, astray=True, t=0.0), left(0.06), 0, True),
    (left(0.3, NOT_CONVERGED), left(0.01), 1, False),
    (left(0.3, NOT_CONVERGED), left(0.01, NOT_CONVERGED, t=0.9), 0, False),
    (left(0.3, NOT_CONVERGED, astray=True), left(0.9, INTERRUPTED), 1, False),
], ids=["ended", "adds up", "astray", "clearly less", "not clearly", "both astray", "at once", "further", "first try", "first try, not clearly", "no equilibrium", "less far", "interrupted"])  # fmt: skip
def test_a_push_that_lost_its_way_gives_place_to_one_with_the_other_follower(first, other, kept, goes_on):
    gone_on, asked = [], []
    pushed_with = lambda follower: asked.append(follower) or other
    chosen = roles.on_course(case_of(), first, pushed_with, gone_on.append)
    assert chosen is (first, other)[kept] and bool(gone_on) == goes_on and asked == ([] if other is None else [S])
    assert roles.on_course(case_of(solver__increments=8), first, pushed_with, gone_on.append) is first


def test_a_push_whose_force_jumps_at_once_is_left_and_taken_up_again_unwarily(monkeypatch):
    """Both followers jump, so the first goes on, to where no increment is found."""
    wary = []

    def jumping(method, start, end, steps, *given, **known):
        wary.append(steps.wary)
        raise (Stopped if steps.wary == inf else Jumped)(start.t, NotConverged("the force jumps"))
        yield

    monkeypatch.setattr(pushing, "run", jumping)
    done, reached = push_corner(coarsest(case_of()), "quick", travel=0.5)
    assert wary == [roles.ASTRAY, roles.ASTRAY, inf]
    assert done.reason == NOT_CONVERGED and done.follower == R and not done.astray and "the force jumps" in done.message


def test_a_push_is_asked_whether_it_is_astray_at_events_on_its_way_but_not_at_its_end(monkeypatch):
    asked = []
    monkeypatch.setattr(roles, "astray", lambda case, done: asked.append(done.states[-1].events))
    done, _ = push_corner(coarsest(case_of()), "quick", force=8000.0)
    assert (TOUCH,) in asked and done.reason == FORCE and asked == [state.events for state in done.states[1:-1]]


@pytest.mark.parametrize("lost, astray", [
    ([0.0, 15.0, 30.0, 45.0], True), ([0.0, 15.0, 30.0, 37.0], False), ([0.0, 0.0, 22.0, 45.0], True), ([0.0, 0.0, 12.0, 25.0], False),
], ids=["all the way", "no longer", "of late", "little in all"])  # fmt: skip
def test_a_push_is_astray_where_two_increments_and_all_miss_a_tenth(lost, astray):
    """Of 100 N mm in each increment; nothing is said before the touch, or the end that was expected."""
    states = [SimpleNamespace(work=Work(drives=100.0 * k, stored=100.0 * k - x), missing=x / (100.0 * k or 1), events=(), t=0.3 * k) for k, x in enumerate(lost)]
    seen = lambda states, touched, expected=1.0: roles.astray(
        case_of(), SimpleNamespace(states=states, landed=lambda name: touched, course=SimpleNamespace(plan=Plan(2.0, expected, PLAN.steps)))
    )
    assert seen(states, states[1]) == seen(states, None, expected=0.8) == astray
    assert not seen(states, None) and not seen(states[:2], states[1])


def test_a_known_follower_is_handed_to_the_push_of_a_corner(monkeypatch):
    class Seen(Exception):
        pass

    def pushing(*given):
        raise Seen(given[-1])

    monkeypatch.setattr(pushes_of.corners.pushing, "push", pushing)
    case = case_of()
    nominal = next(corner for corner in table(case) if corner.name == NOMINAL)
    with pytest.raises(Seen, match=S):
        pushes_of.corners.push(case, nominal, case.push, None, False, pushes_of.Way(follower=S))
