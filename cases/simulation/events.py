"""Events of a push: what must fall on the end of an increment, and what ends the push."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import lru_cache
from typing import Any

import numpy as np

from colletfea.cases.casefile.case import Case
from colletfea.cases.hand import slit_model
from colletfea.cases.simulation.measures import bore_gap, closing, push_force
from colletfea.cases.simulation.model import FLANGE
from colletfea.cases.simulation.stress import Peak, believable
from colletfea.cases.stored.names import FORCE, MET, PARTS, SHUT, STRAIN, TOUCH, YIELD
from colletfea.cases.stored.verdict import LANDING
from colletfea.fea.stepping.state import State
from colletfea.fea.model.model import Model
from colletfea.fea.contact.resultants import pair_points
from colletfea.fea.stepping.events import Event
from colletfea.fea.stepping.increment import COLLAPSED

#: gap over the clearance that counts as touching
_NEAR = 5e-4
#: how nearly the travel of first touch is known [-] where the gap jumps shut, because a soft ring's load jumps as its points come over
#: the nose: a fiftieth of _NEAR
_LEAPT = 1e-5
#: von Mises stress over E, and over the yield stress, both of which are passed where a force that is looked for is given up:
#: strong spring wire bears 1 %, plastics 2 to 3 % elastically. Common practice, no source. And how nearly that is landed on, in
#: stress and in travel
_STRAIN, _YIELDS, _OVER = 0.03, 2.0, 0.02
#: states whose measures are kept; those before the increment that is sought, and its tries
_LAST = 8
#: share of the compression at which an elastic law has lost its stiffness that ends a push, whatever it was asked for
_CRUSHED = 0.9
#: how nearly the travel of a stress [-] is known that jumps past its limit, where a part of the mesh comes clear of a contact's end.
#: Tries halve what is left, so half or double costs or saves one of them; the travel is told to three digits
_JUMPED = 1e-4
#: how nearly the travel of a force [-] is known that jumps: a force landed on to 1e-6 may hang on it ten times as strongly. At 1e-9 one
#: push spent a fifth more time on seven more halvings. And where the force is seen to jump, so that none comes as near to what is asked:
#: a force that jumps by 0.3 % took 18 tries of 80 iterations to be known to the first, and 12 to the second
_LEAP, _LEAPS = 1e-7, 1e-5


def events(case: Case, model: Model) -> list[Event]:
    """Events of any push of a case, in no order."""
    found = [_touch(case, model)] if case.sleeve.clearance > 0 else []
    if case.push.force is not None:
        found.append(Event(FORCE, lambda s: push_force(s) / case.push.force - 1, 1e-6, smooth=True, stops=True, nearness=_LEAP, leapt=_LEAPS))
    if "flange.front" in model.mesh.edges:
        found.append(_flange_met(case, model))
    if slit_model.of(case).shuts_at is not None:
        found.append(_slots_shut(case, model))
    stresses = _kept(lambda state: believable(case, model, state))  # asked for by both
    if case.solver.stop_at_yield:
        found.append(_stressed(YIELD, stresses, _permitted(case), LANDING, _JUMPED))
    if not case.solver.plastic:
        found.append(_crushed(model))
    if case.push.travel is None:
        found.append(_stressed(STRAIN, stresses, _past_all(case), _OVER, _OVER))
    return [replace(event, measure=_kept(event.measure)) for event in found]


def _kept(of: Callable[[State], Any]) -> Callable[[State], Any]:
    """The same, kept for the last states: each is asked about several times while an increment is sought."""
    return lru_cache(maxsize=_LAST)(of)


def _touch(case: Case, model: Model) -> Event:
    """The smallest bore gap is gone, landed on from the open side, see _NEAR.

    Nearer than that the gap is exact only by extrapolation over two states: see blocks.at_touch.
    """
    left = lambda s: bore_gap(model, s) / (_NEAR * case.sleeve.clearance)
    return Event(TOUCH, lambda s: 0.5 - left(s), 0.5, restarts=True, nearness=_LEAPT)


def _flange_met(case: Case, model: Model) -> Event:
    points, unit = pair_points(model.contact, FLANGE), case.shaft.diameter
    gap = lambda s: float(np.min(s.contact.gap[points], initial=unit)) / unit
    return Event(MET, lambda s: 0.5e-7 - gap(s), 0.5e-7, stops=True)


def _slots_shut(case: Case, model: Model) -> Event:
    shuts = slit_model.of(case).shuts_at
    return Event(SHUT, lambda s: closing(model, s) / shuts - 1, 1e-4, smooth=True, stops=True)


def _stressed(name: str, stresses: Callable[[State], dict[str, Peak]], limits: Mapping[str, float], tolerance: float, nearness: float) -> Event:
    """A part's stress clear of the ends of contacts reaches its limit [MPa], see Event for tolerance and nearness."""

    def measure(state: State) -> float:
        found = stresses(state)
        return max((found[part].value / limit for part, limit in limits.items()), default=0.0) - 1

    return Event(name, measure, tolerance, smooth=True, stops=True, nearness=nearness)


def _crushed(model: Model) -> Event:
    """Elastic metal is pressed together nearly as far as its law has stiffness: behind that nothing is found, try after try."""
    squeezed = lambda s: model.solid.least_strain(s.u) / (_CRUSHED * COLLAPSED) - 1
    return Event(STRAIN, squeezed, _OVER, smooth=True, stops=True, nearness=_OVER)


def _permitted(case: Case) -> dict[str, float]:
    """Yield stress over its safety [MPa] of the parts that have one."""
    known = {part: getattr(case, part).material.yield_stress for part in PARTS}
    return {part: stress / case.yield_safety for part, stress in known.items() if stress is not None}


def _past_all(case: Case) -> dict[str, float]:
    """Stress [MPa] far past all elasticity: no force, and no duty that is not carried by then, is worth looking for further on."""
    materials = {part: getattr(case, part).material for part in PARTS}
    return {part: max(_STRAIN * m.young, _YIELDS * (m.yield_stress or 0.0)) for part, m in materials.items()}
