"""A push whose work does not add up is repeated in shorter increments, and only then."""

from types import SimpleNamespace

import pytest
from helpers.push import case_of

from colletfea.cases.simulation import push
from colletfea.cases.simulation.plan import Plan
from colletfea.cases.stored.names import FORCE, NOT_CONVERGED
from colletfea.fea.stepping.run import Steps

PLAN = Plan(2.0, 1.0, Steps(0.2, 0.4, 2.5))


def ended(missing, reason=FORCE):
    return SimpleNamespace(reason=reason, states=[SimpleNamespace(missing=missing)])


def pushes(*missing, case=None):
    """What is missing in the push that is kept, and the first increments of those that were made."""
    ends, firsts = [end if isinstance(end, SimpleNamespace) else ended(end) for end in missing], []

    def pushed(plan):
        firsts.append(plan.steps.first)
        return ends[len(firsts) - 1]

    kept = push._in_steps(case or case_of(), PLAN, pushed)
    return kept.states[-1].missing, firsts


@pytest.mark.parametrize("missing, kept, firsts", [
    ([0.02], 0.02, [0.2]),
    ([0.04, 0.01], 0.01, [0.2, 0.1]),
    ([0.06, 0.03, 0.015], 0.015, [0.2, 0.1, 0.05]),
    ([0.2, 0.12, 0.08], 0.08, [0.2, 0.1, 0.05]),  # still too much, which is told; it is not tried for ever
    ([0.1, 0.09], 0.1, [0.2, 0.1]),  # increments are not what is wrong
    ([0.04, ended(0.0, NOT_CONVERGED)], 0.04, [0.2, 0.1]),
    ([ended(0.5, NOT_CONVERGED)], 0.5, [0.2]),
], ids=["adds up", "once", "twice", "never", "of no use", "no end", "no end at first"])  # fmt: skip
def test_increments_are_halved_while_that_helps(missing, kept, firsts):
    assert pushes(*missing) == (kept, firsts)


def test_increments_that_a_case_sets_are_kept():
    assert pushes(0.05, case=case_of(solver__increments=8)) == (0.05, [0.2])
