"""Random sound designs through the whole push: how many reach their end, and how well they balance.

    python benchmarks/random_designs.py [--count 200] [--seed 1] [--kinds closed,slit] [--workers 2]
    python benchmarks/random_designs.py --kinds whole --count 500 [--out whole.jsonl]

Prints one line for each design that stops early or balances badly, then the totals. The kind "whole" takes designs from the
whole space of case files through the whole job, see whole_space.py; with --out each is written as it ends, and the same
command goes on from there. Ranges of the others: shaft 4-150 mm,
tapers 1-15 deg, friction 0-0.3, thin and thick walls, hollow and solid shafts, unlike materials; slit designs add
every slit pattern, flange, radii, tapers 0.05-2 deg apart, force- and duty-driven pushes.
"""

from __future__ import annotations

import argparse
import json
import math
import os
import sys
import time
from contextlib import nullcontext
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np

from colletfea.cases.casefile.faults import CaseError
from colletfea.cases.casefile.case import Case
from colletfea.cases.hand import corners as spec
from colletfea.cases.simulation import corners

import whole_space

MATERIALS = [{"young": e, "poisson": nu} for e, nu in
             ((206000, 0.3), (200000, 0.29), (110000, 0.34), (70000, 0.33), (105000, 0.36), (3000, 0.38))]


def closed(rng: np.random.Generator) -> dict:
    """Tables of a random closed-sleeve design with a given travel."""
    d = float(np.exp(rng.uniform(math.log(4), math.log(150))))
    length = d * rng.uniform(0.5, 2.5)
    wall = d * float(np.exp(rng.uniform(math.log(0.04), math.log(0.3))))
    taper = float(np.exp(rng.uniform(math.log(1), math.log(15))))
    slope = math.tan(math.radians(taper))
    clearance = d * rng.uniform(0.0005, 0.004)
    start = length * rng.uniform(0.0, 0.3) + 3 * clearance / 2 / slope
    ring = length * rng.uniform(0.5, 1.1)
    outer = (d + clearance + 2 * (wall + length * slope)) * rng.uniform(1.2, 2.0)
    materials = [MATERIALS[k] for k in rng.integers(0, 5, 3)]
    return {
        "shaft": {"diameter": d, "bore": float(rng.choice([0.0, 0.3, 0.6])) * d, "material": materials[0]},
        "sleeve": {"length": length, "nose_wall": wall, "taper": taper, "clearance": clearance, "material": materials[1]},
        "ring": {"length": ring, "outer_diameter": outer, "start": start, "material": materials[2]},
        "friction": {"cone": rng.choice([0.0, rng.uniform(0.03, 0.3)]), "bore": rng.choice([0.0, rng.uniform(0.03, 0.3)])},
        "push": {"travel": clearance / 2 / slope * rng.uniform(1.5, 3)},
    }


def slit(rng: np.random.Generator) -> dict:
    """Tables of a random design with a slit pattern, flange, radii, mismatch and any kind of push."""
    tables = closed(rng)
    sleeve, ring, d = tables["sleeve"], tables["ring"], tables["shaft"]["diameter"]
    length, wall = sleeve["length"], sleeve["nose_wall"]
    pattern = str(rng.choice(["none", "through", "fingers", "alternating"]))
    width = d * rng.uniform(0.03, 0.08)
    if pattern == "through":
        sleeve["slits"] = {"pattern": pattern, "width": width, "count": int(rng.integers(1, 3))}
    elif pattern == "fingers":
        sleeve["slits"] = {"pattern": pattern, "width": width, "count": int(rng.integers(3, 9)),
                           "depth": length * rng.uniform(0.5, 0.85)}
    elif pattern == "alternating":
        sleeve["slits"] = {"pattern": pattern, "width": width, "count": int(rng.integers(2, 7)),
                           "depth": length * rng.uniform(0.6, 0.9)}
    root = d + sleeve["clearance"] + 2 * (wall + length * math.tan(math.radians(sleeve["taper"])))
    if rng.random() < 0.5:
        sleeve |= {"flange_thickness": wall * rng.uniform(1, 3), "flange_diameter": root * rng.uniform(1.3, 2)}
        if pattern == "through":
            sleeve["slits"]["cuts_flange"] = bool(rng.random() < 0.7)
    if rng.random() < 0.3:
        sleeve["nose_radius"] = 0.2 * wall * rng.uniform(0.3, 1)
    if rng.random() < 0.3:
        ring["edge_radius"] = 0.2 * wall * rng.uniform(0.3, 1)
    if rng.random() < 0.3:
        ring["taper"] = sleeve["taper"] + float(rng.choice([-1, 1])) * float(np.exp(rng.uniform(math.log(0.05), math.log(2))))
    grip = rng.uniform(5, 60) * math.pi * d * length  # N on the bore
    tables["friction"] = {"cone": rng.uniform(0.03, 0.3), "bore": rng.uniform(0.05, 0.3)}
    tables["duty"] = {"torque": grip * tables["friction"]["bore"] * d / 2 / 1.5e3}
    kind = rng.integers(0, 3)
    if kind == 0:
        del tables["push"]
    elif kind == 1:
        tables["push"] = {"force": grip * rng.uniform(0.1, 0.5)}
    return tables


KINDS = {"closed": closed, "slit": slit, "whole": whole_space.draw}


def design(kind: str, seed: int) -> Case:
    """The first sound design of this kind and seed; unsound draws are thrown away."""
    rng = np.random.default_rng([seed, len(kind)])
    for _ in range(200):
        try:
            return Case.from_tables(KINDS[kind](rng), f"{kind} {seed}")
        except CaseError:
            continue
    raise RuntimeError(f"no sound design from seed {seed}")


def solve(kind: str, seed: int) -> dict:
    """Push one design at its nominal friction, to the duty where it has no push; what came of it."""
    case = design(kind, seed)
    clock = time.perf_counter()
    nominal = next(corner for corner in spec.table(case) if corner.name == spec.NOMINAL)
    need = corners.needed_of(case, nominal.carrying, {})
    result, _ = corners.push(case, nominal, case.push, need, False, corners.Way())
    last = result.states[-1]
    return {
        "title": case.title, "reason": result.reason, "message": result.message, "travel": last.t,
        "seconds": time.perf_counter() - clock, "unknowns": result.model.size, "increments": len(result.states) - 1,
        "iterations": result.tally.iterations, "cutbacks": result.tally.cutbacks, "work": last.work.relative_error(),
        "axial": abs(sum(last.totals[n] for n in ("ring face", "shaft end", "sleeve back"))) / last.scale,
        "balance": max(s.norm for s in result.states),
    }


def _task(job: tuple[str, int]) -> dict:
    return solve(*job)


def _whole(seed: int) -> dict:
    """One design of the whole space; an error is a row too, for it ends a user's run."""
    case = design("whole", seed)
    try:
        return {"seed": seed, **whole_space.whole(case)}
    except Exception as error:
        return {"seed": seed, "title": case.title, "broken": f"{type(error).__name__}: {error}"}


def whole(seeds: range, workers: int, out: Path | None) -> None:
    """Run designs of the whole space that are not in the file out yet, tell each that is not all right, and the totals."""
    rows = [json.loads(line) for line in out.read_text().splitlines()] if out and out.exists() else []
    rows = [row for row in rows if row["seed"] in seeds]
    known = {row["seed"] for row in rows}
    todo = [seed for seed in seeds if seed not in known]
    with ProcessPoolExecutor(workers) if workers > 1 else nullcontext() as pool:
        for row in pool.map(_whole, todo) if pool else map(_whole, todo):
            rows.append(row)
            if out:
                with out.open("a") as file:
                    file.write(json.dumps(row) + "\n")
            if wrong := whole_space.wrong(row):
                print(f"{row['title']}: {'; '.join(wrong)}", flush=True)
    print(whole_space.totals(rows))


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--count", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--kinds", default="closed,slit")
    parser.add_argument("--workers", type=int, default=os.cpu_count())
    parser.add_argument("--out", type=Path, help="file that designs of the kind whole are kept in, a line each")
    given = parser.parse_args()
    for kind in given.kinds.split(","):
        if kind == "whole":
            whole(range(given.seed, given.seed + given.count), given.workers, given.out)
            continue
        jobs = [(kind, given.seed + k) for k in range(given.count)]
        with ProcessPoolExecutor(given.workers) as pool:
            rows = []
            for row in pool.map(_task, jobs):
                rows.append(row)
                bad = row["axial"] > 1e-8 or row["balance"] > 1e-8 or row["work"] > 0.01
                if row["reason"] in ("not converged", "interrupted") or bad:
                    print(f"{row['title']}: {row['reason']} at {row['travel']:.4g} mm, axial {row['axial']:.1e}, "
                          f"work {row['work']:.1e}, {row['cutbacks']} cut-backs. {row['message']}", flush=True)
        done = [r for r in rows if r["reason"] != "not converged"]
        reasons = {reason: sum(r["reason"] == reason for r in rows) for reason in sorted({r["reason"] for r in rows})}
        print(f"{kind}: {len(done)} of {len(rows)} reached an end {reasons}; worst axial {max(r['axial'] for r in rows):.1e}, "
              f"worst work balance {max(r['work'] for r in rows):.1e}; median {np.median([r['seconds'] for r in rows]):.2f} s, "
              f"iterations {np.median([r['iterations'] for r in rows]):.0f}, cut-backs {sum(r['cutbacks'] for r in rows)}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
