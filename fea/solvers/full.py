"""Reference solver: full Newton on all unknowns with the consistent unsymmetric tangent."""

from __future__ import annotations

import numpy as np
from scipy.sparse.linalg import SuperLU

from colletfea.fea.algebra.sparse import assemble, factorise
from colletfea.fea.bodies.law import Flow
from colletfea.fea.contact.pair import History
from colletfea.fea.contact.projection import Projection
from colletfea.fea.contact.tangent import tangent, turned_back
from colletfea.fea.model.balance import Balance
from colletfea.fea.solvers.newton import Settings, Trial, newton


class FullNewton:
    """Equilibrium by Newton iterations on every unknown; the reference for Condensed, and a Solver of stepping.increment.

    keep [-]: a factor of the tangent is used again as long as each step leaves less than this share of the force out of balance, from
    one equilibrium to the next, too. 0 is Newton's method proper.
    """

    def __init__(self, balance: Balance, settings: Settings, keep: float = 0.0):
        self.balance, self.settings, self.keep = balance, settings, keep
        self._factor: SuperLU | None = None

    def predict(
        self, u: np.ndarray, t: float, target: float, history: History, stick: bool, flow: Flow | None = None
    ) -> np.ndarray:
        """Guess (size,) [mm; rad] at target, see Solver; the bodies' tangent is that at u."""
        model, number = self.balance.model, self.balance.numbering
        tables = model.bodies_tangents(u, t, flow)
        if stick:
            tables.append(tangent(model.contact, model.contact.evaluate(u, history, stick=True)))
        moved = number.prescribe(u, target) - u
        nodal = np.zeros(model.size)
        for dofs, values in tables:
            local = (values @ moved[dofs][..., None]).ravel()
            nodal += np.bincount(dofs.ravel(), weights=local, minlength=model.size)
        gained = model.gained(u, t, target, flow) if stick else None
        nodal -= 0.0 if gained is None else gained
        load = number.load(target) - number.load(t)
        stiffness = assemble(tables, number.number, number.free, number.free)
        step = np.zeros(number.count)
        step[: number.free] = factorise(stiffness).solve((load - number.reduce(nodal))[: number.free])
        return number.prescribe(u + number.expand(step), target)

    def trial(
        self, u: np.ndarray, t: float, history: History, flow: Flow | None = None, frozen: Projection | None = None
    ) -> Trial:
        """The whole model at u (size,) [mm; rad], see Solver."""
        return _Everything(self.balance, t, history, flow, self.settings.residual).evaluate(u, frozen, keep=True)

    def equilibrate(
        self, start: Trial, t: float, history: History, residual: float, flow: Flow | None = None, frozen: Projection | None = None
    ) -> tuple[Trial, int]:
        """Balance to a norm of residual [-] at parameter t, see Solver. Raises NotConverged."""
        problem = _Everything(self.balance, t, history, flow, residual, start, self.keep, self._factor)
        found = newton(problem, start.u, self.settings, frozen)
        self._factor = problem.factor
        return found.trial, found.iterations


class _Everything:
    """The whole model as a problem for newton; known is a trial that need not be evaluated again, factor one to begin with, see keep."""

    def __init__(
        self, balance: Balance, t: float, history: History, flow: Flow | None, residual: float, known: Trial | None = None,
        keep: float = 0.0, factor: SuperLU | None = None,
    ):
        self.balance, self.t, self.history, self.flow = balance, t, history, flow
        self.tolerance, self.known = residual, known
        self.keep, self.factor = keep, factor if keep else None

    def evaluate(self, u: np.ndarray, frozen: Projection | None, firm: float = 0.0, keep: bool = False) -> Trial:
        if self.known is not None and not firm and u is self.known.u:
            return self.known
        if firm:  # what is let go of is gone from the tangent
            self.factor = None
        model = self.balance.model
        contact = model.contact.evaluate(u, self.history, frozen, keep=keep, firm=firm)
        nodal = model.bodies_force(u, self.t, self.flow) + contact.force
        residual = self.balance.residual(nodal, self.t)
        scale = self.balance.scale(residual, contact.force, u, self.t)
        return Trial.of(u, contact, self.balance.imbalance(residual), scale, self.balance.noise(u, scale), nodal=nodal)

    def direction(self, trial: Trial, before: Trial | None) -> np.ndarray:
        number = self.balance.numbering
        if self.factor is None or (before is not None and trial.left > self.keep * before.left):
            self.factor = self._factorised(trial, before)
        step = np.zeros(number.count)
        step[: number.free] = -self.factor.solve(self.balance.residual(trial.nodal, self.t)[: number.free])
        return number.expand(step)

    def _factorised(self, trial: Trial, before: Trial | None) -> SuperLU:
        model, number = self.balance.model, self.balance.numbering
        contact = turned_back(model.contact, trial.contact, before and before.contact)
        tables = [*model.bodies_tangents(trial.u, self.t, self.flow), tangent(model.contact, contact)]
        return factorise(assemble(tables, number.number, number.free, number.free))
