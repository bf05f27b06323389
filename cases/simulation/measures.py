"""What can be read off an accepted state: forces, gaps, closing."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from colletfea.cases.casefile.case import Case
from colletfea.cases.hand.geometry import sizes
from colletfea.cases.simulation.model import BORE, CONE, RING, SHAFT, SLEEVE
from colletfea.fea.contact.resultants import pair_points, resultant
from colletfea.fea.model.model import Model
from colletfea.fea.stepping.state import State

#: share of the way at whose end it is asked how the force rises: less would show how it jumps from point to point
_END = 0.05
#: share of an element's length below which a line of contact is not resolved, and share of the push force from which that is told. A finer
#: mesh moves the force of seven random designs with lines by 3.8 to 15 %: four are told, with 0.6 to 1.6 times that, and not three
#: whose lines are half an element wide or whose share is less; two more are told, which it moves by 0.7 and 2.8 %
_LINE, _TOLD = 0.5, 0.03


def push_force(state: State) -> float:
    """Axial force [N, whole ring] of the ring's driven face, > 0 pushes the ring toward -z."""
    return 0.0 - state.totals[RING]  # never -0


def rise(states: Sequence[State]) -> float | None:
    """Relative growth of the push force over that of the travel at the end of a push [-], over the last twentieth of the way at least.

    1 where force is in proportion to travel. None of a push that has no such way behind it, or no force.
    """
    last = states[-1]
    before = next((s for s in reversed(states) if last.t - s.t >= _END * last.t), None)
    if before is None or last.t <= before.t or push_force(last) <= 0:
        return None
    return (1 - push_force(before) / push_force(last)) / (1 - before.t / last.t)


def blurred(case: Case, model: Model, states: Sequence[State]) -> float:
    """How far the push force at the end may be off [-] where the cone touches on a line much narrower than an element; else 0.

    How deep a line load presses in grows with the logarithm of what it is spread over, on a coarse mesh that of the element: by
    2 q / (pi E*) a factor e, with q the load a length of the circle and 1 / E* the sum of (1 - nu^2) / E (plane strain, Johnson,
    Contact Mechanics, ch. 4, from memory). Half of that is taken, see _TOLD, times how the force rises with the travel that makes up for it.
    """
    last, points = states[-1], pair_points(model.contact, CONE)
    held = last.contact
    force, length = (held.pressure * held.area)[points], held.length[points]
    climbs, total = rise(states), float(np.sum(force))
    if not climbs or total <= 0:
        return 0.0
    width = total**2 / np.sum(force**2 / np.where(force > 0, length, 1.0))
    if width >= _LINE * (force @ model.contact.edge_length[points]) / total:
        return 0.0
    load = total**2 / (2 * np.pi * (force @ held.position[points, 0]))
    depth = load / np.pi * sum((1 - part.poisson**2) / part.young for part in (case.ring.material, case.sleeve.material))
    share = float(abs(climbs) * depth / (last.t * sizes(case).wall.slope))
    return share if share >= _TOLD else 0.0


def axial_missing(state: State) -> float:
    """Axial forces left over, relative to the force scale [-]."""
    return abs(sum(state.totals[name] for name in (RING, SHAFT, SLEEVE))) / state.scale


def bore_gap(model: Model, state: State) -> float:
    """Smallest gap [mm] between sleeve and shaft, < 0 where they press."""
    return float(np.min(state.contact.gap[pair_points(model.contact, BORE)]))


def closing(model: Model, state: State) -> float:
    """Greatest radial closing [mm] of the sleeve's bore, > 0 toward the axis."""
    radial = state.u.reshape(-1, model.unknowns)[model.mesh.edge_nodes("sleeve.bore"), 0]
    return float(-np.min(radial))


def seat_stiffness(case: Case, model: Model, states: Sequence[State]) -> float | None:
    """Growth of the bore's normal force per radial interference at a fixed travel [N/µm], from the last increment of a push.

    A travel ds asks for an interference ds tan(taper), so this is dN/(ds tan(taper)); None where the seat was not yet gripped.
    Against a simulated interference at a fixed travel it is some 5 % high on the bundled example: a loss comes out safe.
    """
    if len(states) < 3:
        return None
    forces = [resultant(model.contact, s.contact, BORE).normal_force for s in states[-2:]]
    if forces[0] <= 0:
        return None
    return (forces[1] - forces[0]) / (states[-1].t - states[-2].t) / sizes(case).wall.slope / 1e3
