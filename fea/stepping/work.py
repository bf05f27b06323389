"""Work of one increment, by trapezoids over its two ends."""

from __future__ import annotations

import numpy as np

from colletfea.fea.bodies.law import Flow
from colletfea.fea.contact.pair import SLIP
from colletfea.fea.contact.parting import parted
from colletfea.fea.model.model import Model
from colletfea.fea.solvers.newton import Trial
from colletfea.fea.stepping.state import State, Work


def work_done(model: Model, old: State, trial: Trial, t: float, flow: Flow | None, drives: float) -> Work:
    """Energies [N mm] at the balanced trial at t, from those of the accepted state old; drives is what they put in.

    flow is that of the trial once accepted.
    """
    free = model.free(t)
    loads, w = 0.0, old.work
    if model.loads:
        mean = (model.external(old.u, old.t) + model.external(trial.u, t)) / 2
        loads = float(mean @ (trial.u - old.u))
    friction, dissipated = _rubbed(model, old, trial)
    return Work(
        w.drives + drives, w.loads + loads, model.solid.energy(trial.u, flow, free), w.springs + _sprung(old, trial),
        w.friction + friction, w.dissipated + dissipated, 0.0 if flow is None else float(np.sum(flow.work * model.solid.volume)),
        w.warming + (0.0 if free is None else _warmed(model, old, trial, flow, free)),
    )


def _warmed(model: Model, old: State, trial: Trial, flow: Flow | None, free: np.ndarray) -> float:
    """Work [N mm] that growing free strain does against the stress: minus the mean stress times its growth."""
    solid, before = model.solid, model.free(old.t)
    mean = (solid.stress(old.u, old.flow, before) + solid.stress(trial.u, flow, free)) / 2
    return -float(np.sum(np.sum(mean[..., :3], axis=-1) * (free - before) * solid.volume))


def _sprung(old: State, trial: Trial) -> float:
    """Work [N mm] put into contact: mean pressure times the overlap gained."""
    a, b = old.contact, trial.contact
    depth_a, depth_b = (np.where(e.pressure > 0, e.gap, np.minimum(e.gap, 0.0)) for e in (a, b))
    push = (a.pressure * a.area + b.pressure * b.area) / 2
    return float(np.sum(push * (depth_a - depth_b)))


def _rubbed(model: Model, old: State, trial: Trial) -> tuple[float, float]:
    """Work [N mm] put into friction, and the part of it that is lost.

    A point that parted was dragged along its path by traction that fell from the old one to none, one that touched anew along
    the whole way from its old place, as the drives' trapezoid has it; what is lost counts from the touch.
    """
    a, b, history, contact = old.contact, trial.contact, old.history, model.contact
    slip, way, slides = b.slip.copy(), b.slip.copy(), b.status == SLIP
    touching = b.closed.index
    way[touching, 0] = (b.arc - history.arc)[touching] * b.closed.stretch / b.closed.reference[0]
    left, path = parted(contact, a, b, trial.u - old.u)
    slip[left], way[left], slides[left] = path, path, True
    # a point that came in over the leader's end was loaded from its first step on
    came = np.isinf(history.gap) & (b.pressure > 0)
    drag_a, drag_b = history.traction * a.area[:, None], b.traction * b.area[:, None]
    drag = (np.where(came[:, None], drag_b, drag_a) + drag_b) / 2
    elastic = (b.traction - history.traction) / contact.tangential[:, None]
    lost = np.linalg.norm(slip - elastic, axis=1) * slides
    press_a, press_b = a.pressure * a.area, b.pressure * b.area
    limit = contact.friction * (np.where(came, press_b, press_a) + press_b) / 2
    return float(np.sum(drag * way)), float(np.sum(limit * lost))
