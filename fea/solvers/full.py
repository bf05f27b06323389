"""Reference solver: full Newton on all unknowns with the consistent unsymmetric tangent."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from scipy.sparse.linalg import SuperLU

from colletfea.fea.algebra.sparse import assemble, factorise
from colletfea.fea.bodies.law import Flow
from colletfea.fea.contact.multipliers import EdgeMeans, least_softness
from colletfea.fea.contact.pair import History
from colletfea.fea.contact.projection import Projection
from colletfea.fea.contact.tangent import tangent, turned_back
from colletfea.fea.model.balance import Balance
from colletfea.fea.solvers.newton import Settings, Trial, newton


class _Factor(NamedTuple):
    """The factored tangent, the multipliers eliminated in it, None where they are no unknowns, and the springs (n,) [N/mm3] in it."""

    lu: SuperLU
    means: EdgeMeans | None
    springs: np.ndarray


class FullNewton:
    """Equilibrium by Newton iterations on every unknown; the reference for Condensed, and a Solver of stepping.increment.

    keep [-]: a factor of the tangent is used again as long as each step leaves less than this share of the force out of balance. 0 is
    Newton's method proper.
    """

    def __init__(self, balance: Balance, settings: Settings, keep: float = 0.0):
        self.balance, self.settings, self.keep = balance, settings, keep

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
        stiffness = assemble(tables, number.number, number.free)
        step = np.zeros(number.count)
        step[: number.free] = factorise(stiffness).solve((load - number.reduce(nodal))[: number.free])
        return number.prescribe(u + number.expand(step), target)

    def trial(self, u: np.ndarray, t: float, history: History, flow: Flow | None = None) -> Trial:
        """The whole model at u (size,) [mm; rad], see Solver."""
        contact = self.balance.model.contact.evaluate(u, history, keep=True)
        return Trial.whole(self.balance, self.settings.augment, u, t, contact, flow)

    def equilibrate(self, start: Trial, t: float, history: History, flow: Flow | None = None) -> tuple[Trial, int]:
        """Balance at parameter t, see Solver. Raises NotConverged."""
        problem = _Everything(self.balance, t, history, flow, self.settings, start, self.keep)
        found = newton(problem, start.at, self.settings)
        return found.trial, found.iterations


class _Everything:
    """The whole model as a problem for newton; known is a trial that need not be evaluated again."""

    def __init__(
        self, balance: Balance, t: float, history: History, flow: Flow | None, settings: Settings, known: Trial | None = None,
        keep: float = 0.0,
    ):
        self.balance, self.t, self.history, self.flow = balance, t, history, flow
        self.tolerance, self.joined, self.known = settings.residual, settings.augment, known
        self.keep, self.factor, self.softer = keep, None, balance.model.contact.softer

    def evaluate(self, at: np.ndarray, frozen: Projection | None) -> Trial:
        if self.known is not None and at is self.known.at:
            return self.known
        model = self.balance.model
        u, history = at[: model.size], self.history.carrying(at[model.size :])
        return Trial.whole(self.balance, self.joined, u, self.t, model.contact.evaluate(u, history, frozen), self.flow)

    def direction(self, trial: Trial, before: Trial | None) -> np.ndarray:
        number, contact = self.balance.numbering, self.balance.model.contact
        last, springs = self.factor, contact.normal  # see Contact.softer
        if last is None or last.springs is not springs or (before is not None and trial.left > self.keep * before.left):
            self.factor = self._factorised(trial, before)
        lu, means, misfit = self.factor.lu, self.factor.means, contact.misfit(trial.contact)
        step, nodal = np.zeros(number.count), trial.nodal + (means.pressed(misfit) if means else 0.0)
        step[: number.free] = -lu.solve(self.balance.residual(nodal, self.t)[: number.free])
        u = number.expand(step)
        return np.concatenate([u, means.gained(misfit, u) if means else np.zeros(len(misfit))])

    def _factorised(self, trial: Trial, before: Trial | None) -> _Factor:
        model, number = self.balance.model, self.balance.numbering
        contact = turned_back(model.contact, trial.contact, before and before.contact)
        means = EdgeMeans.of(model.contact, contact, least_softness(contact, before and before.contact)) if self.joined else None
        tables = [*model.bodies_tangents(trial.u, self.t, self.flow), tangent(model.contact, contact)]
        more = [means.coupling()] if means else []
        return _Factor(factorise(assemble(tables, number.number, number.free, more)), means, model.contact.normal)
