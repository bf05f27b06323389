"""Release: the ring is pulled back from the end of the push until it slides, or lets go by itself."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np

from colletfea.cases.simulation.measures import push_force
from colletfea.cases.simulation.model import BORE, CONE, RING, holds
from colletfea.cases.casefile.case import Case
from colletfea.cases.simulation.push import SOLVERS, settings
from colletfea.fea.contact.pair import SLIP
from colletfea.fea.model.drives import Drive, Z
from colletfea.fea.stepping.state import State
from colletfea.fea.model.balance import Balance
from colletfea.fea.model.model import Model
from colletfea.fea.stepping.restart import settle, under
from colletfea.fea.contact.resultants import pair_points, resultant
from colletfea.fea.stepping.events import Event
from colletfea.fea.stepping.increment import Solver
from colletfea.fea.stepping.run import Steps, Stopped, run, run_through

UNLOADED = "push force gone"
#: the ring slides and its pull has fallen to this share of the greatest: nothing more will come
_FALLEN = 0.999
#: increments in which a ring is pulled off the cone where metal has flowed, at least
_OFF = 20
#: first increment, to feel the stiffness of the sticking cone, in parts of the way of the push
_FIRST = 1e-5


@dataclass
class Release:
    """States of a release, the first one the end of the push; t is the way back [mm]."""

    model: Model
    states: list[State]
    message: str = ""
    residuals: list[float] = field(default_factory=list)  # [-] of the try that failed last

    def summary(self) -> dict[str, Any] | None:
        """Block after_release of the results, None where the stage did not get far enough to tell."""
        unloaded = next((s for s in self.states if UNLOADED in s.events), None)
        sliding = [s for s in self.states[1:] if _slides_back(self.model, s)]
        if unloaded is None and not sliding:
            return None
        locks = unloaded is not None and not _slides_back(self.model, unloaded)
        pulls = [-push_force(s) for s in self.states]
        lost, grown = self._left_behind()
        at_slip = max(self.states, key=lambda s: -push_force(s)) if locks else sliding[0]
        return {
            "release_force_N": max(0.0, *pulls) if locks else 0.0,
            "self_locking": locks,
            "cone_normal_force_at_slip_N": resultant(self.model.contact, at_slip.contact, CONE).normal_force,
            "residual_bore_force_N": resultant(self.model.contact, unloaded.contact, BORE).normal_force if locks else 0.0,
            "lost_clearance_mm": lost,
            "ring_growth_mm": grown,
        }

    @property
    def stiffness(self) -> float | None:
        """That of `sticking_stiffness`, which the first way back shows."""
        return _stiffness(*self.states[:2]) if len(self.states) > 1 else None

    def _left_behind(self) -> tuple[float | None, float | None]:
        """What a plastic push leaves once the ring is off the cone, on diameter [mm]: clearance lost at mid-seat, and growth of the
        ring's bore at mid-length; None where nothing flowed or the ring was not seen to come off."""
        last = self.states[-1]
        if not _flows(last) or resultant(self.model.contact, last.contact, CONE).normal_force > 0:
            return None, None
        return -2 * self._radial("sleeve.bore"), 2 * self._radial("ring.cone")

    def _radial(self, edge: str) -> float:
        """Radial displacement [mm] in the middle of an edge in the last state, > 0 away from the axis."""
        mesh = self.model.mesh
        nodes = mesh.edge_nodes(edge)
        z = mesh.nodes[nodes, 1]
        order = np.argsort(z)
        u = self.states[-1].u.reshape(-1, self.model.unknowns)[nodes, 0]
        return float(np.interp((z.min() + z.max()) / 2, z[order], u[order]))


def release(case: Case, model: Model, end: State, solver: str = "condensed") -> Release:
    """Pull the ring back from the state end of the push, at most by its travel [mm]; never raises for what happens on the way."""
    way, (method, start) = end.t, _backwards(case, model, end, solver)
    result = Release(model, [start])
    unloaded = Event(UNLOADED, lambda s: 1e-6 - push_force(s) / push_force(start), 1e-6, restarts=True)
    try:
        felt = _felt(method, start, way)
        result.states.append(felt)
        if result.stiffness is None:
            result.message = "the release stopped: the push force does not fall as the ring is drawn back, which no sticking cone does"
            return result
        for state in run(method, felt, way, _steps(start, felt), [unloaded], reversal=True):
            result.states.append(state)
            if _finished(result):
                break
        if _flows(end) and result.states[-1].t < way:
            _pull_off(method, result, way)
    except Stopped as stop:
        result.message, result.residuals = f"the release stopped: {stop} (way back in mm)", stop.residuals
    return result


def sticking_stiffness(case: Case, model: Model, end: State, solver: str = "condensed") -> float | None:
    """Axial stiffness [N/mm] of the whole coupling while its cone sticks, felt by a first small way back from the end of a push.

    Sleeve, ring and shaft up to where they are held count, screws do not. None where nothing is pressed, no balance is found or the force does not fall.
    """
    if push_force(end) <= 0:
        return None
    method, start = _backwards(case, model, end, solver)
    try:
        felt = _felt(method, start, end.t)
    except Stopped:
        return None
    return _stiffness(start, felt)


def _stiffness(start: State, felt: State) -> float | None:
    """Axial stiffness [N/mm], None where the force does not fall on the way back."""
    fallen = push_force(start) - push_force(felt)
    return fallen / felt.t if fallen > 0 else None


def _backwards(case: Case, model: Model, end: State, solver: str) -> tuple[Solver, State]:
    """A solver whose ring is drawn back from the end of a push, and that end as its start; t is the way back [mm]."""
    back = Drive(RING, "ring.trailing", Z, lambda t: t - end.t)
    balance = Balance.of(model, (back, *holds(case)))
    return SOLVERS[solver](balance, settings(case)), under(settle(end, model), balance)


def _felt(method: Solver, start: State, way: float) -> State:
    """The cone still sticking, a small part of the way of the push back. Raises Stopped."""
    (felt,) = run_through(method, start, [_FIRST * way], reversal=True)
    return felt


def _flows(state: State) -> bool:
    """Whether metal has flowed."""
    return state.flow is not None and bool(np.any(state.flow.alpha))


def _pull_off(method, result: Release, way: float) -> None:
    """Go on from the last state until the ring is off the cone, at most by the way [mm] of the push."""
    last = result.states[-1]
    for state in run(method, last, way, Steps((way - last.t) / _OFF, (way - last.t) / _OFF)):
        result.states.append(state)
        if resultant(result.model.contact, state.contact, CONE).normal_force == 0:
            break


def _steps(start: State, felt: State) -> Steps:
    """Increments in parts of the way that takes the push force away while the cone sticks.

    The greatest pull is missed by what it falls in one increment of the sliding ring. A cone that slides is much
    softer along its axis than one that sticks, so parts of this way keep that small for stiff sleeves and soft ones: increments of 0.03 of
    it that grow to 0.1 find the pull of four such rings within 0.04 % of that of a quarter of them, and take half as many as 0.03 alone.
    """
    given, left = push_force(start), push_force(felt)
    unit = felt.t * given / (given - left)
    return Steps(0.05 * unit, 0.1 * unit, 1.4, after=(0.03 * unit, 0.1 * unit))


def _finished(result: Release) -> bool:
    """The ring slides back by itself under push, or its pull is past its greatest value."""
    last = result.states[-1]
    if not _slides_back(result.model, last):
        return resultant(result.model.contact, last.contact, CONE).normal_force == 0
    pulls = [-push_force(s) for s in result.states]
    return pulls[-1] < 0 or pulls[-1] < _FALLEN * max(pulls)


def _slides_back(model: Model, state: State) -> bool:
    """All touching points of the cone slide toward the nose."""
    points = pair_points(model.contact, CONE)
    touching = state.contact.pressure[points] > 0
    status, slip = state.contact.status[points][touching], state.contact.slip[points, 0][touching]
    return bool(np.any(touching) and np.all(status == SLIP) and np.all(slip > 0))
