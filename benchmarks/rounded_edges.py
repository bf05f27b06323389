"""What rounded edges cost: the push on their mesh and the ladders at them, over the push of the same coupling with sharp edges.

    python benchmarks/rounded_edges.py [--repeats 3]

Radii are 0.02 nose walls. Processor seconds, the least of the repeats, sharp and rounded in turn. Ladders are those of the default
level, at every rounded edge that presses.
"""

from __future__ import annotations

import os

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # before numpy is imported, or it has no effect

import argparse
import time
from typing import Any, Callable

from colletfea.cases.casefile.case import Case
from colletfea.cases.hand import corners as spec
from colletfea.cases.simulation import corners, ladder
from colletfea.cases.simulation.ladder import End, Ladder

SLIT = {
    "shaft": {"diameter": 20},
    "sleeve": {"length": 20, "nose_wall": 2, "taper": 4, "clearance": 0.03, "slits": {"pattern": "through", "count": 1, "width": 1}},
    "ring": {"length": 20, "outer_diameter": 40, "start": 2},
    "friction": {"cone": 0.08, "bore": 0.12},
    "push": {"travel": 0.35},
}  # fmt: skip
CLOSED = {
    **SLIT, "sleeve": {k: v for k, v in SLIT["sleeve"].items() if k != "slits"}, "ring": {**SLIT["ring"], "length": 16}, "push": {"travel": 0.6},
}  # fmt: skip
SHORT = {**SLIT, "ring": {**SLIT["ring"], "length": 14}}
COUPLINGS = {"slit, long ring": SLIT, "closed": CLOSED, "slit, short ring": SHORT}
RADIUS = 0.04
EDGES = {"ring": {"ring.edge_radius": RADIUS}, "nose": {"sleeve.nose_radius": RADIUS}}
EDGES["both"] = EDGES["ring"] | EDGES["nose"]


def used(work: Callable, *given: Any) -> tuple[Any, float]:
    """What a piece of work gives, and the processor seconds it took."""
    begun = time.process_time()
    return work(*given), time.process_time() - begun


def pushed(case: Case):
    """The nominal push of the default level."""
    return corners.push(case, spec.table(case)[0], case.push, None, False, corners.Way("default", "condensed"))[0]


def climbed(case: Case, done) -> list[Ladder]:
    """The ladders at the rounded edges of a push."""
    end = End.of(done)
    whole = end.whole(case)
    remake = ladder.remake_of(case, whole.model, end.size)
    return [ladder.climb(remake, whole, s, 2) for s in ladder.spots(case, whole, end.size) if s.radius]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--repeats", type=int, default=3)
    repeats = parser.parse_args().repeats
    print(f"{'coupling':18} {'radii':6} {'sharp s':>8} {'push':>6} {'ladders':>8} {'together':>9}")
    for name, tables in COUPLINGS.items():
        sharp = Case.from_tables(tables, "sharp")
        for which, keys in EDGES.items():
            case, times = sharp.changed(keys), []
            for _ in range(repeats):
                (_, plain), (done, push) = used(pushed, sharp), used(pushed, case)
                times.append((plain, push, used(climbed, case, done)[1]))
            plain, push, ladders = (min(column) for column in zip(*times))
            print(f"{name:18} {which:6} {plain:8.2f} {push / plain:6.2f} {ladders / plain:8.2f} {(push + ladders) / plain:9.2f}", flush=True)


if __name__ == "__main__":
    main()
