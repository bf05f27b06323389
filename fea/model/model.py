"""A model: mesh, bodies, contact pairs and loads."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from colletfea.fea.bodies.law import Flow
from colletfea.fea.bodies.solid import Body, Solid
from colletfea.fea.contact.contact import Contact
from colletfea.fea.contact.pair import Pair
from colletfea.fea.elements.mesh import Mesh


@dataclass(frozen=True)
class Model:
    """Everything that does not change during a run.

    unknowns a node are 2, (u, w) [mm], or 3 with twist, (u, w, phi) [mm; rad].
    """

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
        """Assemble a model; order, see shapes.cell_rule; contact_order Gauss points a contact edge.

        Raises MeshError where the mesh lacks an edge of a pair.
        """
        mesh.require_edges(*(edge for p in pairs for edge in (p.follower, p.leader)))
        solid = Solid(mesh, bodies, twist, order)
        return cls(mesh, solid, Contact(mesh, tuple(pairs), twist, contact_order), tuple(loads))

    @property
    def unknowns(self) -> int:
        """Unknowns a node, 2 or 3."""
        return self.solid.unknowns

    @property
    def size(self) -> int:
        """Nodal unknowns in all, prescribed ones included."""
        return self.solid.size

    def external(self, u: np.ndarray, t: float) -> np.ndarray:
        """Nodal forces (size,) [N; N mm] of the loads at u (size,) [mm; rad] and parameter t."""
        total = np.zeros(self.size)
        for load in self.loads:
            total += load.evaluate(self.mesh, u, self.unknowns, t)[0]
        return total

    def bodies_force(self, u: np.ndarray, t: float, flow: Flow | None = None) -> np.ndarray:
        """Internal minus external nodal force (size,) [N; N mm] at u (size,) [mm; rad] and parameter t.

        flow is that of the last accepted state, see Solid.
        """
        inner = self.solid.force(u, flow)
        return inner - self.external(u, t) if self.loads else inner

    def bodies_tangents(self, u: np.ndarray, t: float, flow: Flow | None = None) -> list[tuple[np.ndarray, np.ndarray]]:
        """Tables of unknown numbers (k, d) and dense tangents (k, d, d) of elements and loads, at u (size,) [mm; rad].

        Tangents are in [N/mm; N, N mm for the angle]; parameter t and flow as for bodies_force.
        """
        loads = [load.evaluate(self.mesh, u, self.unknowns, t)[1:] for load in self.loads]
        return [(self.solid.dofs, self.solid.tangents(u, flow)), *loads]
