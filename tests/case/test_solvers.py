"""The condensed solver against full Newton on whole couplings: equal increments, equal histories."""

import numpy as np
import pytest
from test_x1 import X1

from cases import examples, simulate
from cases.formulas import hand
from cases.params import Case
from cases.plan import plan

CASES = {"x1": Case.from_tables(X1, "x1")}


def example(name):
    import tomllib

    return Case.from_tables(tomllib.loads(examples.text(name)), name)


def history(pushed):
    """One row a state: travel, reactions, then pair resultants."""
    from cases.states import row

    rows = [row(pushed.model, s, "push", s.t) for s in pushed.states]
    skip = ("stage", "iterations", "event", "balance_relative", "penetration_mm", "work_relative")
    return np.array([[v for k, v in r.items() if k not in skip] for r in rows], dtype=float)


@pytest.mark.slow
@pytest.mark.parametrize("name", ["x1", "spindle", "sprocket_hub", "stainless_fingers", "bronze_sleeve"])
def test_condensed_equals_full_newton(name):
    """1e-6 of the largest value of its kind. Coarse mesh: both solvers see the same one."""
    case = CASES["x1"] if name == "x1" else example(name)
    way = plan(case, hand(case), "quick")
    fast, full = (simulate.push(case, way, "quick", lambda f, t: None, solver) for solver in ("condensed", "full"))
    assert fast.reason == full.reason
    a, b = history(fast), history(full)
    assert a.shape == b.shape and len(a) > 4
    scale = np.max(np.abs(b), axis=0)
    assert np.all(np.abs(a - b) <= 1e-6 * np.where(scale > 0, scale, 1))
