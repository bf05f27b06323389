"""Events of a push: what must fall on the end of an increment, and what ends the push."""

from __future__ import annotations

from collections.abc import Callable
from math import sqrt

import numpy as np

from colletfea.cases.simulation.model import BORE, CONE, FLANGE, RING
from colletfea.cases.casefile.case import Case
from colletfea.cases.hand.slit_model import hoop
from colletfea.cases.simulation.stress import believable
from colletfea.fea.stepping.state import State
from colletfea.fea.model.model import Model
from colletfea.fea.contact.resultants import pair_points, resultant
from colletfea.fea.stepping.events import Event

TOUCH, DUTY, FORCE, MET, SHUT, YIELD = "touch", "duty", "force", "flange met", "slots shut", "yield"

#: gap over the clearance that counts as touching
_NEAR = 5e-4

Measure = Callable[[State], float]


def events(case: Case, model: Model) -> list[Event]:
    """Events of a case's push, in no order."""
    found = [_touch(case, model)] if case.sleeve.clearance > 0 else []
    if case.duty is not None:
        driven = case.push.travel is None and case.push.force is None
        found.append(Event(DUTY, lambda s: duty_share(case, model, s) - 1, 2e-4, smooth=True, stops=driven))
    if case.push.force is not None:
        found.append(Event(FORCE, lambda s: push_force(s) / case.push.force - 1, 1e-6, smooth=True, stops=True))
    if "flange.front" in model.mesh.edges:
        found.append(_flange_met(case, model))
    if hoop(case).shuts_at is not None:
        found.append(_slots_shut(case, model))
    if case.solver.stop_at_yield:
        found.append(_yields(case, model))
    return found


def push_force(state: State) -> float:
    """Axial force [N] of the ring's driven face, > 0 pushes the ring toward -z."""
    return -state.totals[RING]


def bore_gap(model: Model, state: State) -> float:
    """Smallest gap [mm] between sleeve and shaft, < 0 where they press."""
    return float(np.min(state.contact.gap[pair_points(model.contact, BORE)]))


def _touch(case: Case, model: Model) -> Event:
    """The smallest bore gap is gone, landed on from the open side to the penetration that is allowed elsewhere.

    Nearer it is not known in one state, but well along two: see states.at_touch.
    """
    left = lambda s: bore_gap(model, s) / (_NEAR * case.sleeve.clearance)
    return Event(TOUCH, lambda s: 0.5 - left(s), 0.5, restarts=True)


def _flange_met(case: Case, model: Model) -> Event:
    points, unit = pair_points(model.contact, FLANGE), case.shaft.diameter
    gap = lambda s: float(np.min(s.contact.gap[points], initial=unit)) / unit
    return Event(MET, lambda s: 0.5e-7 - gap(s), 0.5e-7, stops=True)


def closing(model: Model, state: State) -> float:
    """Greatest radial closing [mm] of the sleeve's bore."""
    radial = state.u.reshape(-1, model.unknowns)[model.mesh.edge_nodes("sleeve.bore"), 0]
    return float(-np.min(radial))


def _slots_shut(case: Case, model: Model) -> Event:
    shuts = hoop(case).shuts_at
    return Event(SHUT, lambda s: closing(model, s) / shuts - 1, 1e-4, smooth=True, stops=True)


def _yields(case: Case, model: Model) -> Event:
    safety = yield_safety(case)
    limits = {p: getattr(case, p).material.yield_stress for p in ("shaft", "sleeve", "ring")}
    limits = {part: stress / safety for part, stress in limits.items() if stress is not None}

    def measure(state: State) -> float:
        stresses = believable(case, model, state)
        return max((stresses[part].value / limit for part, limit in limits.items()), default=0.0) - 1

    return Event(YIELD, measure, 1e-3, smooth=True, stops=True)


def yield_safety(case: Case) -> float:
    """Yield safety of the duty, 1.2 where there is none."""
    return case.duty.yield_safety if case.duty else 1.2


def duty_share(case: Case, model: Model, state: State) -> float:
    """Usable torque over required torque, of whichever seat must carry it and carries less."""
    names = (BORE, CONE) if case.duty.carried_by == "ring" else (BORE,)
    return min(usable_torque(case, model, state, name) for name in names) / (
        case.duty.slip_safety * case.duty.torque * 1e3
    )


def usable_torque(case: Case, model: Model, state: State, name: str, friction: float | None = None) -> float:
    """Torque [N mm] left beside the thrust, r sqrt((mu N)^2 - (S X)^2), < 0 where the thrust alone slips.

    r is the arm of the pressure, torque capacity over mu N; friction replaces the nominal value.
    """
    total = resultant(model.contact, state.contact, name)
    nominal = getattr(case.friction, name).nominal
    if total.normal_force <= 0 or nominal <= 0:
        return 0.0
    arm = total.torque_capacity / (nominal * total.normal_force)
    grip = (nominal if friction is None else friction) * total.normal_force
    square = grip**2 - (case.duty.slip_safety * case.duty.thrust) ** 2
    return arm * (sqrt(square) if square >= 0 else -sqrt(-square))
