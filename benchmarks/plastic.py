"""What plastic flow costs a push: rounds of correction an increment, and CPU time over that of the elastic push.

    python benchmarks/plastic.py

Three unlike couplings on their default meshes, the plastic push of each beside its elastic one: a closed steel coupling whose ring flows
to a quarter of its wall, a bronze sleeve on a hollow shaft that flows as a whole, and a soft ring on a slit sleeve that flows through. A round
is one evaluation of the bodies with one step after it. Increments that were tried and not accepted are
counted in the CPU time alone.
"""

from __future__ import annotations

import os

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # before numpy is imported, or it has no effect

import statistics
import time
from collections import Counter

import numpy as np

from colletfea.cases.casefile.case import Case
from colletfea.cases.hand.calculation import hand
from colletfea.cases.simulation import events, model, push
from colletfea.cases.simulation.plan import plan
from colletfea.fea.contact.pair import History
from colletfea.fea.bodies.law import Flow
from colletfea.fea.model.balance import Balance
from colletfea.fea.model.model import Model
from colletfea.fea.solvers.condensed import Condensed
from colletfea.fea.solvers.newton import Trial
from colletfea.fea.stepping.run import run
from colletfea.fea.stepping.state import State, initial_state
from colletfea.meshing.build import build

HARD = {"young": 205000, "poisson": 0.29, "yield": 2000}
STEEL = {"young": 206000, "poisson": 0.3, "yield": 650, "hardening": 1000}
BRONZE = {"young": 110000, "poisson": 0.34, "yield": 180, "hardening": 600}
SOFT = {"young": 206000, "poisson": 0.3, "yield": 355, "hardening": 500}
SEAT = {"friction": {"cone": 0.1, "bore": 0.12}}
COUPLINGS = {
    "ring to a quarter": {
        "shaft": {"diameter": 14, "beyond": [6, 8], "material": HARD},
        "sleeve": {"length": 12, "nose_wall": 1.4, "taper": 3, "clearance": 0.06, "material": HARD},
        "ring": {"length": 12, "outer_diameter": 30, "start": 1.5, "material": {**HARD, "yield": 600, "hardening": 1000}},
        "friction": {"cone": 0.08, "bore": 0.12}, "push": {"travel": 1.2},
    },
    "bronze sleeve": {
        "shaft": {"diameter": 20, "bore": 10, "material": STEEL},
        "sleeve": {"length": 22, "nose_wall": 2, "taper": 5, "clearance": 0.04, "material": BRONZE},
        "ring": {"length": 18, "outer_diameter": 42, "start": 2, "material": STEEL}, **SEAT, "push": {"travel": 1.1},
    },
    "soft ring, slit": {
        "shaft": {"diameter": 22, "material": STEEL},
        "sleeve": {
            "length": 26, "nose_wall": 2.2, "taper": 5, "clearance": 0.03, "material": STEEL,
            "slits": {"pattern": "through", "count": 1, "width": 1.5},
        },
        "ring": {"length": 22, "outer_diameter": 36, "start": 3, "material": SOFT}, **SEAT, "push": {"travel": 1.6},
    },
}  # fmt: skip


class Counting(Condensed):
    """The condensed solver that keeps apart the evaluations that begin a start."""

    starts: Counter[float] = Counter()

    def trial(self, u: np.ndarray, t: float, history: History, flow: Flow | None = None) -> Trial:
        """See Solver."""
        self.starts[t] += 1
        return super().trial(u, t, history, flow)


class Watched(Model):
    """A model that counts, by t, how often its bodies are evaluated."""

    seen: Counter[float] = Counter()

    def bodies_force(self, u: np.ndarray, t: float, flow: Flow | None = None) -> np.ndarray:
        """See Model."""
        self.seen[t] += 1
        return super().bodies_force(u, t, flow)


def pushed(tables: dict, plastic: bool) -> tuple[list[State], list[int], float]:
    """Accepted states of a push, rounds of each increment and CPU time [s] from the first factorisation on."""
    case = Case.from_tables({**tables, "solver": {"plastic": plastic}}, "case")
    way = plan(case, hand(case), "default")
    section = model.section(case, way.expected, push.contact_size(case, way, "default"))
    whole = Watched(**vars(model.of(case, build(section), way.expected)))
    whole.seen.clear()
    Counting.starts.clear()
    balance = Balance.of(whole, model.push_drives(case))
    begin = time.process_time()
    solver = Counting(balance, push.settings(case))
    states = list(run(solver, initial_state(balance), case.push.travel, way.steps, events.events(case, whole)))
    spent = time.process_time() - begin
    return states, [whole.seen[s.t] - solver.starts[s.t] for s in states], spent


def main() -> None:
    """Print a table row a coupling."""
    print(f"{'':20}  unknowns  points that flowed  increments  rounds: median  most  elastic median  CPU [s]  over elastic")
    for name, tables in COUPLINGS.items():
        _, before, base = pushed(tables, False)
        states, rounds, spent = pushed(tables, True)
        share = float(np.mean(states[-1].flow.alpha > 0))
        print(
            f"{name:20}  {len(states[-1].u):8}  {100 * share:16.0f} %  {len(states):10}  {statistics.median(rounds):14.0f}  {max(rounds):4}"
            f"  {statistics.median(before):14.0f}  {spent:7.2f}  {spent / base:12.2f}"
        )


if __name__ == "__main__":
    main()
