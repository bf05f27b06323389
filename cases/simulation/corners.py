"""The pushes of a case: one corner of fit and friction each, and the search for the clamp force that the duty needs."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from colletfea.cases.casefile.case import Case, Friction, FrictionPairs, PushSettings
from colletfea.cases.hand.calculation import at_friction
from colletfea.cases.hand.corners import NOMINAL, Corner, Flowed, Reached, Rub, Seat, Stress
from colletfea.cases.hand.shaft import duty_load
from colletfea.cases.simulation import onward, service, stress
from colletfea.cases.simulation import push as pushing
from colletfea.cases.simulation.blocks import trail
from colletfea.cases.simulation.cause import cause_of_stage
from colletfea.cases.simulation.measures import axial_missing, blurred, closing, push_force, rise
from colletfea.cases.simulation.model import BORE, CONE, sways
from colletfea.cases.simulation.plan import penetration_scale, plan
from colletfea.cases.simulation.pushed import Progress, Push, silent
from colletfea.cases.stored.names import DUTY, EARLY, FORCE, INTERRUPTED, PARTS, TRAVEL
from colletfea.fea.bodies.measures import flowed
from colletfea.fea.contact.resultants import pair_points, resultant
from colletfea.fea.model.model import Model
from colletfea.fea.stepping.events import Event
from colletfea.fea.stepping.state import State

#: relative accuracy of the needed force: what a duty is landed on to
_LANDING = 2e-4
#: how nearly the travel is known [-] from which a duty is carried where a force jumps over it, as points of a soft part come over a
#: corner. Then the force behind the jump is taken, which does carry it. And where it is seen to jump: the force is then too large by a
#: few times this at most, and a force that jumps by 0.7 % took 12 tries of 15 iterations to be known to the first, 7 to the second
_LEAPT, _LEAPS = 1e-5, 1e-4
#: pushes that are repeated for what service takes: it hardly depends on the force, so one is the rule. Where that is not enough the
#: force needed is too low; what a seat carries is judged by the service of its own push in any case
_ROUNDS = 6
#: the state whose push is less by the thrust that draws the ring off
UNLOADED = "thrust taken off"


@dataclass(frozen=True)
class Way:
    """How a push is made: level of mesh and steps, solver, where its progress is told, and whether its stress is to be shown.

    follower: edge that another corner's work has shown to follow on the cone, see roles.chosen_by_work.
    """

    level: str = "default"
    solver: str = "condensed"
    progress: Progress = silent
    pictured: bool = True
    follower: str | None = None


@dataclass(frozen=True)
class Need:
    """What a seat must carry while it carries: friction, torque [N mm] and thrust [N] with slip safety in them.

    pairs: those that must hold. lost [N]: what service takes off the bore's normal force, and off the cone's. off [N]: thrust that
    draws off a ring which carries the hub.
    """

    pairs: tuple[str, ...]
    rub: Rub
    torque: float
    thrust: float
    lost: dict[str, float]
    off: float = 0.0

    def share(self, model: Model, state: State, name: str, off: float = 0.0) -> float:
        """Normal force of a pair over the one that just carries, under a push less off [N]. A thrust on the cone is in the push, not here."""
        found, thrust = seat(model, state, name), self.thrust if name == BORE else 0.0
        return _under_less(found, push_force(state), off).share(getattr(self.rub, name), self.torque, thrust, self.lost.get(name, 0.0))

    def least_share(self, model: Model, state: State) -> float:
        """The smallest share of the pairs that must hold under the push of a state, the cone's after what draws the ring off; and of the push
        over that."""
        kept = push_force(state) / self.off if self.off else float("inf")
        return min(kept, *(self.share(model, state, name, self.off if name == CONE else 0.0) for name in self.pairs))

    @property
    def reachable(self) -> bool:
        """Whether any pull could make it hold: each pair has friction."""
        return all(getattr(self.rub, name) > 0 for name in self.pairs)


def needed_of(case: Case, rub: Rub, lost: dict[str, float]) -> Need | None:
    """What the duty asks of the seat at a friction; None without a duty."""
    duty = case.duty
    if duty is None:
        return None
    pairs = (BORE, CONE) if duty.carried_by == "ring" and duty.torque > 0 else (BORE,)  # a thrust on the ring is in the push
    return Need(pairs, rub, duty.slip_safety * duty.torque * 1e3, duty.slip_safety * abs(duty.thrust), lost, case.drawn_off)


def at_corner(case: Case, corner: Corner, end: PushSettings) -> Case:
    """The case with a corner's clearance and pulling friction, pushed to an end of its own."""
    cone, bore = (Friction(x, x, x) for x in corner.pulling)
    sleeve = replace(case.sleeve, clearance=corner.clearance, fit=None)
    return replace(case, sleeve=sleeve, friction=FrictionPairs(cone, bore), push=end)


def push(
    case: Case, corner: Corner, end: PushSettings, need: Need | None, finds: bool, way: Way, found: Push | None = None,
) -> tuple[Push, Reached]:
    """Push one corner to its end; never raises for what happens on the way.

    end: travel or force, both None: until `need` is carried. finds: this push tells the force needed, and goes on beyond its
    end for it, which leaves no trace but `needed`. found: the push in the same corner that found the force; what both have in
    common is not pushed again. A [service] follows the end; what that takes, and not what formulas say, is what the force needed
    allows for: the push is taken up again with it until both agree.
    """
    need = need if need is not None and need.reachable else None
    done, reached = _push(case, corner, end, need, finds, way, found)
    if case.service is None:
        return done, reached
    try:
        for _ in range(_ROUNDS):
            more = _taken(case, done, reached, need, way) if finds and need is not None else None
            if more is None:
                break
            need = replace(need, lost=more)
            done, reached = _push(case, corner, end, need, finds, way, done, moved=(DUTY, *(f"{DUTY} {name}" for name in need.pairs)))
        return done, _served(case, done, reached, way)
    except KeyboardInterrupt:
        done.interrupt()
        return done, replace(reached, reason=INTERRUPTED, message=done.message)


def _push(
    case: Case, corner: Corner, end: PushSettings, need: Need | None, finds: bool, way: Way, found: Push | None,
    moved: Sequence[str] = (),
) -> tuple[Push, Reached]:
    """The push itself, without service; moved: see onward.taken_up."""
    asked = at_corner(case, corner, end)
    driven = end.travel is None and end.force is None
    if found is not None and found.course is not None and case.solver.plastic:
        # by the increments of the push that found the force: where metal flows, others came to 1 % less grip there
        steps = found.course.plan
    else:
        # steps to an end that is given know the pulling friction only: they are those of a run with these numbers alone
        bore = corner.carrying.bore if driven else corner.pulling.bore
        steps = plan(asked, at_friction(asked, corner.pulling.cone, bore), way.level)
    looked_for = _looked_for(case, end, need, finds, corner.name == NOMINAL)
    done = found and onward.taken_up(found, asked, steps, way.progress, looked_for, moved)
    done = done or pushing.push(asked, steps, way.level, way.progress, way.solver, looked_for, way.follower)
    needed, search = None, None
    if need is not None and finds:
        if not _carried(done.model, done.states, need) and done.reason in (FORCE, TRAVEL):
            beyond = lambda model: [*_crossings(need, model), _carries(need, model, stops=True)]
            free = replace(asked, push=replace(end, travel=None, force=None))
            further = plan(free, at_friction(free, corner.pulling.cone, corner.carrying.bore), way.level)
            search = onward.carry_on(done, free, further, beyond)
        needed = _needed(case, done, need)
    return done, replace(_reached(case, corner, done, needed), search=None if needed is not None else search)


def _looked_for(case: Case, end: PushSettings, need: Need | None, finds: bool, tells: bool) -> Callable[[Model], list[Event]]:
    """Events of a push besides the ends that every push has: the duty, where it ends, finds or tells it, and what judges the corner.

    tells: the state at the duty is among the results. To look it up for nothing costs as much as an increment.
    """
    driven = end.travel is None and end.force is None

    def events(model: Model) -> list[Event]:
        found = []
        if need is not None and (driven or finds or tells):
            # told as the duty is carried at rest, as hand columns have it; the force needed allows for service
            found.append(_carries(need if driven or finds else replace(need, lost={}), model, stops=driven))
            found += _crossings(need, model) if finds else []
        off = case.drawn_off
        if off and end.force is not None and end.force > off:
            found.append(_landing(UNLOADED, lambda s: push_force(s) / (end.force - off), behind=False))
        return found

    return events


def _carries(need: Need, model: Model, stops: bool) -> Event:
    return _landing(DUTY, lambda s: need.least_share(model, s), stops)


def _crossings(need: Need, model: Model) -> list[Event]:
    """Where each pair alone begins to carry, if there is more than one."""
    pairs = need.pairs if len(need.pairs) > 1 else ()
    return [_landing(f"{DUTY} {name}", lambda s, name=name: need.share(model, s, name)) for name in pairs]


def _landing(name: str, share: Callable[[State], float], stops: bool = False, behind: bool = True) -> Event:
    return Event(name, lambda s: share(s) - 1, _LANDING, smooth=True, stops=stops, nearness=_LEAPT, leapt=_LEAPS, behind=behind)


def _carried(model: Model, states: list[State], need: Need) -> bool:
    return need.least_share(model, states[-1]) >= 1 - _LANDING


def _needed(case: Case, done: Push, need: Need) -> float | None:
    """Push force [N] at which every pair carries; the cone's with the thrust that draws the ring off on top of it."""
    states, off = _carrying(done, need), case.drawn_off
    if None in states.values():
        return None
    return max(off, *(push_force(state) + (off if name == CONE else 0.0) for name, state in states.items()))


def _carrying(done: Push, need: Need) -> dict[str, State | None]:
    """The state at which each pair alone carries, None where it never does."""
    found = {}
    for name in need.pairs:
        enough = lambda s, name=name: need.share(done.model, s, name) >= 1 - _LANDING
        state = done.aside.get(f"{DUTY} {name}" if len(need.pairs) > 1 else DUTY)
        found[name] = state or next((s for s in (*done.states, *done.beyond) if enough(s)), None)
    return found


def _taken(case: Case, done: Push, reached: Reached, need: Need, way: Way) -> dict[str, float] | None:
    """Normal force [N] that service takes off each pair where the duty is just carried; None where that is what `need` allows for.

    Where it is carried nowhere it is looked for at the end. None also where it can't be simulated: the formulas stand.
    """
    if done.reason in EARLY or reached.bore.normal <= 0:
        return None
    states = [state or done.states[-1] for state in _carrying(done, need).values()]
    state = max(states, key=lambda s: s.t)
    stage = service.service(at_corner(case, reached.corner, case.push), done.model, state, way.solver)
    if stage.message:
        return None
    lost = {name: stage.most_lost(name) for name in (BORE, CONE)}
    known = all(abs(lost[name] - need.lost.get(name, 0.0)) <= _LANDING * stage.normal(name) for name in need.pairs)
    return None if known else lost


def _served(case: Case, done: Push, reached: Reached, way: Way) -> Reached:
    """The corner with what service changes at the end of its push, by simulation where that can be run; done keeps its states."""
    if done.reason in EARLY:
        return reached
    if reached.bore.normal <= 0:
        return replace(reached, unserved="the seat does not touch the shaft")
    own = at_corner(case, reached.corner, case.push)
    stage = done.service = service.service(own, done.model, done.states[-1], way.solver)
    reached = replace(reached, service_missing=stage.missing)
    if stage.message:
        return replace(reached, unserved=f"{stage.message}; {cause_of_stage(own, stage.model, stage.last, done.size)}")
    return replace(reached, served=service.served(own, reached, stage), flowed=_flowed(case, done, stage.last))


def _reached(case: Case, corner: Corner, done: Push, needed: float | None) -> Reached:
    model, last = done.model, done.states[-1]
    cone = seat(model, last, CONE)
    off = case.drawn_off
    if off:
        unloaded = done.aside.get(UNLOADED)
        carrying = seat(model, unloaded, CONE) if unloaded else _under_less(cone, push_force(last), off)
    else:
        carrying = cone
    peaks = stress.believable(case, model, last)
    return Reached(
        corner, push_force(last), last.t, done.reason, seat(model, last, BORE), cone, carrying,
        {part: Stress(peak.value, peak.r, peak.z) for part, peak in peaks.items()},
        closing(model, last), done.message, needed, done.seconds, _shaft_under_duty(case, model, last),
        last.missing, max(axial_missing(s) for s in done.states), last.penetration / penetration_scale(case),
        trail=trail(done.states, done.residuals) if done.reason in EARLY else None,
        flowed=_flowed(case, done, last), collapse=done.collapse, rise=rise(done.states), sways=sways(case, last.t),
        blurred=blurred(case, model, done.states),
    )


def _flowed(case: Case, done: Push, last: State) -> dict[str, Flowed]:
    """Parts in which metal flowed by a state that follows on a push."""
    model = done.model
    if last.flow is None:
        return {}
    found = flowed(model.solid, last.flow, stress.clear_of_swept(case, model, done.states[0], last))
    return {part: Flowed(one.share, one.largest, one.r, one.z) for part, one in found.items() if part in PARTS and one.share > 0}


def _shaft_under_duty(case: Case, model: Model, last: State) -> Stress | None:
    """What the duty's torque, with its slip safety, and a radial pull add to the shaft's stress; None without a duty."""
    load = duty_load(case)
    if load is None:
        return None
    peak = stress.shaft_under_duty(case, model, last, *load)
    return Stress(peak.value, peak.r, peak.z)


def _under_less(cone: Seat, force: float, off: float) -> Seat:
    """A cone under a push of force [N] as it is under one less by off, where no push went that way: it slides, so its pressure goes down
    with the push. To half of it and less: within 0.04 % for like tapers, 0.5 % for tapers 0.3 and 0.5 degrees apart (four hubs)."""
    left = (force - off) / force if force > off else 0.0
    return replace(cone, **{name: left * getattr(cone, name) for name in ("normal", "moment", "radial", "mean_pressure", "peak_pressure")})


def seat(model: Model, state: State, name: str) -> Seat:
    """What a pair carries, as the corners know it."""
    total, points = resultant(model.contact, state.contact, name), pair_points(model.contact, name)
    ev = state.contact
    pressure, place = ev.pressure[points], ev.position[points]
    touching = place[pressure > 0, 1]
    return Seat(
        total.normal_force,
        float(np.sum(pressure * ev.area[points] * place[:, 0])),
        total.radial_force,
        total.length,
        total.mean_pressure,
        total.peak_pressure,
        (float(touching.min()), float(touching.max())) if len(touching) else None,
    )
