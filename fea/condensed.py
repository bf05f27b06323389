"""Fast solver for elastic bodies: factored once, condensed onto the contact unknowns.

The unstressed bodies answer contact forces by a dense compliance of the unknowns on contact edges.
Contact is iterated alone, with all of its finite-sliding kinematics; finite strain comes back by
deferred correction, u <- u - K0^-1 (f_bodies(u) + f_contact), repeated until the whole model balances
to the same tolerance as full Newton.
"""

from __future__ import annotations

from functools import cached_property

import numpy as np
from scipy.sparse import coo_matrix, csc_matrix, diags
from scipy.sparse.csgraph import connected_components

from fea.contact import Evaluation, History
from fea.contact_tangent import tangent
from fea.model import Balance
from fea.newton import NotConverged, Settings, Trial, newton
from fea.projection import Projection
from fea.sparse import assemble, factorise

_CORRECTIONS = 25
#: spring on force-driven unknowns, relative to the stiffest one: bodies that only contact holds
_SPRING = 1e-7


class Compliance:
    """Unstressed bodies of one balance: sparse factor, and dense compliance C of the surface.

    surface (c,) are the free independent unknowns on contact edges; rank (count,) is their place in it
    or -1. Interior unknowns are ordered first, so the last block of the factor is the Schur complement
    of the surface and C its inverse, body by body.
    """

    def __init__(self, balance: Balance):
        model, n = balance.model, balance.numbering
        self.balance = balance
        tables = [(model.solid.dofs, model.solid.tangents(np.zeros(model.size)))]
        whole = assemble(tables, n.number, n.free, n.count)
        self.coupling = whole[:, n.free :]
        stiffness = whole[:, : n.free] + diags(self._springs(whole.diagonal()))
        self.surface = self._surface_unknowns()
        self.rank = np.full(n.count, -1)
        self.rank[self.surface] = np.arange(len(self.surface))
        self._factor(stiffness.tocsc())

    def _springs(self, diagonal: np.ndarray) -> np.ndarray:
        n = self.balance.numbering
        springs = np.zeros(n.free)
        for drive in n.drives:
            if drive.force is not None:
                springs[n.unknown(drive.name)] = _SPRING * diagonal.max() * n.weight[n.unknown(drive.name)] ** -2
        return springs

    def _surface_unknowns(self) -> np.ndarray:
        model, n = self.balance.model, self.balance.numbering
        nodes = np.unique(np.concatenate([model.contact.follower.ravel(), model.contact.leader.ravel()]))
        unknowns = np.unique(n.number[nodes[:, None] * model.unknowns + np.arange(model.unknowns)])
        return unknowns[unknowns < n.free]

    def _factor(self, stiffness: csc_matrix) -> None:
        inner = np.setdiff1d(np.arange(stiffness.shape[0]), self.surface)
        order = factorise(stiffness[inner][:, inner].tocsc()).perm_c
        self._order = np.concatenate([inner[np.argsort(order)], self.surface])
        self._lu = factorise(stiffness[self._order][:, self._order].tocsc(), "NATURAL", pivot=0.0)
        lower, upper = (f[len(inner) :, len(inner) :] for f in (self._lu.L, self._lu.U))
        schur = (lower @ upper).tocsr()
        self.compliance = np.zeros(schur.shape)
        bodies, label = connected_components(schur, directed=False)
        for body in range(bodies):
            own = np.flatnonzero(label == body)
            self.compliance[np.ix_(own, own)] = np.linalg.inv(schur[own][:, own].toarray())

    def solve(self, force: np.ndarray) -> np.ndarray:
        """Displacements (count,) of the unstressed bodies under forces (count,); prescribed stay 0."""
        n = self.balance.numbering
        result = np.zeros(n.count)
        result[self._order] = self._lu.solve(force[self._order])
        return result

    @cached_property
    def _stiffnesses(self) -> dict[bytes, np.ndarray]:
        return {}

    def stiffness(self, part: np.ndarray) -> np.ndarray:
        """Stiffness (p, p) of the surface unknowns part (p,) with all others free; kept for reuse."""
        key = part.tobytes()
        if key not in self._stiffnesses:
            self._stiffnesses[key] = np.linalg.inv(self.compliance[np.ix_(part, part)])
        return self._stiffnesses[key]


class Condensed:
    """Equilibrium by contact iterations on condensed bodies; same interface as FullNewton."""

    def __init__(self, balance: Balance, settings: Settings):
        self.balance, self.settings = balance, settings
        self.bodies = Compliance(balance)

    def predict(self, u: np.ndarray, t: float, target: float, history: History, stick: bool) -> np.ndarray:
        """As FullNewton.predict, with the unstressed bodies' stiffness."""
        model, n = self.balance.model, self.balance.numbering
        moved = n.contract(n.place(u, target) - u)
        push = n.load(target) - n.load(t)
        push[: n.free] -= self.bodies.coupling @ moved[n.free :]
        step = self.bodies.solve(push)
        if stick:
            surface = _Surface(self.bodies, u, history, self.settings.residual)
            contact = model.contact.evaluate(u, history, stick=True)
            part, stiffness = surface.contact_stiffness(contact)
            kept = self.bodies.stiffness(part)
            free = self.bodies.surface[part]
            answer = np.linalg.solve(kept + stiffness, kept @ step[free])
            force = np.zeros(n.count)
            force[free] = stiffness @ answer
            step -= self.bodies.solve(force)
        return n.place(u + n.expand(step), target)

    def equilibrate(self, u: np.ndarray, t: float, history: History) -> tuple[Trial, int]:
        """Balance at parameter t from the guess u; returns trial and iterations. Raises NotConverged."""
        model, n, spent, norms = self.balance.model, self.balance.numbering, 0, []
        inner = model.bodies_force(u, t)
        for _ in range(_CORRECTIONS):
            base = u - n.expand(self.bodies.solve(self.balance.residual(inner, t)))
            trial, iterations = newton(_Surface(self.bodies, base, history, self.settings.residual), u, self.settings)
            spent += iterations
            u = base - n.expand(self.bodies.solve(n.reduce(trial.contact.force)))
            inner = model.bodies_force(u, t)
            nodal = inner + trial.contact.force
            norms.append(self.balance.norm(self.balance.residual(nodal, t), trial.contact.force, u, t))
            if norms[-1] <= self.settings.residual:
                return Trial(u, trial.contact, nodal, norms[-1]), spent
            if not np.isfinite(norms[-1]):
                break
        failure = NotConverged(f"finite-strain correction still {norms[-1]:.1e} of the force scale", norms)
        failure.iterations = spent
        raise failure


class _Surface:
    """Contact on linear bodies as a problem for newton; base (size,) is where they stand without contact.

    The residual is a displacement, y - (base - C f(y)), relative to the contact's own part of it.
    """

    def __init__(self, bodies: Compliance, base: np.ndarray, history: History, tolerance: float):
        self.bodies, self.base, self.history = bodies, base, history
        self.model, self.numbering = bodies.balance.model, bodies.balance.numbering
        self.tolerance = tolerance / 10
        self.metric = 1 / self.numbering.weight[bodies.surface]
        self.start = self.numbering.contract(base)[bodies.surface]

    def evaluate(self, u: np.ndarray, frozen: Projection | None) -> Trial:
        contact = self.model.contact.evaluate(u, self.history, frozen)
        pushed = self.bodies.compliance @ self.numbering.reduce(contact.force)[self.bodies.surface]
        off = self.numbering.contract(u)[self.bodies.surface] - self.start + pushed
        scale = max(float(np.linalg.norm(pushed * self.metric)), 1e-3 * self.numbering.length)
        return Trial(u, contact, off, float(np.linalg.norm(off * self.metric)) / scale)

    def contact_stiffness(self, contact: Evaluation) -> tuple[np.ndarray, np.ndarray]:
        """Surface unknowns (p,) of the pairs that touch, and the contact's dense tangent on them (p, p)."""
        dofs, values = tangent(self.model.contact, contact)
        part = self._touching(contact)
        local = np.full(len(self.bodies.surface) + 1, -1)
        local[part] = np.arange(len(part))
        index = local[self.bodies.rank[self.numbering.number[dofs]]]
        i, j = (np.broadcast_to(index[s], values.shape) for s in (np.s_[:, :, None], np.s_[:, None, :]))
        keep = (i >= 0) & (j >= 0)
        return part, coo_matrix((values[keep], (i[keep], j[keep])), shape=(len(part),) * 2).toarray()

    def _touching(self, contact: Evaluation) -> np.ndarray:
        c = self.model.contact
        touching = [k for k, points in enumerate(c.points) if np.any(contact.pressure[points] > 0)]
        edges = [c.follower[_rows(c.points[k], c.order)] for k in touching] + [c.leader[c.leaders[k]] for k in touching]
        nodes = np.unique(np.concatenate([e.ravel() for e in edges])) if edges else np.empty(0, int)
        unknowns = self.numbering.number[nodes[:, None] * self.model.unknowns + np.arange(self.model.unknowns)]
        rank = np.unique(self.bodies.rank[unknowns])
        return rank[rank >= 0]

    def direction(self, trial: Trial) -> np.ndarray:
        part, stiffness = self.contact_stiffness(trial.contact)
        kept = self.bodies.stiffness(part)
        step = -trial.out
        step[part] = np.linalg.solve(kept + stiffness, -kept @ trial.out[part])
        rest = np.ones(len(step), bool)
        rest[part] = False
        step[rest] -= self.bodies.compliance[np.ix_(rest, part)] @ (stiffness @ step[part])
        whole = np.zeros(self.numbering.count)
        whole[self.bodies.surface] = step
        return self.numbering.expand(whole)


def _rows(points: slice, order: int) -> slice:
    return slice(points.start // order, points.stop // order)
