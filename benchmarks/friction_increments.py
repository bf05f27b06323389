"""What the shaft's reaction still owes to the size of the increments and to the tangential springs, on eleven unlike couplings.

    python benchmarks/friction_increments.py [--times 8] [--spring 1.0] [--only x1,bronze] [--random 24]

Friction depends on the path, so the shaft's reaction is what coarse increments and soft springs spoil first. Each coupling is
pushed three times: as by default, with more increments, and with more increments and springs ten times as stiff, which is
what the others are compared with. Prints the reaction [N], then errors in % of it: by both, by the increments alone (slip that
turns round within one, and pressures that do not grow evenly), by the springs alone; and processor times. --spring: what the
springs of the first two are multiplied by. --random: as many random slit designs instead (see random_designs.py), each to the travel
at which its own push ends.
"""

from __future__ import annotations

import os

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # before numpy is imported, or it has no effect

import argparse
import statistics
import time
from typing import Any
from unittest import mock

from colletfea.cases.casefile.case import Case
from colletfea.cases.hand import corners as spec
from colletfea.cases.simulation import corners, model
from colletfea.cases.simulation.model import SHAFT
from colletfea.cases.simulation.plan import increments
from colletfea.cases.simulation.pushed import Push
from colletfea.cases.stored.names import EARLY
from colletfea.fea.contact.pair import Pair

import random_designs
import speed

BRONZE, ALUMINIUM = {"young": 105000, "poisson": 0.34}, {"young": 70000, "poisson": 0.33}
CAST, POLYMER = {"young": 110000, "poisson": 0.26}, {"young": 3000, "poisson": 0.38}
#: changes of keys of the first coupling, a closed steel sleeve on a 14 mm shaft with a taper of 3 degrees
COUPLINGS: dict[str, dict[str, Any]] = {
    "x1": {},
    "bronze": {"sleeve.material": BRONZE},
    "aluminium": {"sleeve.material": ALUMINIUM, "ring.material": ALUMINIUM},
    "polymer": {"sleeve.material": POLYMER, "push.travel": 1.0},
    "hollow": {"shaft.bore": 9.0, "shaft.material": CAST},
    "steep": {"sleeve.taper": 10, "push.travel": 0.4},
    "slender": {"sleeve.taper": 1.5, "ring.start": 3.0, "push.travel": 2.2},
    "rough": {"friction.bore": 0.3, "friction.cone": 0.15},
    "long": {"sleeve.length": 28, "ring.length": 24, "ring.outer_diameter": 36},
    "slit": {"sleeve.slits.pattern": "through", "sleeve.slits.count": 1, "sleeve.slits.width": 1, "push.travel": 0.9},
    "fingers": {
        "sleeve.slits.pattern": "fingers", "sleeve.slits.count": 6, "sleeve.slits.width": 1, "sleeve.slits.depth": 8, "push.travel": 1.0,
    },
}
STIFF = 10.0


def pushed(case: Case, spring: float) -> tuple[Push, float]:
    """The nominal push with tangential springs times spring, and its processor time [s]; RuntimeError where it ends early."""
    nominal = next(corner for corner in spec.table(case) if corner.name == spec.NOMINAL)
    need = corners.needed_of(case, nominal.carrying, {}) if case.push.travel is None else None
    stiffness = spring * Pair("", "", "", 1.0).tangential
    clock = time.process_time()
    with mock.patch.object(model, "Pair", lambda *given, **keys: Pair(*given, **keys, tangential=stiffness)):
        done, _ = corners.push(case, nominal, case.push, need, False, corners.Way())
    if done.reason in EARLY:
        raise RuntimeError(f"{case.title}: {done.message}")
    return done, time.process_time() - clock


def coupling(name: str) -> Case:
    """One of the couplings by its name."""
    return Case.from_tables(speed.TABLES, name).changed(COUPLINGS[name])


def at_random(seed: int) -> Case | None:
    """A random slit design, pushed to the travel at which its own push ends; None where the bore bears nothing there."""
    case = random_designs.design("slit", seed)
    done, _ = pushed(case, 1.0)
    return case.changed({"push.force": None, "push.travel": done.states[-1].t}) if done.states[-1].totals[SHAFT] else None


def compared(case: Case, times: int, spring: float) -> dict[str, Any]:
    """Reactions [N], errors [-] and processor times [s] of one coupling."""
    more = case.changed({"solver.increments": increments(case) * times})
    runs = [pushed(case, spring), pushed(more, spring), pushed(more, STIFF)]
    found, many, right = (done.states[-1].totals[SHAFT] for done, _ in runs)
    return {
        "name": case.title, "reaction": right, "error": found / right - 1, "by increments": (found - many) / right, "by springs": many / right - 1,
        "increments": len(runs[0][0].states) - 1, "iterations": runs[0][0].tally.iterations, "seconds": [clock for _, clock in runs],
    }


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--times", type=int, default=8, help="increments of the comparison over those of the default")
    parser.add_argument("--spring", type=float, default=1.0)
    parser.add_argument("--only", default=",".join(COUPLINGS))
    parser.add_argument("--random", type=int, default=0, help="as many random slit designs instead")
    given = parser.parse_args()
    errors = ("error", "by increments", "by springs")
    print(f"{'coupling':10} {'reaction N':>10} {'error %':>8} {'increm.':>8} {'springs':>8}  incr. iter.   CPU s, over: more, stiff")
    rows = []
    drawn = (at_random(1 + seed) for seed in range(given.random))
    for case in filter(None, drawn) if given.random else map(coupling, given.only.split(",")):
        row = compared(case, given.times, given.spring)
        rows.append(row)
        default, *others = row["seconds"]
        print(f"{case.title:10} {row['reaction']:10.1f} " + " ".join(f"{100 * row[e]:8.2f}" for e in errors)
              + f"  {row['increments']:5d} {row['iterations']:5d}  {default:6.2f} " + " ".join(f"{other / default:6.1f}" for other in others), flush=True)
    for kind, of in (("mean", statistics.mean), ("worst", max)):
        print(f"{kind:21} " + " ".join(f"{100 * of(abs(row[e]) for row in rows):8.2f}" for e in errors))
    print(f"CPU of the default pushes {sum(row['seconds'][0] for row in rows):.2f} s, iterations {sum(row['iterations'] for row in rows)}")


if __name__ == "__main__":
    main()
