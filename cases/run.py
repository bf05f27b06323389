"""The whole job of one case: hand calculation, simulation, results in a folder."""

from __future__ import annotations

import time
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from colletfea.cases.simulation import blocks, push
from colletfea.cases.stored import names, store
from colletfea.cases.judgement.peaks import peaks
from colletfea.cases.judgement.verdicts import judge
from colletfea.cases.simulation.stages import After, stages
from colletfea.cases.simulation.model import BORE, CONE, RING, SHAFT, SLEEVE
from colletfea.cases.casefile.fits import clearances
from colletfea.cases.hand.calculation import hand as by_hand
from colletfea.cases.casefile.case import Case
from colletfea.cases.simulation.plan import penetration_scale, plan
from colletfea.cases.casefile.text import dump
from colletfea.cases.summary import version
from colletfea.cases.judgement.friction import worst_friction


@dataclass(frozen=True)
class RunOutcome:
    """exit_code 0 or 3, the summary as stored, its folder, and a sentence where something went wrong."""

    exit_code: int
    summary: dict[str, Any]
    directory: Path
    message: str


def run_case(
    case: Case,
    out: Path,
    *,
    level: str = "default",
    fields: bool = True,
    progress: push.Progress | None = None,
    solver: str = "condensed",
) -> RunOutcome:
    """Run a case and store its results in out; level is quick, default or fine."""
    clock = time.perf_counter()
    progress = progress or (lambda fraction, text: None)
    fit = clearances(case.sleeve.fit, case.shaft.diameter) if case.sleeve.fit else None
    hand = by_hand(case, fit)
    progress(0.02, "meshing")
    share = 0.6 if case.after.release or case.after.twist else 0.85
    pushed = push.push(
        case, plan(case, hand, level), level, lambda f, t: progress(0.05 + share * f, t), solver
    )
    after = _after(case, pushed, progress, solver)
    progress(0.92, "storing results")
    tables = case.tables()
    tables["mesh"]["size"] = pushed.size
    summary = {
        "schema": store.SCHEMA,
        "title": case.title,
        "version": version(),
        "case": tables,
        "hand": hand,
        "simulation": _simulation(case, pushed, after, clock),
        "verdicts": [v.to_dict() for v in (*judge(case, hand, fit, pushed), *after.verdicts)],
        "screws": None,
        "worst_friction": worst_friction(case, hand, pushed),
        "level": level,
        "unused": _unused(case),
    }
    _store(out, case, summary, pushed, after, fields)
    progress(0.95, "drawing the report")
    code = 3 if pushed.reason in names.EARLY else 0
    return RunOutcome(code, summary, out, pushed.message)


def _after(case: Case, pushed: push.Push, progress: push.Progress, solver: str) -> After:
    """Stages after the push; interrupted there, the push is kept and the run counts as interrupted."""
    if pushed.reason in names.EARLY:
        return After()
    try:
        return stages(case, pushed, lambda f, t: progress(0.7 + 0.2 * f, t), solver)
    except KeyboardInterrupt:
        pushed.reason, pushed.message = names.INTERRUPTED, "Interrupted after the push; the push is kept."
        return After()


def _simulation(case: Case, pushed: push.Push, after: After, clock: float) -> dict[str, Any]:
    last = pushed.states[-1]
    named = {"at_duty": pushed.landed(names.DUTY), "at_end": last}
    asked = names.FORCE if case.push.force is not None else names.TRAVEL if case.push.travel is not None else names.DUTY
    return {
        "completed": pushed.reason == asked,
        "stop_reason": pushed.reason,
        "at_touch": at_touch(case, pushed),
        **{k: s and blocks.block(pushed.model, s, s.t) for k, s in named.items()},
        "after_release": after.after_release,
        "twist": after.twist,
        "peaks": peaks(case, pushed),
        "balance": {
            "axial_relative": max(_axial(s) for s in pushed.states),
            "work_relative": last.work.relative_error() if last.t > 0 else 0.0,
            "penetration_over_clearance": last.penetration / penetration_scale(case),
        },
        "effort": {
            "unknowns": pushed.model.size,
            "increments": len(pushed.states) - 1,
            "iterations": pushed.tally.iterations,
            "cutbacks": pushed.tally.cutbacks,
            "seconds": pushed.seconds,
            "mesh_seconds": pushed.mesh_seconds,
            "total_seconds": time.perf_counter() - clock,
        },
    }


def at_touch(case: Case, pushed: push.Push) -> dict[str, Any] | None:
    """The state at first touch, None where the push ended before; without clearance it is the start."""
    if case.sleeve.clearance == 0:
        return blocks.block(pushed.model, pushed.states[0], 0.0)
    found = [k for k, s in enumerate(pushed.states) if names.TOUCH in s.events]
    touch = blocks.at_touch(pushed.model, *pushed.states[found[0] - 1 : found[0] + 1]) if found else None
    return touch if touch and touch["travel_mm"] <= pushed.states[-1].t else None


def _axial(state) -> float:
    """Axial forces left over, relative to the force scale."""
    return abs(sum(state.totals[name] for name in (RING, SHAFT, SLEEVE))) / state.scale


def _unused(case: Case) -> dict[str, str]:
    """Keys that are stored but not used yet."""
    return {"screws": "stored; choosing and checking screws is not part of this version"} if case.screws else {}


def _store(out: Path, case: Case, summary: dict[str, Any], pushed: push.Push, after: After, fields: bool) -> None:
    model, last = pushed.model, pushed.states[-1]
    store.save(
        out,
        summary=summary,
        history=[*(blocks.row(model, s, "push", s.t) for s in pushed.states), *after.rows],
        bore=blocks.along(model, last, BORE),
        cone=blocks.along(model, last, CONE),
        case_text=dump(case.tables()),
        section=_section(model, last),
    )
    if fields:
        from colletfea.fea.stepping.fields import write_series

        write_series(out / "fields", model, pushed.states)


def _section(model, state) -> dict[str, Any]:
    """Arrays for the report's drawings."""
    from colletfea.fea.stepping.fields import stresses

    arrays = {"nodes": model.mesh.nodes, "displacement": state.u.reshape(-1, model.unknowns)[:, :2]}
    fields = stresses(model, state)
    for body, part in model.solid.slices.items():
        arrays[f"cells_{body}"] = model.solid.nodes_of[part]
        for name, values in fields.items():
            arrays[f"{name}_{body}"] = values[part]
    return arrays
