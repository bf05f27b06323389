"""Service as a stage after the push: the coupling turns and warms up, with contact, friction and flow alive.

Its states, in the order in which a machine goes through them: cold at speed, as it starts; warm at speed; warm at rest, as it stops
(where it both turns and is warm). The grip that is left is the least of them, the stress the greatest.

What holds the parts, reckoned from the plane of the sleeve's back face, which stands still:
- The ring keeps the travel of its push. Its trailing face follows the heads of the screws: they lengthen freely, as steel at the
  ring's temperature, from the thread in the sleeve on. The force on it changes. Elastic screws lie between this end and the other
  one, at which they keep their force. Where service loosens the seat this end is the safe one: where the force is kept, a ring
  that grows slides on along the cone and holds nearly all of the grip. A 22 mm hub with a ring 20 K hotter loses 27.3 kN of 150 kN
  with the travel kept, and 1.5 kN with the force kept; the cone's friction, 0.07 to 0.13, moves the first by 1 % and the second
  from -29 to 23 kN. Screws are several times stiffer than a cone that slides, so the travel is also the nearer end. Where service
  tightens the seat the cone sticks, and both ends are nearly the same: on five hubs the force kept gains 7 % less to 1.4 % more, and
  stresses it by 2 MPa more at most (the sleeve with fingers: 10 MPa). The force that is left on the ring is too low, or
  too high where the ring tightens: its change bounds that of the screws' preload.
- The shaft's held end lengthens freely, so that it meets the sleeve's own growth at mid-seat: what a shaft is borne by does not
  press it through the seat when it is warm. To hold it in place instead moves what is lost by 3 %.
- A back face that is held fully grows in radius as the sleeve's metal does: what holds it warms up, too.

So a coupling of one metal that is warm all through changes by its size alone.
Friction is that of the pull: the surfaces are as they were when the ring was pulled. Over the whole band of friction what is lost or
gained moves by 1 to 5 % of itself (four hubs, from 0.07 to 0.13 and 0.08 to 0.14), and most is lost at the high end, at which the grip
corner is pulled.
"""

from __future__ import annotations

from dataclasses import replace
from math import pi

from colletfea.cases.casefile.case import Case
from colletfea.cases.hand.corners import Reached, Served
from colletfea.cases.hand.rings import temperatures
from colletfea.cases.hand.shaft import duty_load
from colletfea.cases.simulation import stress
from colletfea.cases.simulation.blas import one_thread
from colletfea.cases.simulation.measures import push_force
from colletfea.cases.simulation.model import BORE, CONE, RING, SHAFT, SLEEVE
from colletfea.cases.simulation.in_service import COLD, STILL, WARM, Stage, turning_share, warm_share
from colletfea.cases.simulation.push import SOLVERS, settings
from colletfea.cases.stored.names import PARTS
from colletfea.fea.bodies.warmth import Warmth
from colletfea.fea.model.balance import Balance
from colletfea.fea.model.drives import Drive, R, Z
from colletfea.fea.model.model import Model
from colletfea.fea.model.spin import Spin
from colletfea.fea.stepping.restart import settle, under
from colletfea.fea.stepping.run import LEAK, Steps, Stopped, run
from colletfea.fea.stepping.state import State

#: increments of each of them. With five times as many what two hubs lose and gain moves by 2e-4 of it, stress by 0.04 MPa
_STEPS = {COLD: 1, WARM: 2, STILL: 1}
#: times as many, one after the other while too much work is missing, as where a seat opens on the way. Of 70 services of examples and
#: random designs five missed more than 2 % of their work, up to 18 %, and in shorter increments 0.4 to 0.8 %; the ring's force moved
#: by up to 13 %. A small hub whose ring comes off at 80 K misses 69, 15 and 0.5 %
_FINER = (4, 16)
#: expansion of the screws' steel [1/K], that of the bundled plain steels
_SCREW = 11.5e-6


@one_thread()
def service(case: Case, model: Model, end: State, solver: str = "condensed") -> Stage:
    """Turn and warm the coupling from the state end of a push, t its travel [mm]; never raises for what happens on the way.

    The case needs a [service]. Where too much of its work is missing it is gone through again in shorter increments.
    """
    found = _gone_through(case, model, end, solver, 1)
    for finer in _FINER:
        if found.message or found.missing <= LEAK:
            break
        again = _gone_through(case, model, end, solver, finer)
        if again.message:
            break
        found = again
    return found


def _gone_through(case: Case, model: Model, end: State, solver: str, finer: int) -> Stage:
    """The service in as many times as many increments."""
    grown, omega = _grown(case), case.service.speed * pi / 30
    loaded = _loaded(case, model, grown, omega)
    balance = Balance.of(loaded, _drives(case, loaded, end, grown))
    method, start = SOLVERS[solver](balance, settings(case)), under(settle(end, loaded), balance)
    result, warm = Stage(loaded, start), any(grown.values())
    for count, (name, asked) in enumerate({COLD: omega > 0, WARM: warm, STILL: omega > 0 and warm}.items()):
        if not asked:
            continue
        begun = under(_at(result.last, float(count)), balance)
        try:
            size = 1 / (_STEPS[name] * finer)
            for state in run(method, begun, count + 1.0, Steps(size, size), reversal=True):
                result.states[name] = state
                result.accepted.append(state)
        except Stopped as stop:
            result.states.pop(name, None)
            result.residuals = stop.residuals
            result.message = f"the simulated service found no equilibrium on its way to {name}, beyond {stop.t - count:.3g} of it: {stop.cause.reason}"
            break
    return result


def served(case: Case, reached: Reached, stage: Stage) -> Served:
    """What a service that came to its end changes in a corner, reached by the push that it begins with."""
    first = stage.normal(BORE)
    return Served(
        lost={"bore": stage.most_lost(BORE), "cone": stage.most_lost(CONE)},
        by_speed=first - stage.normal(BORE, COLD),
        by_temperature=stage.normal(BORE, COLD) - stage.normal(BORE, COLD, WARM),
        grown=_stress_grown(case, reached, stage),
        force=push_force(stage.states.get(WARM) or stage.last),
    )


def _grown(case: Case) -> dict[str, float]:
    """Free expansion [-] of each part, and of the screws."""
    warmer = dict(zip(PARTS, temperatures(case.service.ring_hotter, case.service.warmer)))
    found = {part: getattr(case, part).material.expansion * warmer[part] for part in PARTS}
    return found | {"screws": _SCREW * warmer["ring"]}


def _loaded(case: Case, model: Model, grown: dict[str, float], omega: float) -> Model:
    """The model at a speed omega [rad/s] that rises over t from 0 to 1 and falls from 2 to 3, warm from 1 to 2 on."""
    part_of = {body: "sleeve" if body == "flange" else body for body in model.solid.slices}
    density = {body: getattr(case, part).material.density * 1e-12 for body, part in part_of.items()}
    turning = Spin.of(model.solid, density, lambda t: omega * turning_share(t))
    warmth = Warmth.of(model.solid, {body: grown[part] for body, part in part_of.items()}, warm_share)
    return model.under([turning] if omega > 0 else [], warmth)


def _drives(case: Case, model: Model, end: State, grown: dict[str, float]) -> tuple[Drive, ...]:
    """What moves the ring and holds the rest, see above; the ring's absolute place is that of the end of the push."""
    mesh = model.mesh
    back, far, heads = (float(mesh.nodes[mesh.edge_nodes(edge)[0], 1]) for edge in ("sleeve.back", "shaft.back", "ring.trailing"))
    ring = grown["screws"] * (heads - end.t) - grown["sleeve"] * back
    shaft = grown["sleeve"] * (case.sleeve.length / 2 - back) - grown["shaft"] * (case.sleeve.length / 2 - far)
    held = [
        Drive(RING, "ring.trailing", Z, lambda t: warm_share(t) * ring - end.t),
        Drive(SHAFT, "shaft.back", Z, lambda t: warm_share(t) * shaft),
        Drive(SLEEVE, "sleeve.back", Z, lambda t: 0.0),
    ]
    if case.sleeve.held == "fully":
        wider = grown["sleeve"] * mesh.nodes[mesh.edge_nodes("sleeve.back"), 0]
        held.append(Drive("sleeve back, radial", "sleeve.back", R, lambda t: warm_share(t) * wider))
    return tuple(held)


def _at(state: State, t: float) -> State:
    """The same state at another parameter t, at which nothing is loaded otherwise."""
    return replace(state, t=t)


def _stress_grown(case: Case, reached: Reached, stage: Stage) -> dict[str, float]:
    """By how much the greatest stress of each part, clear of edges, passes that of the push in any of the states [MPa].

    The shaft's with the duty's torque and a radial pull in it.
    """
    before, load = {part: one.value for part, one in reached.stresses.items()}, duty_load(case)
    if reached.shaft_under_duty:
        before["shaft"] = reached.shaft_under_duty.value
    found = dict.fromkeys(before, 0.0)
    for state in stage.states.values():
        now = {part: one.value for part, one in stress.believable(case, stage.model, state).items()}
        if load is not None:
            now["shaft"] = stress.shaft_under_duty(case, stage.model, state, *load).value
        found = {part: max(found[part], now[part] - value) for part, value in before.items()}
    return found
