"""Fast solver for elastic bodies: factored once, condensed onto the contact unknowns.

The unstressed bodies answer contact forces by a dense stiffness of the unknowns on contact edges.
Contact is iterated alone, with all of its finite-sliding kinematics; finite strain comes back by
deferred correction: what the deformed bodies leave out of balance is condensed and given to the
next round, until the whole model balances to the same tolerance as full Newton. Plastic flow comes in the
same way; it needs more rounds, which are then mixed (see mixing). Where many would be left, the bodies are condensed
anew as they stand, such as flow for this increment alone; where rounds stop gaining full Newton goes on.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from math import hypot

import numpy as np

from colletfea.fea.bodies.law import Flow
from colletfea.fea.contact.multipliers import least_softness
from colletfea.fea.contact.pair import Evaluation, History
from colletfea.fea.contact.projection import Projection
from colletfea.fea.contact.tangent import turned_back
from colletfea.fea.errors import NotConverged
from colletfea.fea.model.balance import Balance
from colletfea.fea.solvers import gain
from colletfea.fea.solvers.condensation import Condensation
from colletfea.fea.solvers.factor import Factor
from colletfea.fea.solvers.full import FullNewton
from colletfea.fea.solvers.mixing import Mixing
from colletfea.fea.solvers.newton import Iterate, Settings, Trial, newton

#: rounds that did not suffice as often running are not tried again: full Newton begins. A shaft like a thin shell was pushed in 4
#: increments so, for 75; at 1 a coupling that misses once would be twisted by full Newton, 1.4 times as long
_MISSES = 2
#: they are tried again after as many balances by full Newton: a soft ring pushed far then took 17 s for 43 (not tuned)
_TURN = 6
#: bodies that flow are condensed anew once they are out of balance by less than this, where that is worth it, see gain.many. Further out the
#: flow still spreads from round to round, and a stiffness softer than the true one throws it about. The next increment starts with the
#: elastic bodies: on those of the last one, too soft for all that stops flowing, most increments of a bronze sleeve were cut
_NEAR = 0.03
#: where that raises what is out of balance by more than the first, the best round and the elastic bodies have another try, and the next time
#: comes below the second
_THROWN, _NEARER = 8.0, 0.01
#: rounds are not mixed while further out of balance: contact still changes from one to the next; the increment is given up
#: after as many rounds like this
_FAR, _ASTRAY = 0.1, 10
#: what rounds must have left since elastic bodies were condensed anew, for that to be done again
_HELPED = 0.01
#: contact is iterated to this share of what finite strain last left out of balance: with 0.01 51 unlike designs take 2 % fewer evaluations
#: of contact, but the rounds of a nearly incompressible one no longer come nearer, and an increment is cut
_FORCING = 0.003
#: from a start that is balanced to this, the motion is small, so the last projection is a safe start for the next one.
#: Rounds after an increment's first one begin at 1e-6 to 4e-5 (medians of eleven designs), some above this
_SETTLED = 0.01
#: a factor serves another iteration while each gains at least this much
_GAIN = 0.02


class _Helpless(NotConverged):
    """Full Newton found no balance either."""


class Condensed:
    """Equilibrium by contact iterations on condensed bodies; a Solver of stepping.increment, as FullNewton is."""

    def __init__(self, balance: Balance, settings: Settings):
        self.balance, self.settings = balance, settings
        self.bodies = self._unstressed = Condensation(balance)
        self._factor: Factor | None = None
        self._missed = 0  # how often running the rounds did not bring elastic bodies into balance
        self._given = 0  # balances that full Newton found since rounds were last tried

    def factor(self, contact: Evaluation, gained: bool, least: float | None) -> Factor:
        """Factor for the next iteration: the last one if that gained enough, still fits and is on the same springs, else a new one.

        least [-]: see Factor.of.
        """
        last, springs = self._factor, self.balance.model.contact.normal
        last = last if last is not None and last.springs is springs else None  # see Contact.softer
        fits = last is not None and last.fits(contact, self.balance.model.contact.points)
        if not (fits and gained):
            self._factor = Factor.of(self.bodies, contact, None if fits else last, least)
        return self._factor

    def predict(
        self, u: np.ndarray, t: float, target: float, history: History, stick: bool, flow: Flow | None = None
    ) -> np.ndarray:
        """Guess (size,) [mm; rad] at target, see Solver; the bodies' stiffness is that at rest."""
        model, n = self.balance.model, self.balance.numbering
        moved = n.contract(n.prescribe(u, target) - u)
        load = n.load(target) - n.load(t) - self._unstressed.pull(moved)
        gained = model.gained(u, t, target, flow) if stick else None
        load += 0.0 if gained is None else n.reduce(gained)
        surface, answer = self._unstressed.condense(load)
        touching = model.contact.evaluate(u, history, stick=True) if stick else None
        step = self._unstressed.spread(Factor.of(self._unstressed, touching).solve(surface), answer)
        return n.prescribe(u + n.expand(step), target)

    def trial(self, u: np.ndarray, t: float, history: History, flow: Flow | None = None) -> Trial:
        """The whole model at u (size,) [mm; rad], see Solver."""
        return self._trial(u, t, self.balance.model.contact.evaluate(u, history, keep=True), flow)

    def equilibrate(self, start: Trial, t: float, history: History, flow: Flow | None = None) -> tuple[Trial, int]:
        """Balance at parameter t, see Solver. Iterations are those of contact. Raises NotConverged."""
        return self._elastic(start, t, history) if flow is None else self._rounds(start, t, history, flow)

    def _elastic(self, start: Trial, t: float, history: History) -> tuple[Trial, int]:
        """Balance of bodies that can't flow; full Newton begins where the rounds have not sufficed several times running."""
        spent = 0
        if self._missed < _MISSES or self._given == _TURN:
            self._given = 0
            try:
                return self._rounds(start, t, history, None)
            except _Helpless:
                raise
            except NotConverged as err:
                self._given_up()
                if self._missed < _MISSES:
                    raise
                spent = err.iterations
        given, self._given = self._given, _TURN  # where full Newton fails, rounds have another try
        found = self._full(start, t, history, None, spent)
        self._given = given + 1
        return found

    def _full(self, start: Trial, t: float, history: History, flow: Flow | None, spent: int) -> tuple[Trial, int]:
        """Balance by full Newton, and all iterations with those spent before.

        Its iterations cost five to ten times those of contact on condensed bodies: where few don't suffice a shorter increment is cheaper.
        """
        try:
            full = FullNewton(self.balance, replace(self.settings, patience=1))
            trial, iterations = full.equilibrate(start, t, history, flow)
        except NotConverged as err:
            raise _Helpless(err.reason, err.norms, spent + err.iterations) from err
        return trial, spent + iterations

    def _rounds(self, start: Trial, t: float, history: History, flow: Flow | None) -> tuple[Trial, int]:
        """Rounds of contact on the condensed bodies, each with what the last one left out of balance."""
        spent, since, norms, frozen, trial, best, n = 0, 0, [], None, start, start, self.balance.numbering
        residual = self.settings.residual
        mixing, near = None if flow is None else self._afresh(), _NEAR
        for _ in range(gain.CORRECTIONS if flow is None else gain.ROUNDS):
            norms.append(trial.norm)
            stalled = len(norms) > 2 and norms[-1] <= trial.noise and norms[-1] > norms[-2] / 2
            if norms[-1] <= residual or stalled:
                self._missed = 0
                return trial, spent
            if not np.isfinite(norms[-1]) or mixing is not None and len(norms) - since > _ASTRAY and norms[-1] > _FAR:
                break
            best = trial if norms[-1] <= min(norms) else best
            if since and mixing is not None and norms[-1] > _THROWN * best.norm and best is not start:
                mixing, trial, since, near = self._afresh(), best, len(norms), _NEARER
                continue
            if flow is None and norms[-1] < _FAR and gain.worth(norms[since:], max(residual, trial.noise)):
                # where that has not helped, what is slow is not the bodies
                if (not since or norms[-1] < _HELPED * norms[since - 1]) and self._as_they_stand(best.u, t, None):
                    trial, since = best, len(norms)
            if gain.slow(norms) if flow is not None else gain.short(norms, residual):
                self._given_up()
                return self._full(best, t, history, flow, spent)
            if mixing is not None and trial is not start and norms[-1] < near and gain.many(norms[since:], residual):
                mixing, since = Mixing(self._unit) if self._as_they_stand(trial.u, t, flow) else mixing, len(norms)
            with np.errstate(over="ignore"):  # single precision inside: a trial too far off for it is refused by what follows
                load, answer = self.bodies.condense(-self.balance.residual(trial.nodal, t))
            if mixing is not None and norms[-1] < _FAR and trial is not start:  # whose contact is not in balance
                load, answer = np.split(mixing.step(np.concatenate([load, answer])), [len(load)])
            surface = SurfaceProblem(self, trial, -load, history)
            try:
                found = newton(surface, trial.at, self.settings, frozen)
            except NotConverged as err:
                err.iterations += spent
                raise
            frozen = found.frozen
            spent += found.iterations
            step = self.bodies.spread(surface.step(found.trial.u), answer)
            trial = self._trial(trial.u + n.expand(step), t, found.trial.contact, flow)
        raise NotConverged(f"finite-strain correction still {norms[-1]:.1e} of the force scale", norms, spent)

    def _as_they_stand(self, u: np.ndarray, t: float, flow: Flow | None) -> bool:
        """Condense the bodies as they answer at u (size,) [mm; rad], for what follows; False where that is not stable."""
        model = self.balance.model
        try:
            self.bodies = Condensation(self.balance, tangents=model.solid.tangents(u, flow, model.free(t)))
        except NotConverged:
            return False
        self._factor = None
        return True

    def _given_up(self) -> None:
        """Rounds have not sufficed: the next ones begin with the unstressed bodies."""
        self._missed += 1
        self.bodies, self._factor = self._unstressed, None

    def _afresh(self) -> Mixing:
        """Iterate on the unstressed bodies from now on: a mixing that has learnt nothing yet."""
        if self.bodies is not self._unstressed:
            self.bodies, self._factor = self._unstressed, None
        return Mixing(self._unit)

    @cached_property
    def _unit(self) -> np.ndarray:
        """What makes condensed forces on the surface and inner displacements comparable, as displacements."""
        surface, inner = self.bodies.surface, self.bodies.inner
        stiffest = np.concatenate([*(np.diagonal(k) for k in self.bodies.stiffness), np.empty(0)])
        weight = self.balance.numbering.weight
        return np.concatenate([1 / (stiffest * weight[surface]), 1 / weight[inner]])

    def _trial(self, u: np.ndarray, t: float, contact: Evaluation, flow: Flow | None) -> Trial:
        """The whole model at u, whose contact is known: it depends on the surface alone."""
        return Trial.whole(self.balance, self.settings.augment, u, t, contact, flow)


@dataclass(frozen=True)
class SurfaceIterate(Iterate):
    """An iterate of contact on linear bodies."""

    u: np.ndarray  # (size,) [mm; rad]
    residual: np.ndarray  # (c,) [N; N mm] out of balance on the surface unknowns


class SurfaceProblem:
    """Contact on linear bodies as a problem for newton, about a position whose surface is out of balance.

    residual (c,) [N; N mm] is that condensed force, contact's own included: what full Newton would see with the
    inner unknowns in balance.
    """

    def __init__(self, solver: Condensed, start: Trial, residual: np.ndarray, history: History):
        self.factor, self.start, self.history, self.joined = solver.factor, start, history, solver.settings.augment
        self.bodies, self.balance, self.numbering = solver.bodies, solver.balance, solver.balance.numbering
        self.softer = self.balance.model.contact.softer
        # half is left to what finite strain adds; a tenth takes 2 % more iterations on twelve couplings, whose balance is as near
        self.tolerance = max(solver.settings.residual / 2, _FORCING * min(start.norm, 1.0))
        self.weight = self.numbering.weight[self.bodies.surface]
        self.floor, self.noise = self.balance.floor(start.u), self.balance.noise(start.u, 1.0)
        self.origin = self.numbering.contract(start.u)[self.bodies.surface]
        self.residual, self.rest = residual, residual - self._force(start.contact)

    def _force(self, contact: Evaluation) -> np.ndarray:
        return self.numbering.reduce(contact.force)[self.bodies.surface]

    def step(self, u: np.ndarray) -> np.ndarray:
        """Displacement (c,) [mm; rad] of the surface since the start."""
        return self.numbering.contract(u)[self.bodies.surface] - self.origin

    def evaluate(self, at: np.ndarray, frozen: Projection | None) -> SurfaceIterate:
        """Contact at a position against the linear bodies, see Problem."""
        known, u, contact = at is self.start.at, at[: len(self.start.u)], self.start.contact
        if not known:
            history = self.history.carrying(at[len(u) :])
            near = contact.foot if self.start.norm < _SETTLED else None
            contact = self.balance.model.contact.evaluate(u, history, frozen, near=near)
        force = self._force(contact)
        residual = self.residual if known else self.rest + self.bodies.hold(self.step(u)) + force
        scale = max(float(np.linalg.norm(force * self.weight)), self.floor)
        left = hypot(np.linalg.norm(residual * self.weight), self.balance.model.contact.unmet(contact) if self.joined else 0.0)
        return SurfaceIterate.of(u, contact, left, scale, self.noise / scale, residual=residual)

    def direction(self, trial: SurfaceIterate, before: SurfaceIterate | None) -> np.ndarray:
        """Newton's step, on the surface alone, see Problem."""
        better = before is None or trial.norm < _GAIN * before.norm
        every, residual, whole = self.balance.model.contact, trial.residual, np.zeros(self.numbering.count)
        misfit, contact = every.misfit(trial.contact), turned_back(every, trial.contact, before and before.contact)
        with np.errstate(over="ignore", invalid="ignore"):  # single precision inside, see _rounds: newton refuses the step
            factor = self.factor(contact, better, least_softness(trial.contact, before and before.contact) if self.joined else None)
            if self.joined:
                residual = residual + self.numbering.reduce(factor.pressed(misfit))[self.bodies.surface]
            whole[self.bodies.surface] = -factor.solve(residual)
        u = self.numbering.expand(whole)
        return np.concatenate([u, factor.gained(misfit, u) if self.joined else np.zeros(len(misfit))])
