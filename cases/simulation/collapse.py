"""Plastic collapse of a push: a part flows through its wall, and the force on the ring grows no more with its travel.

A limit load, as a fully plastic ring has one under pressure (Hill, The Mathematical Theory of Plasticity, ch. V, from memory).
Two signs are asked for together. A wall that flows may be held by what it presses on (a sleeve between ring and shaft carries
on); a force that stands still may be that of a sleeve that flows while it still closes.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from colletfea.cases.hand.corners import Collapse
from colletfea.cases.simulation.measures import push_force
from colletfea.cases.simulation.model import BORE
from colletfea.fea.bodies.band import spans
from colletfea.fea.contact.resultants import pair_points
from colletfea.fea.model.model import Model
from colletfea.fea.stepping.state import State

#: slope of the force over the travel, of the greatest so far, below which it grows no more: on a thin ring it falls to -0.02 % with
#: ideal metal, to 0.9 % where hardening is 0.5 % of Young's modulus; couplings that go on carrying keep 40 % and more.
#: And below which a push that finds no further equilibrium has collapsed
STILL, NEARLY = 0.02, 0.2
#: share of the greatest force from which the collapse is told to begin
_BEGINS = 0.98


def collapse(model: Model, states: Sequence[State], share: float = STILL) -> Collapse | None:
    """The collapse that the last state of a push shows, None where it shows none: of the part into which most work went last."""
    if len(states) < 3 or states[-1].flow is None:
        return None
    forces, travels = np.array([push_force(s) for s in states]), np.array([s.t for s in states])
    slopes = np.diff(forces) / np.diff(travels)
    if slopes[-1] > share * slopes.max():
        return None
    before, last = states[-2].flow, states[-1].flow
    grown, work = last.alpha > before.alpha, (last.work - before.work) * model.solid.volume
    spent = {part: float(np.sum(work[model.solid.slices[part]])) for part in model.solid.yielding if _gives_way(model, states[-1], part, grown)}
    if not spent:
        return None
    first = int(np.argmax(forces >= _BEGINS * forces.max()))
    return Collapse(max(spent, key=spent.get), float(forces.max()), float(travels[first]))


def _gives_way(model: Model, state: State, part: str, grown: np.ndarray) -> bool:
    """Whether a part flows through its wall; a sleeve that has not met the shaft yet is only closing."""
    if part == "sleeve" and not np.any(state.contact.pressure[pair_points(model.contact, BORE)] > 0):
        return False
    sides = _sides(model, part)
    return sides is not None and spans(model.solid, part, grown, *sides)


def _sides(model: Model, part: str) -> tuple[np.ndarray, np.ndarray] | None:
    """Nodes on the inside and on the outside of a part's wall; None for a flange, which has no wall of its own."""
    mesh = model.mesh
    if part == "shaft":
        nodes = mesh.body_nodes(part)
        return nodes[mesh.nodes[nodes, 0] == mesh.nodes[nodes, 0].min()], mesh.edge_nodes("shaft.seat")
    sides = {"ring": ("ring.cone", "ring.outside"), "sleeve": ("sleeve.bore", "sleeve.cone")}.get(part)
    return None if sides is None else (mesh.edge_nodes(sides[0]), mesh.edge_nodes(sides[1]))
