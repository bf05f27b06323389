"""What can be read off an accepted state: forces, gaps, closing, and what the duty asks of it."""

from __future__ import annotations

from math import sqrt

import numpy as np

from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.schema import ALL_KEYS
from colletfea.cases.simulation.model import BORE, CONE, RING
from colletfea.fea.contact.resultants import pair_points, resultant
from colletfea.fea.model.model import Model
from colletfea.fea.stepping.increment import State


def push_force(state: State) -> float:
    """Axial force [N, whole ring] of the ring's driven face, > 0 pushes the ring toward -z."""
    return -state.totals[RING]


def bore_gap(model: Model, state: State) -> float:
    """Smallest gap [mm] between sleeve and shaft, < 0 where they press."""
    return float(np.min(state.contact.gap[pair_points(model.contact, BORE)]))


def closing(model: Model, state: State) -> float:
    """Greatest radial closing [mm] of the sleeve's bore, > 0 toward the axis."""
    radial = state.u.reshape(-1, model.unknowns)[model.mesh.edge_nodes("sleeve.bore"), 0]
    return float(-np.min(radial))


def yield_safety(case: Case) -> float:
    """Yield safety of the duty, the case file's default where there is no duty."""
    return case.duty.yield_safety if case.duty else ALL_KEYS["duty.yield_safety"].default


def duty_share(case: Case, model: Model, state: State) -> float:
    """Usable torque over required torque, at nominal friction, of whichever seat must carry it and carries less."""
    names = (BORE, CONE) if case.duty.carried_by == "ring" else (BORE,)
    return min(usable_torque(case, model, state, name) for name in names) / (
        case.duty.slip_safety * case.duty.torque * 1e3
    )


def usable_torque(case: Case, model: Model, state: State, name: str, friction: float | None = None) -> float:
    """Torque [N mm] left beside the thrust, r sqrt((mu N)^2 - (S X)^2), < 0 where the thrust alone slips.

    name is a pair, BORE or CONE; r is the arm of the pressure, torque capacity over mu N; friction replaces the pair's
    nominal value, pressures kept. Source: Coulomb friction, torque and thrust at right angles (from memory).
    """
    total = resultant(model.contact, state.contact, name)
    nominal = getattr(case.friction, name).nominal
    if total.normal_force <= 0 or nominal <= 0:
        return 0.0
    arm = total.torque_capacity / (nominal * total.normal_force)
    grip = (nominal if friction is None else friction) * total.normal_force
    square = grip**2 - (case.duty.slip_safety * case.duty.thrust) ** 2
    return arm * (sqrt(square) if square >= 0 else -sqrt(-square))
