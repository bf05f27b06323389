"""A model: mesh, bodies, contact pairs, loads and temperatures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from colletfea.fea.bodies.law import Flow
from colletfea.fea.bodies.solid import Body, Solid
from colletfea.fea.bodies.warmth import Warmth
from colletfea.fea.contact.contact import Contact
from colletfea.fea.contact.pair import Pair
from colletfea.fea.elements.mesh import Mesh


@dataclass(frozen=True)
class Model:
    """Everything that does not change during a run, but for springs of contact that give way for a while, see Contact.softer.

    unknowns a node are 2, (u, w) [mm], or 3 with twist, (u, w, phi) [mm; rad]. Loads on the volume and temperatures are made
    from the solid, so they come in by `under`.
    """

    mesh: Mesh
    solid: Solid
    contact: Contact
    loads: tuple = ()
    warmth: Warmth | None = None

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

    def under(self, loads: Sequence = (), warmth: Warmth | None = None) -> Model:
        """The same model with these loads on top of its own, and with these temperatures."""
        return replace(self, loads=(*self.loads, *loads), warmth=warmth)

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

    def free(self, t: float) -> np.ndarray | None:
        """Strain (e, q) [-] that temperature alone would make at parameter t, None where all is cold."""
        return None if self.warmth is None else self.warmth.strain(t)

    def bodies_force(self, u: np.ndarray, t: float, flow: Flow | None = None) -> np.ndarray:
        """Internal minus external nodal force (size,) [N; N mm] at u (size,) [mm; rad] and parameter t.

        flow is that of the last accepted state, see Solid.
        """
        inner = self.solid.force(u, flow, self.free(t))
        return inner - self.external(u, t) if self.loads else inner

    def gained(self, u: np.ndarray, t: float, target: float, flow: Flow | None = None) -> np.ndarray | None:
        """Nodal forces (size,) [N; N mm] that loads and temperatures gain from parameter t to target while u (size,) stays.

        None where the model has none.
        """
        if not self.loads and self.warmth is None:
            return None
        return self.bodies_force(u, t, flow) - self.bodies_force(u, target, flow)

    def bodies_tangents(self, u: np.ndarray, t: float, flow: Flow | None = None) -> list[tuple[np.ndarray, np.ndarray]]:
        """Tables of unknown numbers (k, d) and dense tangents (k, d, d) of elements and loads, at u (size,) [mm; rad].

        Tangents are in [N/mm; N, N mm for the angle]; parameter t and flow as for bodies_force.
        """
        loads = [load.evaluate(self.mesh, u, self.unknowns, t)[1:] for load in self.loads]
        return [(self.solid.dofs, self.solid.tangents(u, flow, self.free(t))), *loads]
