"""A random design anywhere in the space of case files, the whole job on it, and what is wrong with the result.

Shaft 3-200 mm, tapers 0.5-25 deg, walls 0.02-1 shaft diameters, friction 0-0.5, every slit pattern, unlike materials, hollow
and solid, sharp and rounded, flange, clearances and fits, thrust of both signs, hub on the sleeve or the ring, every way to
end a push, release and twist on a third.
"""

from __future__ import annotations

import math
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace

import numpy as np

from colletfea.cases import run
from colletfea.cases.casefile.case import Case
from colletfea.cases.hand.corners import NOMINAL
from colletfea.cases.hand.calculation import at_friction
from colletfea.cases.simulation import adequate, corners
from colletfea.cases.simulation import push as pushing
from colletfea.cases.simulation.plan import LEVELS, increments, penetration_scale, plan
from colletfea.cases.simulation.pushed import silent
from colletfea.cases.stored.names import EARLY, NOT_CONVERGED, STRAIN

YOUNG = (206000.0, 206000.0, 200000.0, 110000.0, 105000.0, 70000.0, 3000.0)
TOO_LONG = 20.0  # s of processor time for a push at the quick level
#: what may be missing: axial forces over the force scale, work over that put in, overlap over g0, friction over its limit,
#: difference of two meshes
AXIAL, WORK, OVERLAP, FRICTION, MESHES = 1e-6, 0.02, 2e-3, 1 + 1e-6, 0.03
#: share of the cone's force below which the bore's is compared with that share: just past first touch it is ill-conditioned
_TOUCHING = 0.2
#: words by which a result tells that its force or its travel hangs on the mesh
_ROUGHLY = ("may be off by", "depend on the mesh", "the travel is known so much less well")
#: stages that can't be: no fault
_TOLD = ("never touched the shaft", "slides before it is turned", "strained past all elasticity")


def draw(rng: np.random.Generator) -> dict:
    """Tables of a design; not every draw is sound."""
    d, slope = _spread(rng, 3, 200), math.tan(math.radians(taper := _spread(rng, 0.5, 25)))
    length, wall = d * _spread(rng, 0.3, 3), d * _spread(rng, 0.02, 1)
    clearance = d * _spread(rng, 2e-4, 1e-2) * float(rng.random() < 0.9)
    root = d + clearance + 2 * (wall + length * slope)
    start = length * rng.uniform(-0.2, 0.5) + (2 * clearance / slope if rng.random() < 0.7 else 0.0)
    sleeve = {"length": length, "nose_wall": wall, "taper": taper, "material": _material(rng), **_slits(rng, d, length)}
    sleeve |= {"fit": str(rng.choice(["H7/g6", "H8/f7", "H8/h7", "H9/h9"]))} if rng.random() < 0.3 else {"clearance": clearance}
    sleeve |= {"held": str(rng.choice(["axially", "fully"], p=[0.8, 0.2]))}
    if rng.random() < 0.4:
        sleeve |= {"flange_thickness": wall * rng.uniform(0.3, 3), "flange_diameter": root * rng.uniform(1.1, 2)}
    ring = {"length": length * rng.uniform(0.3, 1.5), "outer_diameter": root * rng.uniform(1.05, 2.5), "start": start, "material": _material(rng)}
    if rng.random() < 0.25:
        sleeve["nose_radius"] = wall * rng.uniform(0.02, 0.3)
    if rng.random() < 0.25:
        ring["edge_radius"] = wall * rng.uniform(0.02, 0.3)
    if rng.random() < 0.3:
        ring["taper"] = taper + float(rng.choice([-1, 1])) * _spread(rng, 0.05, 2)
    tables = {
        "shaft": {"diameter": d, "bore": float(rng.choice([0, 0, 0.3, 0.7, 0.9])) * d, "material": _material(rng)},
        "sleeve": sleeve, "ring": ring, "friction": {"cone": _rub(rng), "bore": _rub(rng)},
    }  # fmt: skip
    return tables | _asked(rng, d, length, clearance, slope) | _after(rng)


def _spread(rng, low: float, high: float) -> float:
    return float(np.exp(rng.uniform(math.log(low), math.log(high))))


def _material(rng) -> dict:
    found = {"young": float(rng.choice(YOUNG)), "poisson": float(rng.choice([0.0, 0.2, 0.29, 0.3, 0.34, 0.38, 0.45, 0.499]))}
    return found | ({"yield": found["young"] * rng.uniform(1e-3, 6e-3)} if rng.random() < 0.7 else {})


def _rub(rng):
    middle = float(rng.choice([0.0, _spread(rng, 0.02, 0.5)], p=[0.1, 0.9]))
    return middle if rng.random() < 0.5 else [0.7 * middle, middle, min(1.3 * middle, 0.5)]


def _slits(rng, d: float, length: float) -> dict:
    pattern = str(rng.choice(["none", "through", "fingers", "alternating"], p=[0.3, 0.3, 0.2, 0.2]))
    if pattern == "none":
        return {}
    found = {"pattern": pattern, "width": d * _spread(rng, 0.01, 0.1)}
    found["count"] = int(rng.integers(*{"through": (1, 3), "fingers": (3, 13), "alternating": (2, 9)}[pattern]))
    if pattern != "through":
        found["depth"] = length * rng.uniform(*{"fingers": (0.3, 0.95), "alternating": (0.55, 0.95)}[pattern])
    return {"slits": found}


def _asked(rng, d: float, length: float, clearance: float, slope: float) -> dict:
    """Duty, push and screws: a travel, a force, a tightening torque, or the duty alone."""
    found: dict = {"solver": {"stop_at_yield": bool(rng.random() < 0.15)}}
    grip, kind = _spread(rng, 0.5, 150) * math.pi * d * length, rng.choice(["travel", "force", "duty", "screws"], p=[0.3, 0.3, 0.3, 0.1])
    if kind in ("duty", "screws") or rng.random() < 0.6:
        found["duty"] = {"torque": grip * 0.1 * d / 2e3, "carried_by": str(rng.choice(["sleeve", "ring"], p=[0.7, 0.3]))}
        if rng.random() < 0.4:
            found["duty"]["thrust"] = float(rng.choice([-1, 1])) * grip * 0.1 * _spread(rng, 0.01, 0.5)
    if kind == "travel":
        found["push"] = {"travel": (clearance / 2 or 1e-3 * d) / slope * _spread(rng, 0.5, 5)}
    if kind == "force":
        found["push"] = {"force": grip * _spread(rng, 0.03, 1)}
    if kind == "screws":
        found["screws"] = {"count": int(rng.integers(3, 9)), "size": str(rng.choice(["M3", "M5", "M8", "M12"])), "torque": _spread(rng, 0.5, 80)}
    return found


def _after(rng) -> dict:
    third = rng.random() < 1 / 3
    return {"after": {"release": True, "twist": True}} if third else {}


def whole(case: Case) -> dict:
    """The whole job at the quick level, the nominal push again on a mesh and in increments half as large, and all checks."""
    clock = time.process_time()
    with _recorded() as pushes:
        result = run.solve(case, "quick")
    taken = time.process_time() - clock
    rest = taken - sum(cpu for *_, cpu in pushes)
    summary = result.summary
    faults = [fault for push, reached, cpu in pushes for fault in _faults(case, push)]
    slow = max([*(cpu for *_, cpu in pushes), rest / max(sum(case.after.__dict__[k] for k in ("release", "twist")), 1) if rest > TOO_LONG else 0.0])
    stopped = [r.message for _, r, _ in pushes if r.reason == NOT_CONVERGED]
    clock = time.process_time()
    quick, worst, moved = _meshes(case, pushes) if not stopped else (0.0, 0.0, "")
    if worst > MESHES:
        faults.append(f"meshes: {moved} by {100 * worst:.2g} %")
    return {
        "title": case.title, "reason": summary["simulation"]["stop_reason"], "stopped": stopped, "faults": sorted(set(faults)),
        "said": any(v["name"] == "energy" for v in summary["verdicts"]), "roughly": any(word in line for line in summary["checks"] for word in _ROUGHLY),
        "slowest": slow, "cpu": taken, "pushes": len(pushes),
        "moved_quick": quick, "moved": worst, "finer": time.process_time() - clock,
        "stages": [v["because"] for v in summary["verdicts"] if v["name"] in ("release", "twist") and v["ok"] is None and not any(w in v["because"] for w in _TOLD)],
    }  # fmt: skip


@contextmanager
def _recorded() -> Iterator[list]:
    """What `corners.push` gives while this lasts, with the processor time of each push [s]."""
    found, push = [], corners.push

    def recorded(*given):
        clock = time.process_time()
        done, reached = push(*given)
        found.append((done, reached, time.process_time() - clock))
        return done, reached

    corners.push = recorded
    try:
        yield found
    finally:
        corners.push = push


def _faults(case: Case, push) -> list[str]:
    """Balance, energy, penetration, friction: what a push misses of them, in words."""
    last, found = push.states[-1], []
    axial = max(abs(sum(s.totals[n] for n in ("ring face", "shaft end", "sleeve back"))) / s.scale for s in push.states)
    if axial > AXIAL:
        found.append(f"axial forces miss balance by {axial:.1e}")
    if last.t > 0 and last.work.relative_error() > WORK:
        found.append(f"energy: {100 * last.work.relative_error():.2g} % of the work missing")
    if case.solver.augment and last.penetration / penetration_scale(case) > OVERLAP:
        found.append(f"penetration {last.penetration / penetration_scale(case):.1e} of g0")
    beyond = max(_friction(push.model.contact, s.contact) for s in push.states)
    if beyond > FRICTION:
        found.append(f"friction {beyond:.6g} times its limit")
    return found


def _friction(contact, ev) -> float:
    """Largest friction over its limit among the touching points."""
    limit = contact.friction * ev.pressure
    size, touching = np.linalg.norm(ev.traction, axis=1), ev.pressure > 1e-9 * max(ev.pressure.max(), 1e-300)
    return float(np.max(size[touching] / np.maximum(limit[touching], 1e-12 * ev.pressure.max()), initial=0.0))


def _meshes(case: Case, pushes) -> tuple[float, float, str]:
    """The largest difference that half the mesh size makes in forces and travel of the nominal push: from quick on, from default on, where.

    The quick level is a first look whose elements may be longer than a contact that an edge makes, so 3 % are asked of the default
    level. It is pushed only where quick moves by more, with half the mesh size and half the increments of quick; then once more so.
    """
    push, reached, _ = next((p for p in reversed(pushes) if p[1].corner.name == NOMINAL), pushes[-1])  # not every duty is pushed to at nominal
    if reached.reason in EARLY or reached.force <= 0:
        return 0.0, 0.0, ""
    own = corners.at_corner(case, reached.corner, case.push)
    quick, name, default = _moved(own, push, reached)
    if quick <= MESHES:
        return quick, quick, name
    if default is None:
        return quick, quick, name
    found, name, _ = _moved(replace(own, solver=replace(own.solver, increments=2 * increments(own), stop_at_yield=False)), default, reached)
    return quick, found, name


def _moved(own: Case, push, reached) -> tuple[float, str, object | None]:
    """What half the mesh size and half the increments move most, where, and the push that was made so, None where it ended early."""
    finer = adequate.repeat(own, push, silent, "condensed")
    if finer.reason in EARLY:
        return 1.0, f"finer mesh: {finer.message}, so all moved", None
    if finer.reason == STRAIN and finer.states[-1].t < push.states[-1].t:  # a corner was crushed earlier: both at that travel
        push = _as_far(own, push, finer.states[-1].t)
    found = {k: abs(v) for k, v in adequate.differences(own, push, finer).items() if k.endswith(("force_N", "travel_mm"))}
    found["bore.normal_force_N"] *= min(1.0, reached.bore.normal / (_TOUCHING * reached.cone.normal))
    closes = own.sleeve.clearance / 2 / math.tan(math.radians(own.sleeve.taper))  # short of that nothing is gripped
    found["travel_mm"] *= min(1.0, reached.travel / closes) if closes else 1.0
    name = max(found, key=found.get)
    return found[name], name, finer


def _as_far(own: Case, push, travel: float):
    """The push once more on its own mesh, to a travel [mm]."""
    size = push.size / LEVELS[push.level][0]
    asked = replace(own, push=replace(own.push, travel=travel, force=None), mesh=replace(own.mesh, size=size))
    steps = plan(asked, at_friction(asked, asked.friction.cone.nominal, asked.friction.bore.nominal), push.level)
    return pushing.push(asked, steps, push.level, silent, follower=push.follower)


def wrong(row: dict) -> list[str]:
    """What is not all right with a design, in words."""
    if "broken" in row:
        return [row["broken"]]
    slow = [f"{row['slowest']:.0f} s of processor time"] if row["slowest"] > TOO_LONG else []
    return [*(f"stopped: {message}" for message in row["stopped"]), *row["faults"], *row["stages"], *slow]


def totals(rows: list[dict]) -> str:
    """The figures: ended, stopped with a cause, wrong in a check, too slow."""
    sound = [row for row in rows if "broken" not in row]
    stopped = [row for row in sound if row["stopped"]]
    blind = [row for row in stopped if any("shows no cause" in message for message in row["stopped"])]
    faulty = [row for row in sound if row["faults"]]
    told = lambda row: tuple(kind for kind, key in (("energy", "said"), ("meshes", "roughly")) if row.get(key))
    untold = [row for row in faulty if not all(f.startswith(told(row)) for f in row["faults"])]
    kinds = {kind: sum(any(f.startswith(kind) for f in row["faults"]) for row in faulty) for kind in ("axial", "energy", "penetration", "friction", "meshes")}
    return (
        f"whole: {len(rows)} designs, {sum(row['pushes'] for row in sound)} pushes; {len(sound) - len(stopped)} complete or ended "
        f"physically, {len(stopped)} stopped ({len(stopped) - len(blind)} with a cause), {len(rows) - len(sound)} broken; "
        f"{len(faulty)} wrong in a check {kinds}, {len(untold)} of them not told by the result; "
        f"{sum(row['slowest'] > TOO_LONG for row in sound)} over {TOO_LONG:g} s a push, slowest {max((row['slowest'] for row in sound), default=0):.1f} s, "
        f"median {np.median([row['cpu'] / max(row['pushes'], 1) for row in sound] or [0]):.2f} s; "
        f"{sum(bool(row['stages']) for row in sound)} stages after the push not told; "
        f"{sum(row['moved_quick'] > MESHES for row in sound)} move by more than {MESHES:.0%} from the quick level to the default one"
    )
