"""The whole job of one case: hand calculation, simulation, results; `solve` writes nothing, `run_case` a folder."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from uuid import uuid4

from colletfea.cases import interrupts
from colletfea.cases.casefile import fits
from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.faults import CaseError
from colletfea.cases.casefile.text import dump
from colletfea.cases.deciding import Repeated, after_push, decide, looked_at
from colletfea.cases.hand.corners import NOMINAL
from colletfea.cases.hand.rings import Service
from colletfea.cases.judgement import blocks, loads, screws
from colletfea.cases.judgement.corner import corner_of, gripping
from colletfea.cases.judgement.looked import Judged
from colletfea.cases.judgement.plausible import asked_about, roughly, short_of_force, unsound
from colletfea.cases.judgement.sensitivity import sensitivities
from colletfea.cases.judgement.walls import walls
from colletfea.cases.pages import Page, drawn
from colletfea.cases.pushes import CornerRun, Pushes, push_all, warm
from colletfea.cases.simulation import blocks as states, frames, measures, section, steps
from colletfea.cases.simulation.adequate import QUANTITIES, differences, repeat
from colletfea.cases.simulation.blas import one_thread
from colletfea.cases.simulation.corners import Way, at_corner
from colletfea.cases.simulation.model import BORE, CONE, refined
from colletfea.cases.simulation.plan import LEVELS, penetration_scale
from colletfea.cases.simulation.stress import clear_of_swept
from colletfea.cases.simulation.stages import After
from colletfea.cases.simulation.pushed import Progress, Push, silent
from colletfea.cases.stored import folder as folders
from colletfea.cases.stored import names, store
from colletfea.cases.stored.result import Result
from colletfea.cases.summary import head
from colletfea.cases.workers import begun, helpers
from colletfea.fea.stepping.fields import Frame, write_series

def solve(
    case: Case,
    level: str = "default",
    processes: int = 1,
    progress: Progress | None = None,
    stop: Callable[[], bool] | None = None,
    *,
    solver: str = "condensed",
    check: bool = False,
) -> Result:
    """Hand calculation, simulation and verdicts of a case; nothing is written or drawn.

    level: quick, default or fine. processes: at most so many share the case's pushes; a study or a page, which has processes
    of its own, keeps to one. progress: called with a fraction (0 to 1) and what is being done. stop: asked after every
    increment of the push and before each later stage; where it says True, or the user interrupts, what was reached is kept
    and the result counts as interrupted (exit_code 3). check: push the nominal corner once more with half the mesh size and
    half the increments, and tell the differences. Raises ValueError for another level, CaseError for too fine a mesh,
    KeyboardInterrupt before anything was reached.
    """
    with helpers(processes) as executor:
        return _solved(case, level, executor, _asking(progress or silent, stop), solver, check)


@one_thread()
def _solved(
    case: Case, level: str, executor: Executor | None, progress: Progress, solver: str, check: bool,
    ready: Callable[[], object] | None = None,
) -> Result:
    """ready: what is to be done while other processes push."""
    if level not in LEVELS:
        raise ValueError(f"level must be one of {', '.join(LEVELS)}, not {level!r}")
    begun(executor, warm)
    clock = time.perf_counter()
    top, service = head(case), loads.service_of(case)
    progress(0.02, "meshing")
    share = 0.6 if case.after.release or case.after.twist else 0.85
    way = Way(level, solver, lambda f, t: progress(0.05 + share * f, t))
    early: list[After] = []  # found while other processes push

    def meanwhile(nominal: Push, tell: Callable[[str], None]) -> None:
        early.append(after_push(case, nominal, lambda _, text: tell(text), solver))
        if ready:
            ready()

    clamp, lost = screws.given_clamp(case), loads.lost(service)
    pushes = push_all(case, fits.of(case), clamp, lost, way, executor, meanwhile if executor else None)
    after = early[0] if early else after_push(case, pushes.nominal, lambda f, t: progress(0.7 + 0.2 * f, t), solver)
    seen = looked_at(case, top["hand"], pushes, service, level, progress, executor)
    repeated = _checked(case, pushes, progress, solver) if check else None
    return _result(case, top, pushes, seen, after, service, clock, repeated)


def run_case(
    case: Case,
    out: Path | str,
    *,
    level: str = "default",
    processes: int = 1,
    fields: bool = True,
    progress: Progress | None = None,
    stop: Callable[[], bool] | None = None,
    page: Page | None = None,
    solver: str = "condensed",
    check: bool = False,
) -> Result:
    """Solve a case and store its results in the folder out, as `Result.save` does; out is claimed before the work.

    page adds to the files that are being written (the report, say) before they are put in place. One interrupt at that time
    is let pass. Raises ResultsError where out can't be taken, NotStored where the files could not be written.
    """
    with folders.claimed(out) as place, helpers(processes) as executor:
        if page and executor and not executor.copies:
            begun(executor, page.prepare)
        ready = page.prepare if page and executor else None
        result = _solved(case, level, executor, _asking(progress or silent, stop), solver, check, ready)
        with interrupts.held():
            if progress:
                progress(0.92, "storing results and drawing the report" if page else "storing results")
            free = None if names.INTERRUPTED in result.reasons else executor  # who was interrupted waits for no other push
            with drawn(page, result, free, processes) as drawings:
                return result.put(place, fields, page and (lambda folder: page.write(folder, drawings())))


def _asking(progress: Progress, stop: Callable[[], bool] | None) -> Progress:
    """The progress that also asks whether to stop, and interrupts where it is so."""

    def tell(fraction: float, text: str) -> None:
        progress(fraction, text)
        if stop and stop():
            raise KeyboardInterrupt

    return tell


def _result(
    case: Case, top: dict[str, Any], pushes: Pushes, seen: Judged, after: After, service: Service | None, clock: float,
    repeated: Repeated | None,
) -> Result:
    found = decide(case, top["hand"], pushes, seen, after, service, repeated)
    pushed, reached, verdicts = pushes.nominal, seen.reached, found.verdicts
    model, last = pushed.model, pushed.states[-1]
    taken, grip = loads.lost(service), gripping(reached)
    governing = {part: pushes.run(corner_of(verdicts, f"yield_{part}")) for part in names.PARTS}
    tables = {**top["case"], "mesh": {"size": pushed.size / LEVELS[pushed.level][0]}}  # the case's own or the default, at any level
    simulation = _simulation(case, pushes, seen.peaks, after, clock)
    summary = {
        **top,
        "case": tables,
        "clamp": blocks.clamp(pushes.clamp),
        "corners": [blocks.corner(case, one, taken) for one in reached],
        "simulation": simulation,
        "checks": [
            *asked_about(case),
            *refined(case, pushed.size),
            *unsound(reached, case.solver.augment),
            *short_of_force(reached, pushes.clamp),
            *roughly(reached, case.push.travel),
        ],
        "check": repeated and {name: repeated[0].get(name) for name in QUANTITIES},
        "verdicts": [v.to_dict() for v in verdicts],
        "screws": found.screws,
        "screws_proposed": found.proposed,
        "radial": loads.radial_block(case, grip, taken) if grip else None,
        "shaft_load": loads.shaft_block(case),
        "walls": walls(case, reached, verdicts, loads.added(service), pushes.clamp),
        "stress_error": {part: run.errors.get(part) for part, run in governing.items()},
        "service": loads.service_block(service, measures.seat_stiffness(case, model, pushed.states), grip),
        "sensitivities": sensitivities(case, pushes.clamp, reached, taken, verdicts),
        "level": pushed.level,
        store.RUN_ID: uuid4().hex,
    }
    return Result(
        summary=summary,
        history=[*(states.row(model, s, "push", s.t) for s in pushed.states), *after.rows],
        bore=states.along(model, last, BORE),
        cone=states.along(model, last, CONE),
        lines=_lines(pushes, governing),
        case_text=dump(case.tables()),
        section={
            **section.with_stress_of(section.arrays(model, last), {part: run.arrays for part, run in governing.items()}),
            **steps.arrays(model, pushed.states),
        },
        message=pushes.message,
        fields=_Series([*frames.of_push(model, pushed.states), *after.frames]),
    )


def _lines(pushes: Pushes, governing: dict[str, CornerRun]) -> list[dict[str, Any]]:
    """The radius at the end of the nominal push, the shaft's surface in the corner that governs it; each row names its corner."""
    own = {names.RADIUS: pushes.run(NOMINAL), names.SURFACE: governing["shaft"]}
    return [row | {"corner": run.reached.corner.name} for line, run in own.items() for row in run.lines if row["line"] == line]


def _checked(case: Case, pushes: Pushes, progress: Progress, solver: str) -> Repeated:
    """What halving mesh and increments moves of the nominal push, or why that is not known."""
    pushed = pushes.nominal
    if pushed.reason in names.EARLY:
        return {}, "the push did not come to its end, so that there is nothing to repeat"
    own = at_corner(case, pushes.run(NOMINAL).reached.corner, case.push)
    try:
        finer = repeat(own, pushed, lambda f, t: progress(0.9, f"check on a finer mesh: {t}"), solver)
    except CaseError as error:
        return {}, f"with half the mesh size, {error.faults[0]}"
    except KeyboardInterrupt:
        finer = None
    if finer is None or finer.reason == names.INTERRUPTED:
        pushed.reason = names.INTERRUPTED
        pushed.message = "Interrupted in the check; the push and what came after it are kept."
        return {}, "the check was interrupted"
    if finer.reason == names.NOT_CONVERGED:
        end = f"{finer.states[-1].t:.4g} mm"
        return {}, f"with half the mesh size and twice the increments the push found no equilibrium beyond {end}"
    return differences(own, pushed, finer), ""


def _simulation(case: Case, pushes: Pushes, peaks: list[dict[str, Any]], after: After, clock: float) -> dict[str, Any]:
    pushed, last = pushes.nominal, pushes.nominal.states[-1]
    return {
        "completed": pushed.reason == pushes.asked,
        "stop_reason": pushed.reason,
        "at_touch": at_touch(case, pushed),
        **ends(case, pushed),
        "after_release": after.after_release,
        "twist": after.twist,
        "peaks": peaks,
        "balance": {
            "axial_relative": max(measures.axial_missing(s) for s in pushed.states),
            "work_relative": last.missing,
            "work_relative_of_stages": {stage: after.missing.get(stage) for stage in names.STAGES},
            "penetration_over_clearance": last.penetration / penetration_scale(case),
        },
        "effort": {
            "element_size_mm": pushed.size,
            "unknowns": pushed.model.size,
            "increments": len(pushed.states) - 1,
            "iterations": pushed.tally.iterations,
            "cutbacks": pushed.tally.cutbacks,
            "last_residuals": pushed.residuals,
            "stage_residuals": after.residuals,
            "seconds": pushed.seconds,
            "mesh_seconds": pushed.mesh_seconds,
            "total_seconds": time.perf_counter() - clock,
        },
    }


def ends(case: Case, pushed: Push) -> dict[str, dict[str, Any] | None]:
    """The states at_duty and at_end of a push as in the results."""
    named = {"at_duty": pushed.landed(names.DUTY), "at_end": pushed.states[-1]}
    clear = lambda s: clear_of_swept(case, pushed.model, pushed.states[0], s)
    return {k: s and states.block(pushed.model, s, s.t, clear(s)) for k, s in named.items()}


def at_touch(case: Case, pushed: Push) -> dict[str, Any] | None:
    """The state at first touch, None where the push ended before; without clearance it is the start."""
    if case.sleeve.clearance == 0:
        return states.block(pushed.model, pushed.states[0], 0.0)
    found = [k for k, s in enumerate(pushed.states) if names.TOUCH in s.events]
    touch = states.at_touch(pushed.model, *pushed.states[found[0] - 1 : found[0] + 1]) if found else None
    return touch if touch and touch["travel_mm"] <= pushed.states[-1].t else None


@dataclass(frozen=True)
class _Series:
    """Writes the field files of the nominal push and of the stages after it."""

    frames: Sequence[Frame]

    def __call__(self, folder: Path) -> None:
        write_series(folder, self.frames)
