"""A model: mesh, bodies, contact pairs and loads, and its balance under a set of drives."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from colletfea.fea.contact.contact import Contact, Pair
from colletfea.fea.model.drives import Drive, Numbering
from colletfea.fea.elements.mesh import Mesh
from colletfea.fea.bodies.solid import Body, Solid


@dataclass(frozen=True)
class Model:
    """Everything that does not change during a run. unknowns is 2 (u, w) or 3 with twist (u, w, phi)."""

    mesh: Mesh
    solid: Solid
    contact: Contact
    loads: tuple = ()

    @classmethod
    def build(
        cls,
        mesh: Mesh,
        bodies: Mapping[str, Body],
        pairs: Sequence[Pair] = (),
        loads: Sequence = (),
        twist: bool = False,
        order: int | None = None,
        contact_order: int = 5,
    ) -> Model:
        """Assemble a model; order, see shapes.cell_rule; contact_order Gauss points a contact edge."""
        mesh.require_edges(*(edge for p in pairs for edge in (p.follower, p.leader)))
        solid = Solid(mesh, bodies, twist, order)
        return cls(mesh, solid, Contact(mesh, tuple(pairs), twist, contact_order), tuple(loads))

    @property
    def unknowns(self) -> int:
        """Unknowns a node."""
        return self.solid.unknowns

    @property
    def size(self) -> int:
        """Nodal unknowns in all, prescribed ones included."""
        return self.solid.size

    def external(self, u: np.ndarray, t: float) -> np.ndarray:
        """Nodal forces (size,) of the loads."""
        total = np.zeros(self.size)
        for load in self.loads:
            total += load.evaluate(self.mesh, u, self.unknowns, t)[0]
        return total

    def bodies_force(self, u: np.ndarray, t: float) -> np.ndarray:
        """Internal minus external nodal force (size,)."""
        inner = self.solid.force(u)
        return inner - self.external(u, t) if self.loads else inner

    def bodies_tangents(self, u: np.ndarray, t: float) -> list[tuple[np.ndarray, np.ndarray]]:
        """Tables of unknown numbers (k, d) and dense tangents (k, d, d) of elements and loads."""
        loads = [load.evaluate(self.mesh, u, self.unknowns, t)[1:] for load in self.loads]
        return [(self.solid.dofs, self.solid.tangents(u)), *loads]


#: rounding of coordinates, over the norm of as many numbers of their size, which contact points turn into forces, and of
#: displacements, which elements do: times the largest stiffness of either it stays unbalanced. On nine models of 4 600 to
#: 27 000 unknowns 0.02 to 0.5 of that is left at last
_ROUNDING = 1e-16, 1.3e-16
#: smallest force scale: the largest element stiffness times these shares of the model's length and of what moved; of the
#: second, rounding of displacements is less than a billionth, which is what solvers balance to
_FLOOR = 3e-10, 3e-7


@dataclass(frozen=True)
class Balance:
    """Equilibrium of a model under drives: residuals on independent unknowns and their scale."""

    model: Model
    numbering: Numbering
    element: float  # [N/mm] largest stiffness of an element, unstressed
    point: float  # [N/mm] largest stiffness of a contact point

    @classmethod
    def of(cls, model: Model, drives: Sequence[Drive]) -> Balance:
        """Number the unknowns for these drives."""
        numbering = Numbering(model.mesh, model.unknowns, drives)
        radial = model.solid.rest_tangents[:, :: model.unknowns, :: model.unknowns]
        element = float(np.max(np.diagonal(radial, axis1=1, axis2=2)))
        return cls(model, numbering, element, model.contact.stiffest())

    def residual(self, nodal: np.ndarray, t: float) -> np.ndarray:
        """Out-of-balance force (count,) from nodal forces; on prescribed unknowns it is the reaction."""
        return self.numbering.reduce(nodal) - self.numbering.load(t)

    def scale(self, residual: np.ndarray, contact: np.ndarray, u: np.ndarray, t: float) -> float:
        """Force scale [N]: the largest of contact, reaction and load norms."""
        n = self.numbering
        loads = n.load(t) + (n.reduce(self.model.external(u, t)) if self.model.loads else 0.0)
        return max(
            self.floor(u),
            float(np.linalg.norm(residual[n.free :] * n.weight[n.free :])),
            float(np.linalg.norm(n.reduce(contact) * n.weight)),
            float(np.linalg.norm(loads * n.weight)),
        )

    def floor(self, u: np.ndarray) -> float:
        """Smallest force scale [N]: bodies that only move, without any force, balance within round-off.

        A body that flies off must not raise it without bound, hence the limit on what u adds.
        """
        return self.element * max(_FLOOR[0] * self.numbering.length, _FLOOR[1] * self._moved(u))

    def noise(self, u: np.ndarray, scale: float) -> float:
        """What rounding alone may leave out of balance at u (size,), relative to a force scale [N]."""
        place = self.numbering.length * np.sqrt(self.model.size)
        return (self.point * _ROUNDING[0] * place + self.element * _ROUNDING[1] * self._moved(u)) / scale

    def _moved(self, u: np.ndarray) -> float:
        n = self.numbering
        return min(float(np.linalg.norm(n.contract(u) / n.weight)), 100 * n.length)

    def norm(self, residual: np.ndarray, contact: np.ndarray, u: np.ndarray, t: float) -> float:
        """What is out of balance on free unknowns, relative to the force scale."""
        return self.out(residual) / self.scale(residual, contact, u, t)

    def out(self, residual: np.ndarray) -> float:
        """What is out of balance on free unknowns [N]."""
        n = self.numbering
        return float(np.linalg.norm(residual[: n.free] * n.weight[: n.free]))
