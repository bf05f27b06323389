"""Random sound designs reach their end and balance; the benchmark of the same name runs 200 of each kind."""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[2] / "benchmarks"))

import random_designs


@pytest.mark.slow
@pytest.mark.parametrize("kind, seed", [("closed", k) for k in (1, 2, 5, 7, 8)] + [("slit", k) for k in (1, 2, 5, 7)])
def test_a_random_design_reaches_its_end(kind, seed):
    """Axial forces within 1e-8 of the force scale, work within 2 %. Those that take longest (closed 3, 4 and 6, slit 3, 4, 6, 8 and 9) are left to the benchmark.

    Work is held to 1 % on the published case; coarse first increments of odd designs reach 1.1 %.
    """
    row = random_designs.solve(kind, seed)
    assert row["reason"] not in ("not converged", "interrupted"), row["message"]
    assert row["axial"] <= 1e-8 and row["work"] <= 0.02
