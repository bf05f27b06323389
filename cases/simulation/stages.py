"""Stages after the push: which can be run, what they gave, and why one could not."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from colletfea.cases.simulation import blocks, frames
from colletfea.cases.simulation.cause import cause_of_stage
from colletfea.cases.simulation.in_service import Stage, turning_share, warm_share
from colletfea.cases.simulation.model import BORE
from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.text import plain
from colletfea.cases.simulation.release import Release, release, sticking_stiffness
from colletfea.cases.simulation.twist import Twist, twist
from colletfea.cases.simulation.pushed import Progress, Push
from colletfea.cases.stored.names import STRAIN
from colletfea.cases.stored.verdict import Verdict
from colletfea.fea.contact.resultants import resultant
from colletfea.fea.stepping.fields import Frame
from colletfea.fea.stepping.state import State, missing_since

#: why nothing follows on a push that its materials would not have borne: of three such designs two had no equilibrium on the first way
#: back, and the third one's ring was pulled by ever more force
_PAST = "the push ended where a part was strained past all elasticity, so what would follow on it is not known"


@dataclass
class After:
    """Blocks of the results, rows of the history, verdicts and frames to be played of the stages after the push.

    missing: share [-] of the work of each stage that was run that is neither stored nor lost.
    stiffness [N/mm] of the coupling while its cone sticks, for screws that settle; None where it is not known or not needed.
    """

    after_release: dict[str, Any] | None = None
    twist: dict[str, Any] | None = None
    stiffness: float | None = None
    rows: list[dict[str, Any]] = field(default_factory=list)
    verdicts: list[Verdict] = field(default_factory=list)
    frames: list[Frame] = field(default_factory=list)
    missing: dict[str, float] = field(default_factory=dict)
    residuals: dict[str, list[float]] = field(default_factory=dict)  # [-] of the last try of a stage that stopped


def stages(case: Case, pushed: Push, progress: Progress, solver: str) -> After:
    """Run the stages that the case asks for, from the end of the push; service has followed on it already."""
    result = After()
    end = pushed.states[-1]
    grip = resultant(pushed.model.contact, end.contact, BORE).normal_force
    if pushed.service is not None:
        _service(case, pushed.service, end, result)
    over = pushed.reason == STRAIN
    if over:
        result.verdicts += [Verdict.unknown(name, _PAST) for name in ("release", "twist") if getattr(case.after, name)]
    if case.after.release and not over:
        progress(0.0, "pulling the ring back")
        _release(case, pushed, grip, result, solver)
    if case.screws is not None and result.stiffness is None:
        result.stiffness = sticking_stiffness(case, pushed.model, end, solver)
    if case.after.twist and not over:
        progress(0.5, "turning the shaft")
        _twist(case, pushed, grip, result, solver)
    return result


def _service(case: Case, stage: Stage, end: State, result: After) -> None:
    speed = case.service.speed
    for t, state in [(0.0, stage.start), *((s.t, s) for s in stage.accepted)]:
        more = {"speed_per_min": speed * turning_share(t), "warm_share": warm_share(t)}
        result.rows.append(blocks.row(stage.model, state, "service", end.t, **more))
    result.missing["service"] = stage.missing
    result.frames += frames.of_service(stage.model, stage.accepted, end.t, speed)
    if stage.residuals:
        result.residuals["service"] = stage.residuals


def _release(case: Case, pushed: Push, grip: float, result: After, solver: str) -> None:
    if grip <= 0:
        result.verdicts.append(Verdict.unknown("release", "the seat never touched the shaft, so there is nothing to release"))
        return
    end = pushed.states[-1]
    done = release(case, pushed.model, end, solver)
    result.after_release, result.stiffness = done.summary(), done.stiffness
    result.missing["release"] = missing_since(end, done.states)
    result.rows += [blocks.row(pushed.model, s, "release", end.t - s.t) for s in done.states]
    result.frames += frames.of_release(pushed.model, done.states, end.t, _played(result, end))
    if done.residuals:
        result.residuals["release"] = done.residuals
    if result.after_release is None:
        result.verdicts.append(Verdict.unknown("release", _why(case, pushed, done) or "the ring was never seen to slide back"))


def _twist(case: Case, pushed: Push, grip: float, result: After, solver: str) -> None:
    held = case.friction.bore.nominal * grip
    thrust = case.duty.thrust if case.duty is not None else 0.0
    if held <= 0:
        result.verdicts.append(Verdict.unknown("twist", "the seat never touched the shaft, so nothing resists the twist"))
        return
    if abs(thrust) >= held:
        why = f"the thrust of {plain(thrust, 4)} N is above the {plain(held, 4)} N that the seat holds, so it slides before it is turned"
        result.verdicts.append(Verdict.unknown("twist", why))
        return
    end = pushed.states[-1]
    done = twist(case, pushed.model, end, solver)
    result.twist = done.summary()
    result.missing["twist"] = missing_since(end, done.states)
    for k, state in enumerate(done.states):
        more = {"twist_rad": state.t, "torque_Nm": done.torque(state) / 1e3, "slipping_fraction": done.slipping(k)}
        result.rows.append(blocks.row(done.model, state, "twist", end.t, **more))
    result.frames += frames.of_twist(done.model, done.states, end.t, case.shaft.diameter / 2, _played(result, end))
    if done.residuals:
        result.residuals["twist"] = done.residuals
    if result.twist is None:
        result.verdicts.append(Verdict.unknown("twist", _why(case, pushed, done) or "full slip was not reached"))


def _why(case: Case, pushed: Push, done: Release | Twist) -> str:
    """Why a stage stopped, with the cause that its last state shows; empty where it did not. A thrust that can't be put on is the cause itself."""
    shown = f"; {cause_of_stage(case, done.model, done.states[-1], pushed.size)}" if done.message and done.states else ""
    return done.message + shown


def _played(result: After, end: State) -> float:
    """Time [mm] up to which frames are there."""
    return result.frames[-1].time if result.frames else end.t
