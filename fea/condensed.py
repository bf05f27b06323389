"""Fast solver for elastic bodies: factored once, condensed onto the contact unknowns.

The unstressed bodies answer contact forces by a dense compliance of the unknowns on contact edges.
Contact is iterated alone, with all of its finite-sliding kinematics; finite strain comes back by
deferred correction, u <- u - K0^-1 (f_bodies(u) + f_contact), repeated until the whole model balances
to the same tolerance as full Newton.
"""

from __future__ import annotations

import numpy as np
from scipy.linalg import lapack
from scipy.sparse import csc_matrix, csr_matrix, diags
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
    """Unstressed bodies of one balance: sparse factor, dense stiffness S and compliance C of the surface.

    surface (c,) are the free independent unknowns on contact edges; rank (count,) is their place in it
    or -1. Interior unknowns are ordered first, so the last block of the factor is the Schur complement
    S of the surface and C its inverse, body by body.
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
        self._kept: dict[bytes, np.ndarray] = {}
        self._factor_kept: Factor | None = None
        self._condense(stiffness.tocsc())

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

    def _condense(self, stiffness: csc_matrix) -> None:
        inner = np.setdiff1d(np.arange(stiffness.shape[0]), self.surface)
        order = factorise(stiffness[inner][:, inner].tocsc()).perm_c
        self._order = np.concatenate([inner[np.argsort(order)], self.surface])
        self._lu = factorise(stiffness[self._order][:, self._order].tocsc(), "NATURAL", pivot=0.0)
        lower, upper = (f[len(inner) :, len(inner) :] for f in (self._lu.L, self._lu.U))
        schur = (lower @ upper).tocsr()
        self.stiffness = schur.toarray()
        self.compliance = np.zeros(schur.shape)
        bodies, label = connected_components(schur, directed=False)
        for body in range(bodies):
            own = np.flatnonzero(label == body)
            self.compliance[np.ix_(own, own)] = np.linalg.inv(self.stiffness[np.ix_(own, own)])

    def solve(self, force: np.ndarray) -> np.ndarray:
        """Displacements (count,) of the unstressed bodies under forces (count,); prescribed stay 0."""
        n = self.balance.numbering
        result = np.zeros(n.count)
        result[self._order] = self._lu.solve(force[self._order])
        return result

    def factor(self, trial: Trial) -> Factor:
        """Factor for the next iteration: the last one where it still serves, else a new one."""
        if self._factor_kept is None or not self._factor_kept.serves(trial):
            self._factor_kept = self.with_contact(trial.contact)
        return self._factor_kept

    def with_contact(self, contact: Evaluation) -> Factor:
        """Bodies plus contact on the surface unknowns near the touching points."""
        model, n = self.balance.model, self.balance.numbering
        dofs, values = tangent(model.contact, contact)
        part = self._near(contact)
        local = np.full(len(self.surface) + 1, -1)
        local[part] = np.arange(len(part))
        index = local[self.rank[n.number[dofs]]]
        i, j = (np.broadcast_to(index[s], values.shape) for s in (np.s_[:, :, None], np.s_[:, None, :]))
        keep = (i >= 0) & (j >= 0)
        stiffness = csr_matrix((values[keep], (i[keep], j[keep])), shape=(len(part), len(part)))
        return Factor(part, self._stiffness(part), stiffness, contact)

    def _near(self, contact: Evaluation) -> np.ndarray:
        """Places in surface of the unknowns on the stretches of edges that touch, rounded up to blocks.

        Blocks keep the set, and with it the condensed stiffness, the same over many iterations.
        """
        c, n = self.balance.model.contact, self.balance.numbering
        rows = []
        for points, leaders in zip(c.points, c.leaders):
            closed = np.flatnonzero(contact.pressure[points] > 0) + points.start
            if len(closed):
                rows.append(c.follower[_stretch(closed // c.order, points.start // c.order, points.stop // c.order)])
                rows.append(c.leader[_stretch(contact.foot.edge[closed], leaders.start, leaders.stop)])
        nodes = np.unique(np.concatenate([r.ravel() for r in rows])) if rows else np.empty(0, int)
        rank = np.unique(self.rank[n.number[nodes[:, None] * c.unknowns + np.arange(c.unknowns)]])
        return rank[rank >= 0]

    def _stiffness(self, part: np.ndarray) -> np.ndarray:
        """Stiffness (p, p) of the surface unknowns part (p,) with all others free; the last few are kept."""
        key = part.tobytes()
        if key not in self._kept:
            if len(self._kept) >= _KEPT:
                self._kept.clear()
            self._kept[key] = np.linalg.inv(self.compliance[np.ix_(part, part)])
        return self._kept[key]


#: condensed stiffnesses kept, and edges a block: contact areas grow and shrink by blocks
_KEPT = 4
_BLOCK = 16


def _stretch(rows: np.ndarray, start: int, stop: int) -> slice:
    """Edge rows from the first to the last of rows, rounded outward to blocks inside [start, stop)."""
    first = start + (int(rows.min()) - start) // _BLOCK * _BLOCK
    last = start + -(-(int(rows.max()) + 1 - start) // _BLOCK) * _BLOCK
    return slice(first, min(last, stop))


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
            factor = self.bodies.with_contact(model.contact.evaluate(u, history, stick=True))
            free = self.bodies.surface[factor.part]
            force = np.zeros(n.count)
            force[free] = factor.contact @ factor.solve(factor.bodies @ step[free])
            step -= self.bodies.solve(force)
        return n.place(u + n.expand(step), target)

    def equilibrate(self, u: np.ndarray, t: float, history: History) -> tuple[Trial, int]:
        """Balance at parameter t from the guess u; returns trial and iterations. Raises NotConverged."""
        model, n, spent, norms, frozen = self.balance.model, self.balance.numbering, 0, [], None
        inner = model.bodies_force(u, t)
        for _ in range(_CORRECTIONS):
            base = u - n.expand(self.bodies.solve(self.balance.residual(inner, t)))
            surface = _Surface(self.bodies, base, history, self.settings.residual)
            found = newton(surface, u, self.settings, frozen)
            contact, frozen = found.trial.contact, found.frozen
            spent += found.iterations
            u = base - n.expand(self.bodies.solve(n.reduce(contact.force)))
            inner = model.bodies_force(u, t)
            nodal = inner + contact.force
            residual = self.balance.residual(nodal, t)
            scale = self.balance.scale(residual, contact.force, u, t)
            noise = self.balance.noise(u, scale)
            norms.append(self.balance.out(residual) / scale)
            stalled = len(norms) > 2 and norms[-1] <= noise and norms[-1] > norms[-2] / 2
            if norms[-1] <= self.settings.residual or stalled:
                return Trial(u, contact, nodal, norms[-1], noise), spent
            if not np.isfinite(norms[-1]):
                break
        failure = NotConverged(f"finite-strain correction still {norms[-1]:.1e} of the force scale", norms)
        failure.iterations = spent
        raise failure


class _Surface:
    """Contact on linear bodies as a problem for newton; base (size,) is where they stand without contact.

    The residual is the force S (y - base) + f(y) on the surface unknowns y, as full Newton sees it with
    the inner unknowns in balance.
    """

    def __init__(self, bodies: Compliance, base: np.ndarray, history: History, tolerance: float):
        self.bodies, self.history, self.tolerance = bodies, history, tolerance / 10
        self.balance, self.numbering = bodies.balance, bodies.balance.numbering
        self.weight = self.numbering.weight[bodies.surface]
        self.start = self.numbering.contract(base)[bodies.surface]
        self.floor = self.balance.floor(base)

    def evaluate(self, u: np.ndarray, frozen: Projection | None) -> Trial:
        contact = self.balance.model.contact.evaluate(u, self.history, frozen)
        force = self.numbering.reduce(contact.force)[self.bodies.surface]
        moved = self.numbering.contract(u)[self.bodies.surface] - self.start
        out = self.bodies.stiffness @ moved + force
        scale = max(float(np.linalg.norm(force * self.weight)), self.floor)
        norm = float(np.linalg.norm(out * self.weight)) / scale
        return Trial(u, contact, out, norm, self.balance.noise(u, scale))

    def direction(self, trial: Trial) -> np.ndarray:
        factor = self.bodies.factor(trial)
        part = factor.part
        step = -self.bodies.compliance @ trial.out
        step[part] = factor.solve(factor.bodies @ step[part])
        rest = np.ones(len(step), bool)
        rest[part] = False
        step[rest] -= self.bodies.compliance[np.ix_(rest, part)] @ (factor.contact @ step[part])
        whole = np.zeros(self.numbering.count)
        whole[self.bodies.surface] = step
        return self.numbering.expand(whole)


class Factor:
    """Dense LU of bodies plus contact on the surface unknowns part (p,) that contact reaches now."""

    def __init__(self, part: np.ndarray, bodies: np.ndarray, contact: csr_matrix, ev: Evaluation):
        self.part, self.bodies, self.contact = part, bodies, contact
        self.status, self.edge = ev.status, ev.foot.edge[ev.closed.index]
        self.norm = np.inf
        whole = np.array(bodies, order="F")
        rows = np.repeat(np.arange(len(part)), np.diff(contact.indptr))
        whole[rows, contact.indices] += contact.data
        self._lu, self._pivots, info = lapack.dgetrf(whole, overwrite_a=True) if len(part) else (whole, None, 0)
        if info > 0:
            raise NotConverged("the contact tangent is singular")

    def solve(self, right: np.ndarray) -> np.ndarray:
        """Solution (p,) of bodies plus contact."""
        return lapack.dgetrs(self._lu, self._pivots, right)[0] if len(right) else right

    def serves(self, trial: Trial) -> bool:
        """Whether another iteration may use this factor: same points stick and slip on the same edges,
        and the last use of it gained at least a factor of fifty."""
        ev = trial.contact
        gains, self.norm = trial.norm < 0.02 * self.norm, trial.norm
        return gains and np.array_equal(ev.status, self.status) and np.array_equal(ev.foot.edge[ev.closed.index], self.edge)
