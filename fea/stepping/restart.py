"""An accepted state carried to another model of the same mesh: the twist unknown switched on."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from colletfea.fea.model.balance import Balance
from colletfea.fea.model.model import Model
from colletfea.fea.stepping.state import State


def with_twist(state: State, before: Model, after: Model) -> State:
    """State (u, w) [mm] of one model as (u, w, phi = 0) [mm; rad] of its twin with twist; contact unchanged."""
    u = np.zeros((len(after.mesh.nodes), after.unknowns))
    u[:, :2] = state.u.reshape(-1, before.unknowns)
    around = np.zeros(len(state.history.traction))
    traction = np.column_stack([state.history.traction, around])
    history = replace(state.history, traction=traction, angle=np.zeros(len(after.mesh.nodes)))
    flow = None if state.flow is None else state.flow.with_twist()
    return settle(replace(state, u=u.ravel(), history=history, flow=flow), after)


def settle(state: State, model: Model) -> State:
    """The state at the start of a stage: parameter 0, contact and nodal forces (size,) [N; N mm] evaluated anew."""
    contact = model.contact.evaluate(state.u, state.history, stick=True)
    nodal = model.bodies_force(state.u, 0.0, state.flow) + contact.force
    return replace(state, t=0.0, contact=contact, nodal=nodal, iterations=0, events=())


def under(state: State, balance: Balance) -> State:
    """The state with its totals [N; N mm] counted for another set of drives."""
    return replace(state, totals=balance.numbering.totals(balance.numbering.reduce(state.nodal)))
