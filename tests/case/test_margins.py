"""Over the bundled examples and an extreme design: no margin contradicts its word, and one that is null says why."""

import pytest
from helpers.push import case_of, example_solved

from colletfea.cases.casefile import examples
from colletfea.cases.casefile.case import Case
from colletfea.cases.report.verdict_words import margin as shown
from colletfea.cases.run import solve
from colletfea.cases.summary import by_hand


def contradicts(verdict):
    """What is wrong with a verdict as stored, in words; empty where nothing is."""
    ok, margin = verdict["ok"], verdict["margin"]
    if ok is None:
        return "" if len(verdict["because"]) > 20 else "not judged, without a reason"
    if None in (margin, verdict["value"], verdict["limit"]):
        return "judged without a number"
    if not (margin >= 1 if ok else margin <= 1):
        return f"{ok} with a margin of {margin}"
    share = sorted((verdict["value"] / verdict["limit"], verdict["limit"] / verdict["value"] if verdict["value"] else 1e6))
    stated = min(margin, 1 / margin if margin else 1e6)
    return "" if abs(stated - share[0]) <= 1.1e-3 or ok is False and margin == 1 else f"a margin of {margin} with {verdict['value']} of {verdict['limit']}"


def faults(verdicts):
    return [f"{v['name']}: {contradicts(v)}" for v in verdicts if contradicts(v)]


@pytest.mark.parametrize("name", examples.names())
def test_by_hand(name):
    assert not faults(by_hand(Case.example(name))["verdicts"])


@pytest.mark.slow
@pytest.mark.parametrize("name", examples.names())
def test_simulated(name):
    verdicts = example_solved(name).summary["verdicts"]
    assert verdicts and not faults(verdicts)


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
