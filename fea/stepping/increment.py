"""One increment: from an accepted state to balance at the next parameter, or NotConverged."""

from __future__ import annotations

from typing import Protocol

import numpy as np

from colletfea.fea.bodies.law import Flow
from colletfea.fea.contact.pair import History
from colletfea.fea.errors import NotConverged
from colletfea.fea.model.balance import Balance
from colletfea.fea.solvers.newton import Settings, Trial
from colletfea.fea.stepping.state import State
from colletfea.fea.stepping.work import work_done

#: Green-Lagrange strain at which a St Venant-Kirchhoff bar in compression has lost its stiffness: stress / E is (s^3 - s) / 2 at a
#: stretch s, which has no slope at s^2 = 1/3. Derived here; with Poisson's ratio and all sides held it is the same
COLLAPSED = -1 / 3


class Solver(Protocol):
    """A way to find equilibrium; full Newton and the condensed solver both are one.

    Positions u (size,) [mm; rad] are nodal unknowns, t and target values of the stage parameter [-], history is that of
    contact and flow that of the bodies in the last accepted state, both left untouched; flow is None where no body may flow.
    """

    balance: Balance
    settings: Settings

    def predict(
        self, u: np.ndarray, t: float, target: float, history: History, stick: bool, flow: Flow | None = None
    ) -> np.ndarray:
        """Linear guess (size,) [mm; rad] at target, from balance at t; drives have their values of target in it.

        Contact is left out, but with stick every touching point sticks; bodies answer as elastic ones. What loads and temperatures
        gain is in it with stick only: what contact alone holds would fly away under them. Raises NotConverged where the tangent
        is singular.
        """

    def trial(self, u: np.ndarray, t: float, history: History, flow: Flow | None = None) -> Trial:
        """The whole model at a guess u (size,) [mm; rad].

        Points that touched in history are kept closed, in tension too; history's multipliers are the first ones.
        """

    def equilibrate(self, start: Trial, t: float, history: History, flow: Flow | None = None) -> tuple[Trial, int]:
        """The balanced trial at t and the iterations it took, from start and its multipliers; history's multipliers are not looked at.

        Balanced is what is out of balance by settings.residual at most. Raises NotConverged, which tells the iterations spent.
        """


def solve_increment(
    solver: Solver, old: State, history: History, guess: np.ndarray, t: float, pressure: np.ndarray
) -> State:
    """Balance at t from the accepted state old, which is left untouched. Raises NotConverged.

    history is old's, with places of points that will touch where known.
    guess (size,) [mm; rad] are positions to start from. First multipliers are the edge means of pressure (n,) [MPa] where the settings
    augment, else old's, which stay.
    """
    multiplier = solver.balance.model.contact.edge_means(pressure) if solver.settings.augment else old.history.multiplier
    trial = solver.trial(guess, t, history.carrying(multiplier), old.flow)
    trial, spent = solver.equilibrate(trial, t, history, old.flow)
    _require_upright(solver.balance, old, trial, spent)
    return _accept(solver.balance, old, trial, t, spent)


def _require_upright(balance: Balance, old: State, trial: Trial, spent: int) -> None:
    """Raise NotConverged where an elastic body is pressed further than its law has stiffness.

    From a guess that is far off, a row of elements can collapse and balance all the same, at any force; a shorter increment finds
    the way that is sought.
    """
    least = 0.0 if old.flow is not None else balance.model.solid.least_strain(trial.u)
    if least <= COLLAPSED:
        share = 100 - 100 * (1 + 2 * max(least, -0.5)) ** 0.5
        raise NotConverged(f"metal is pressed together by {share:.0f} %, more than the elastic law bears", [trial.norm], spent)


def _accept(balance: Balance, old: State, trial: Trial, t: float, spent: int) -> State:
    model, number, contact = balance.model, balance.numbering, balance.model.contact
    drives = number.reduce(trial.nodal)
    totals = number.totals(drives)
    before = number.reduce(old.nodal)
    flow = model.solid.advance(trial.u, old.flow, model.free(t))
    work = work_done(model, old, trial, t, flow, number.work((before + drives) / 2, trial.u - old.u))
    depth = np.max(np.abs(contact.misfit(trial.contact)) / contact.normal, initial=0.0)
    return State(
        t, trial.u, trial.contact.history(), trial.contact, trial.nodal, totals, trial.scale, trial.norm, float(depth), work, spent, flow=flow,
    )
