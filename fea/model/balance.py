"""Equilibrium of a model under drives: what is out of balance, and against which scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

import numpy as np

from colletfea.fea.contact.pair import Evaluation
from colletfea.fea.model.drives import Drive, Numbering
from colletfea.fea.model.model import Model

#: shares of coordinates and of displacements that rounding loses, see Balance.noise. Nearly incompressible parts, whose stiffness
#: is all bulk modulus, stop at 0.6 to 0.7 of that noise (Poisson's ratio 0.49 to 0.4999, 2 300 to 7 900 unknowns)
_OF_COORDINATES, _OF_DISPLACEMENTS = 1e-16, 1.3e-16
#: smallest force scale: the largest element stiffness times these shares of the model's length and of what moved; of the
#: second, rounding of displacements is less than a billionth, which is what solvers balance to
_FLOOR = 3e-10, 3e-7


@dataclass(frozen=True)
class Balance:
    """Equilibrium of a model under drives: residuals (count,) [N; N mm] on independent unknowns and their scale [N]."""

    model: Model
    numbering: Numbering
    elements: np.ndarray  # (e,) [N/mm] largest stiffness of each element, radial or axial, unstressed
    element: float  # [N/mm] largest radial stiffness of all elements
    point: float  # [N/mm] largest stiffness of a contact point

    @classmethod
    def of(cls, model: Model, drives: Sequence[Drive]) -> Balance:
        """The balance of a model under these drives. Raises ValueError where two of them take the same unknown."""
        numbering = Numbering(model.mesh, model.unknowns, drives)
        stiffness = np.diagonal(model.solid.rest_tangents, axis1=1, axis2=2)
        radial, axial = (np.max(stiffness[:, k :: model.unknowns], axis=1) for k in (0, 1))
        return cls(model, numbering, np.maximum(radial, axial), float(np.max(radial)), model.contact.stiffest())

    def residual(self, nodal: np.ndarray, t: float) -> np.ndarray:
        """Out-of-balance force (count,) [N; N mm] from nodal forces (size,) [N; N mm]; the reaction on prescribed unknowns."""
        return self.numbering.reduce(nodal) - self.numbering.load(t)

    def scale(self, residual: np.ndarray, contact: np.ndarray, u: np.ndarray, t: float) -> float:
        """Force scale [N]: the largest of contact, reaction and load norms, at least floor.

        residual (count,) and contact (size,) [N; N mm], u (size,) [mm; rad], parameter t.
        """
        n = self.numbering
        loads = n.load(t) + (n.reduce(self.model.external(u, t)) if self.model.loads else 0.0)
        return max(
            self.floor(u),
            float(np.linalg.norm(residual[n.free :] * n.weight[n.free :])),
            float(np.linalg.norm(n.reduce(contact) * n.weight)),
            float(np.linalg.norm(loads * n.weight)),
        )

    def floor(self, u: np.ndarray) -> float:
        """Smallest force scale [N] at u (size,) [mm; rad]: for bodies that only move.

        Without any force they balance within round-off of this scale.

        A body that flies off must not raise it without bound, hence the limit on what u adds.
        """
        return self.element * max(_FLOOR[0] * self.numbering.length, _FLOOR[1] * self._moved(u))

    def noise(self, u: np.ndarray, scale: float) -> float:
        """What rounding alone may leave out of balance at u (size,) [mm; rad], over a force scale [N]: a norm [-].

        Rounding of coordinates, as many as there are unknowns and as large as the model, times the stiffest contact
        point, plus rounding of each element's displacements times its own stiffness: an element feels those of all its nodes.
        """
        coordinates = self.numbering.length * np.sqrt(self.model.size)
        stiffened = float(np.linalg.norm(self.elements * self._element_moved(u)))
        return (self.point * _OF_COORDINATES * coordinates + _OF_DISPLACEMENTS * stiffened) / scale

    def _element_moved(self, u: np.ndarray) -> np.ndarray:
        """Norm (e,) [mm] of each element's displacements, turns counted at the model's length; bounded as _moved is."""
        local = u[self.model.solid.dofs]
        if self.model.unknowns == 3:
            local[:, 2::3] *= self.numbering.length
        return np.minimum(np.sqrt(np.einsum("ed,ed->e", local, local)), 100 * self.numbering.length)

    def _moved(self, u: np.ndarray) -> float:
        n = self.numbering
        return min(float(np.linalg.norm(n.contract(u) / n.weight)), 100 * n.length)

    def imbalance(self, residual: np.ndarray, joined: Evaluation | None) -> float:
        """Norm [N] of what is out of balance on free unknowns; moments count over the model's length.

        joined: contact whose multipliers are unknowns: what pressures miss of them is out of balance, too. None: they are none.
        """
        n = self.numbering
        return hypot(np.linalg.norm(residual[: n.free] * n.weight[: n.free]), 0.0 if joined is None else self.model.contact.unmet(joined))
