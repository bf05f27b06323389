"""By hand, and for an extreme design simulated: no margin contradicts its word, and one that is null says why. Bundled
examples simulated: test_decisions.py, test_run.py."""

import pytest
from helpers.margins import contradicts, faults
from helpers.push import case_of

from colletfea.cases.casefile import examples
from colletfea.cases.casefile.case import Case
from colletfea.cases.report.verdict_words import margin as shown
from colletfea.cases.run import solve
from colletfea.cases.summary import by_hand


@pytest.mark.parametrize("name", examples.names())
def test_by_hand(name):
    assert not faults(by_hand(Case.example(name))["verdicts"])


def test_a_case_that_fails_in_most_and_knows_no_yield():
    """Shaft without a yield stress, a duty far too large, the flange met."""
    case = case_of(
        duty={"torque": 400}, push={"force": 3e5}, mesh={"size": 1.5}, sleeve__flange_thickness=4, sleeve__flange_diameter=40,
        shaft__material={"young": 205000, "poisson": 0.3},
    )  # fmt: skip
    verdicts = solve(case, "quick").summary["verdicts"]
    assert not faults(verdicts) and {v["ok"] for v in verdicts} == {True, False, None}
    assert not [v for v in verdicts if v["ok"] is False and shown(v) == "1.00"]


def test_what_contradicts_is_found():
    sound = {"ok": True, "value": 2.0, "limit": 3.0, "margin": 1.5, "because": "so"}
    assert not contradicts(sound)
    for change in ({"ok": False}, {"margin": None}, {"margin": 0.9998}, {"margin": 2.5}, {"ok": None}, {"ok": None, "margin": None, "because": ""}):
        assert contradicts(sound | change)
