"""Random sound designs reach their end and balance; the benchmark of the same name runs 200 of each kind."""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[2] / "benchmarks"))

import random_designs


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["closed", "slit"])
def test_thirty_designs_reach_their_end(kind):
    """All but 1 % (here: all, of 30); axial forces within 1e-8 of the force scale, work within 2 %.

    Work is held to 1 % on the published case; coarse first increments of odd designs reach 1.1 %.
    """
    rows = [random_designs.solve(kind, seed) for seed in range(1, 31)]
    stopped = [row for row in rows if row["reason"] in ("not converged", "interrupted")]
    assert not stopped, [row["message"] for row in stopped]
    assert max(row["axial"] for row in rows) <= 1e-8
    assert max(row["work"] for row in rows) <= 0.02
