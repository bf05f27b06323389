"""What decides a case, for a run and for studies: its pushes, the stages after them, its stress peaks, the verdicts on all of it."""

from __future__ import annotations

from concurrent.futures import Executor
from dataclasses import dataclass
from functools import partial
from typing import Any

from colletfea.cases.casefile import fits
from colletfea.cases.casefile.case import Case
from colletfea.cases.hand.calculation import hand
from colletfea.cases.hand.rings import Service
from colletfea.cases.judgement import loads, screws, settling
from colletfea.cases.judgement.adequate import adequate
from colletfea.cases.judgement.corner import gripping
from colletfea.cases.judgement.energy import energy
from colletfea.cases.judgement.looked import Judged, judged
from colletfea.cases.judgement.verdicts import judge
from colletfea.cases.pushes import Pushes, push_all
from colletfea.cases.simulation.blas import one_thread
from colletfea.cases.simulation.corners import Way
from colletfea.cases.simulation.pushed import Progress, Push, silent
from colletfea.cases.simulation.stages import After, stages
from colletfea.cases.stored import names
from colletfea.cases.stored.verdict import Verdict
from colletfea.cases.workers import share

#: differences by quantity, empty where they are not known, and then why
Repeated = tuple[dict[str, float], str]


@dataclass(frozen=True)
class Decided:
    """Pushes, what is believed of their stresses, verdicts, screws as in the results (those of the case, those proposed)."""

    pushes: Pushes
    seen: Judged
    verdicts: list[Verdict]
    screws: dict[str, Any] | None
    proposed: dict[str, Any] | None


@one_thread()
def decided(case: Case, level: str = "default") -> Decided:
    """The pushes of a case and what is judged on them, without what a report shows beside: for studies of many cases.

    level and what is raised are those of `run.solve`.
    """
    service = loads.service_of(case)
    pushes = push_all(case, fits.of(case), screws.given_clamp(case), loads.lost(service), Way(level, pictured=False))
    after = after_push(case, pushes.nominal, silent, "condensed")
    by_formulas = hand(case, fits.of(case))
    return decide(case, by_formulas, pushes, looked_at(case, by_formulas, pushes, service, level, silent), after, service)


def looked_at(
    case: Case, by_formulas: dict[str, Any], pushes: Pushes, service: Service | None, level: str, progress: Progress,
    executor: Executor | None = None,
) -> Judged:
    """Stress peaks on finer meshes; interrupted there, the pushes are kept and the run counts as interrupted."""
    runs = [(run.reached, run.end) for run in pushes.corners]
    each = partial(share, executor) if executor else None
    seen = judged(case, by_formulas, runs, loads.added(service), level, lambda text: progress(0.91, text), each)
    if seen.interrupted and pushes.nominal.reason not in names.EARLY:
        pushes.nominal.reason = names.INTERRUPTED
        pushes.nominal.message = "Interrupted while the stress peaks were looked at; the pushes are kept."
    return seen


def decide(
    case: Case, by_formulas: dict[str, Any], pushes: Pushes, seen: Judged, after: After, service: Service | None,
    repeated: Repeated | None = None,
) -> Decided:
    """Verdicts, and the screws that they judge, on pushes, stages after them and what was seen of their stresses.

    repeated: what a finer mesh moves, where that was asked for.
    """
    reached, taken, grip = seen.reached, loads.lost(service), gripping(seen.reached)
    chosen = screws.block(case, pushes.clamp, reached, after.stiffness)
    proposed = screws.proposal(case, pushes.clamp, reached)
    seat = loads.seat_open(case, grip, taken) if grip else None
    doubts = [energy(reached, after.missing), repeated and adequate(*repeated)]
    more = [seat, *screws.verdicts(case, pushes.clamp, chosen, proposed, screws.in_vain(case, pushes.clamp)), *after.verdicts, *doubts]
    verdicts = judge(case, by_formulas, pushes.clamp, reached, taken, loads.added(service), [v for v in more if v])
    left = settling.left(case, reached, taken, chosen)
    return Decided(pushes, seen, settling.told(verdicts, left), chosen and chosen | {"grip_after_settling": left}, proposed)


def after_push(case: Case, pushed: Push, progress: Progress, solver: str) -> After:
    """Stages after the push; interrupted there, the push is kept and the run counts as interrupted."""
    if pushed.reason in names.EARLY:
        return After()
    try:
        return stages(case, pushed, progress, solver)
    except KeyboardInterrupt:
        pushed.reason, pushed.message = names.INTERRUPTED, "Interrupted after the push; the push is kept."
        return After()
