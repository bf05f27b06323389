"""Reference solver: full Newton on all unknowns with the consistent unsymmetric tangent."""

from __future__ import annotations

import numpy as np
from scipy.sparse import coo_matrix, csc_matrix
from scipy.sparse.linalg import splu

from fea.contact import History
from fea.contact_tangent import tangent
from fea.model import Balance
from fea.newton import NotConverged, Settings, Trial, newton
from fea.projection import Projection


def assemble(tables: list[tuple[np.ndarray, np.ndarray]], number: np.ndarray, rows: int, columns: int) -> csc_matrix:
    """Sparse sum of dense tangents, tables of (unknown numbers (k, d), values (k, d, d)).

    Unknowns whose independent number is not below rows (columns) are left out. The compressed
    pattern is not kept: turning triplets into columns costs less than looking places up.
    """
    parts = []
    for dofs, values in tables:
        n = number[dofs]
        i = np.broadcast_to(n[:, :, None], values.shape).ravel()
        j = np.broadcast_to(n[:, None, :], values.shape).ravel()
        keep = (i < rows) & (j < columns)
        parts.append((i[keep], j[keep], values.ravel()[keep]))
    i, j, v = (np.concatenate(column) for column in zip(*parts))
    return coo_matrix((v, (i, j)), shape=(rows, columns)).tocsc()


def factorise(matrix: csc_matrix, ordering: str = "MMD_AT_PLUS_A"):
    """Sparse LU with a symmetric-pattern ordering; raises NotConverged on a singular matrix."""
    try:
        return splu(matrix, permc_spec=ordering, diag_pivot_thresh=0.01, options={"SymmetricMode": True})
    except RuntimeError as err:
        raise NotConverged(f"the tangent is singular ({err})") from None


class FullNewton:
    """Equilibrium by Newton iterations on every unknown; the condensed solver is held to it."""

    def __init__(self, balance: Balance, settings: Settings):
        self.balance, self.settings = balance, settings

    def predict(self, u: np.ndarray, t: float, target: float, history: History, stick: bool) -> np.ndarray:
        """Linear guess at the target parameter: bodies' tangent at u and, with stick, its contact's."""
        model, number = self.balance.model, self.balance.numbering
        tables = model.bodies_tangents(u, t)
        if stick:
            tables.append(tangent(model.contact, model.contact.evaluate(u, history, stick=True)))
        moved = number.place(u, target) - u
        nodal = np.zeros(model.size)
        for dofs, values in tables:
            local = (values @ moved[dofs][..., None]).ravel()
            nodal += np.bincount(dofs.ravel(), weights=local, minlength=model.size)
        load = number.load(target) - number.load(t)
        stiffness = assemble(tables, number.number, number.free, number.free)
        step = np.zeros(number.count)
        step[: number.free] = factorise(stiffness).solve((load - number.reduce(nodal))[: number.free])
        return number.place(u + number.expand(step), target)

    def equilibrate(self, u: np.ndarray, t: float, history: History) -> tuple[Trial, int]:
        """Balance at parameter t from the guess u; returns trial and iterations. Raises NotConverged."""
        return newton(_Everything(self.balance, t, history, self.settings), u, self.settings)


class _Everything:
    """The whole model as a problem for newton."""

    def __init__(self, balance: Balance, t: float, history: History, settings: Settings):
        self.balance, self.t, self.history = balance, t, history
        self.tolerance = settings.residual

    def evaluate(self, u: np.ndarray, frozen: Projection | None) -> Trial:
        model = self.balance.model
        contact = model.contact.evaluate(u, self.history, frozen)
        nodal = model.bodies_force(u, self.t) + contact.force
        norm = self.balance.norm(self.balance.residual(nodal, self.t), contact.force)
        return Trial(u, contact, nodal, norm)

    def direction(self, trial: Trial) -> np.ndarray:
        model, number = self.balance.model, self.balance.numbering
        tables = [*model.bodies_tangents(trial.u, self.t), tangent(model.contact, trial.contact)]
        stiffness = assemble(tables, number.number, number.free, number.free)
        step = np.zeros(number.count)
        step[: number.free] = -factorise(stiffness).solve(self.balance.residual(trial.out, self.t)[: number.free])
        return number.expand(step)
