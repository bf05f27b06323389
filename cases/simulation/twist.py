"""Twist: the shaft is turned against the part that carries the hub until the seat slides round.

The ring stays where the push left it, and the duty's thrust, where there is one, is put on first and held.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import pi
from typing import Any

import numpy as np

from colletfea.cases.simulation import model
from colletfea.cases.simulation.model import BORE, CONE, RING, SHAFT, holds
from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.text import plain
from colletfea.cases.simulation.push import SOLVERS, settings
from colletfea.fea.contact.pair import SLIP
from colletfea.fea.model.drives import ANGLE, Drive, Z
from colletfea.fea.stepping.state import State
from colletfea.fea.model.balance import Balance
from colletfea.fea.model.model import Model
from colletfea.fea.stepping.restart import settle, under, with_twist
from colletfea.fea.contact.resultants import pair_points, resultant
from colletfea.fea.stepping.run import Steps, Stopped, run

TURN = "shaft turned"
#: full slip: all touching points slide round, and an increment changes (under thrust: raises) the torque by less than this
STEADY = 1e-5
#: first slip: this share of the touching area slides round
FIRST = 0.02
#: a point counts as sliding round where its friction round passes this share of what its limit leaves beside the thrust. How far it
#: has slid would not tell: points at their limit since the push slide from the first torque on, by as little as their springs let
#: them. On two couplings tangential springs of 1 to 64 E/h and elements half as wide move the torque of first slip by up to 1.1 % of
#: that of full slip, a quarter of the increments by 2.5 %; told by slips beyond the springs' own it fell from 10 to 2 % of it
ROUND = 0.9
_PATIENCE = 200


@dataclass
class Twist:
    """States of the twist; t is the angle of the turned end [rad]. thrust [N]: what the governing pair's
    friction bears beside the torque."""

    model: Model
    pair: str
    thrust: float = 0.0
    states: list[State] = field(default_factory=list)
    complete: bool = False
    held: str = ""
    slit: bool = False  # shear moduli of a slit sleeve stay those of the solid: too stiff on its free length
    message: str = ""
    residuals: list[float] = field(default_factory=list)  # [-] of the try that failed last

    def torque(self, state: State) -> float:
        """Torque [N mm] at the turned end."""
        return state.totals[TURN]

    def capacity(self, state: State) -> float:
        """Integral of mu p r dA [N mm] of the governing pair."""
        return resultant(self.model.contact, state.contact, self.pair).torque_capacity

    def slipping(self, k: int) -> float:
        """Share (0 to 1) of the governing pair's touching area that slides round, see ROUND, at state k."""
        c, ev = self.model.contact, self.states[k].contact
        points = pair_points(c, self.pair)
        touching = ev.area[points] * (ev.pressure[points] > 0)
        limit = c.friction[points] * ev.pressure[points]
        left = max(1 - (self.thrust / max(float(limit @ touching), 1e-300)) ** 2, 0.0) ** 0.5
        slides = np.abs(ev.traction[points, 1]) > ROUND * left * limit
        return float(np.sum(touching * slides) / max(np.sum(touching), 1e-300))

    def summary(self) -> dict[str, Any] | None:
        """Block twist of the results; None where full slip was not reached."""
        if not self.complete:
            return None
        last, first = self.states[-1], self.states[1]
        return {
            "full_slip_torque_Nm": self.torque(last) / 1e3,
            "capacity_ratio": self.torque(last) / self.capacity(last),
            "first_slip_torque_Nm": self._first_slip() / 1e3,
            "stiffness_Nm_per_rad": self.torque(first) / first.t / 1e3,
            "stiffness_is_upper_bound": self.slit,
            "governing": self.pair,
            "held": self.held,
        }

    def _first_slip(self) -> float:
        shares = [self.slipping(k) for k in range(len(self.states))]
        k = next(k for k, share in enumerate(shares) if share >= FIRST)
        part = (FIRST - shares[k - 1]) / (shares[k] - shares[k - 1])
        a, b = self.torque(self.states[k - 1]), self.torque(self.states[k])
        return a + part * (b - a)


def twist(case: Case, flat: Model, end: State, solver: str = "condensed") -> Twist:
    """Turn the shaft from the state end of the push, whose model is flat; never raises for what happens on the way."""
    cone = flat.contact.pairs[0]
    turning = model.of(case, flat.mesh, cone.slide, twist=True, follower=cone.follower)
    pair = governing(case, flat, end)
    beside = _thrust(case) if pair == BORE else 0.0  # ring and sleeve, between which the cone is, are held both
    result = Twist(turning, pair, beside, held=_held_words(case), slit=case.sleeve.slits.pattern != "none")
    state = with_twist(end, flat, turning)
    thrust = _thrust(case)
    stage = f"the thrust of {plain(thrust, 4)} N could not be put on, so the seat slides under it or is about to"
    try:
        if thrust:
            state = _push_thrust(case, turning, state, solver, end)
        stage = "the twist stopped"
        _turn(case, result, state, solver, end)
    except Stopped as stop:
        result.message, result.residuals = f"{stage}: {stop}", stop.residuals
    return result


def _thrust(case: Case) -> float:
    return case.duty.thrust if case.duty is not None else 0.0


def governing(case: Case, model: Model, end: State) -> str:
    """The pair that slips first: the bore, or the cone where the hub sits on the ring and it holds less."""
    if case.duty is None or case.duty.carried_by == "sleeve":
        return BORE
    bore, cone = (resultant(model.contact, end.contact, name).torque_capacity for name in (BORE, CONE))
    return CONE if cone < bore and not case.after.ring_tied else BORE


def _axial(case: Case, end: State, thrust) -> list[Drive]:
    """Axial drives after the push; thrust None keeps the shaft's end held, else a force of the parameter."""
    way = end.t
    still = lambda t: 0.0
    drives = [Drive(RING, "ring.trailing", Z, lambda t: -way)]
    drives += [d for d in holds(case) if d.name != SHAFT]
    shaft = Drive(SHAFT, "shaft.back", Z, still) if thrust is None else Drive(SHAFT, "shaft.back", Z, force=thrust)
    return [*drives, shaft]


def _around(case: Case) -> list[Drive]:
    """What is kept from turning: the hub's part, and the other one where screws tie them."""
    still, nothing = (lambda t: 0.0), (lambda t: 0.0)
    on_ring = case.duty is not None and case.duty.carried_by == "ring"
    ring_held, back_held = on_ring or case.after.ring_tied, not on_ring or case.after.ring_tied
    return [
        Drive("ring face, turn", "ring.trailing", ANGLE, **({"displacement": still} if ring_held else {"force": nothing})),
        Drive("sleeve back, turn", "sleeve.back", ANGLE, **({"displacement": still} if back_held else {"force": nothing})),
    ]


def _held_words(case: Case) -> str:
    on_ring = case.duty is not None and case.duty.carried_by == "ring"
    hub, other = ("ring's driven face", "sleeve's back face") if on_ring else ("sleeve's back face", "ring's driven face")
    return f"the {hub} does not turn; the {other} " + ("is tied to it" if case.after.ring_tied else "turns freely")


def _push_thrust(case: Case, model: Model, state: State, solver: str, end: State) -> State:
    """Let go of the shaft's end and bring its axial force from the push's reaction to the thrust."""
    before, after = state.totals[SHAFT], -_thrust(case)
    ramp = lambda t: before + t * (after - before)
    turn = Drive(TURN, "shaft.front", ANGLE, force=lambda t: 0.0)
    balance = Balance.of(model, (*_axial(case, end, ramp), *_around(case), turn))
    start = under(state, balance)
    *_, last = run(SOLVERS[solver](balance, settings(case)), start, 1.0, Steps(0.05, 0.2), reversal=True)
    return settle(last, model)


def _turn(case: Case, result: Twist, state: State, solver: str, end: State) -> None:
    thrust = _thrust(case)
    hold = (lambda t: -thrust) if thrust else None
    already = float(np.mean(state.u.reshape(-1, 3)[result.model.mesh.edge_nodes("shaft.front"), ANGLE]))
    turn = Drive(TURN, "shaft.front", ANGLE, lambda t: already + t)
    balance = Balance.of(result.model, (*_axial(case, end, hold), *_around(case), turn))
    start = under(state, balance)
    result.states.append(start)
    unit = _expected_angle(case, result, start)
    steps = Steps(first=0.02 * unit, largest=unit, growth=1.4)
    for reached in run(SOLVERS[solver](balance, settings(case)), start, _PATIENCE * unit, steps, reversal=True):
        result.states.append(reached)
        if _steady(result, bool(thrust)):
            result.complete = True
            return
        if len(result.states) > _PATIENCE:
            result.message = f"the twist stopped: the torque was still changing at {reached.t:.3g} rad"
            return


def _expected_angle(case: Case, result: Twist, start: State) -> float:
    """Angle [rad] at which the free shaft end and half the seat are wound up by the torque capacity."""
    shaft = case.shaft
    polar = pi * (shaft.diameter**4 - shaft.bore**4) / 32
    shear = shaft.material.young / 2 / (1 + shaft.material.poisson)
    return result.capacity(start) * (shaft.beyond[1] + case.sleeve.length / 2) / (shear * polar)


def _steady(result: Twist, screws: bool) -> bool:
    """Full slip. Under thrust the sliding shaft screws along over element after element, and the torque never comes
    to rest: there it is enough that it no longer rises."""
    before, now = result.states[-2:]
    points = pair_points(result.model.contact, result.pair)
    touching = now.contact.pressure[points] > 0
    slides = np.all(now.contact.status[points][touching] == SLIP)
    change = result.torque(now) - result.torque(before)
    return bool(slides and (change if screws else abs(change)) < STEADY * abs(result.torque(now)))
