"""A push whose work does not add up is repeated with the other follower and in shorter increments, and only then."""

from types import SimpleNamespace

import pytest
from helpers.push import case_of

from colletfea.cases.simulation import push
from colletfea.cases.simulation.model import RING_CONE, SLEEVE_CONE
from colletfea.cases.simulation.plan import Plan
from colletfea.cases.stored.names import FORCE, INTERRUPTED, NOT_CONVERGED, STRAIN
from colletfea.fea.stepping.run import Steps

PLAN = Plan(2.0, 1.0, Steps(0.2, 0.4, 2.5))
R, S = RING_CONE, SLEEVE_CONE


def ended(missing, follower=R, reason=FORCE):
    return SimpleNamespace(reason=reason, states=[SimpleNamespace(missing=missing)], course=SimpleNamespace(follower=follower))


def pushes(first, *others, case=None, reason=FORCE):
    """What is missing in the push that is kept, and first increment and follower of those that were made after the first."""
    seen, ends = [], list(others)

    def way(plan, follower):
        seen.append((plan.steps.first, follower))
        end = ends.pop(0)
        return ended(end[0], follower, end[1]) if isinstance(end, tuple) else ended(end, follower)

    kept = push._adding_up(case or case_of(), PLAN, ended(first, R, reason), way)
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
    ([0.1, 0.2, 0.095, 0.19], 0.1, [(0.2, S), (0.1, R), (0.1, S)]),  # increments are not what is wrong
    ([0.04, (0.0, NOT_CONVERGED), (0.0, NOT_CONVERGED)], 0.04, [(0.2, S), (0.1, R)]),
    ([0.04, (0.9, INTERRUPTED)], 0.9, [(0.2, S)]),
    ([0.04, 0.05, (0.9, INTERRUPTED)], 0.9, [(0.2, S), (0.1, R)]),
], ids=["adds up", "follower", "increments", "follower hardly better", "both", "follower that gains", "and that is not enough", "enough", "never", "of no use", "no end",
        "interrupted", "interrupted later"])  # fmt: skip
def test_a_push_is_repeated_while_that_helps(missing, kept, seen):
    assert pushes(*missing) == (kept, seen)


def test_a_part_that_is_overstrained_is_not_pushed_in_shorter_increments():
    assert pushes(0.05, 0.04, reason=STRAIN) == (0.05, [(0.2, S)])


def test_a_push_without_an_end_is_kept():
    assert pushes(0.5, reason=NOT_CONVERGED) == (0.5, [])


def test_increments_that_a_case_sets_are_kept_and_the_other_follower_is_tried():
    own = case_of(solver__increments=8)
    assert pushes(0.05, 0.04, case=own) == (0.05, [(0.2, S)])
    assert pushes(0.05, 0.01, case=own) == (0.01, [(0.2, S)])
