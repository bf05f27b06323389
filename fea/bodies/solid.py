"""Deformable bodies: internal force, tangent and stored energy of all elements at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from colletfea.fea.bodies.elastic import Elastic
from colletfea.fea.bodies.law import Flow, FlowLaw, Response
from colletfea.fea.elements import kinematics, shapes
from colletfea.fea.elements.mesh import Field, Mesh


@dataclass(frozen=True)
class Body:
    """What one named body of the mesh is made of.

    hoop_ratio and fill [-], 0 to 1, are functions of (R, Z) [mm], arrays in, array out: the hoop softening eta
    of the law and the fraction of the circumference that is there (slits); None means 1.
    """

    law: Elastic | FlowLaw
    hoop_ratio: Field | None = None
    fill: Field | None = None


class Solid:
    """The elements of a mesh with their laws, ready for vectorised evaluation.

    Attributes: nodes_of (e, 8) node numbers; dofs (e, 8 * unknowns) unknown numbers; local (q, 2) [-] and weight (q,) [-]
    of the integration points, see shapes.cell_rule; points (e, q, 2) their reference (R, Z) [mm]; volume (e, q) [mm3],
    whole ring times fill; moduli (e, q, 4 or 6, same) [MPa]; slices {body: stretch of the elements}; yielding {body: law}
    those that may flow. Where there are any, evaluations need the flow of the last accepted state, else None; they raise
    ValueError without it. free (e, q) [-] is the strain that temperature alone would make, see Warmth; None where all is cold.
    """

    def __init__(self, mesh: Mesh, bodies: Mapping[str, Body], twist: bool = False, order: int | None = None):
        self.unknowns = 3 if twist else 2
        self.size = len(mesh.nodes) * self.unknowns
        self.nodes_of = np.concatenate([mesh.cells[name] for name in bodies])
        ends = np.cumsum([0] + [len(mesh.cells[name]) for name in bodies])
        self.slices = {name: slice(a, b) for name, a, b in zip(bodies, ends[:-1], ends[1:])}
        self.dofs = (self.nodes_of[:, :, None] * self.unknowns + np.arange(self.unknowns)).reshape(len(self.nodes_of), -1)
        self.yielding = {name: body.law for name, body in bodies.items() if hasattr(body.law, "respond")}
        self._integration_points(mesh.nodes[self.nodes_of], twist, order)
        self._fill_laws(bodies, 6 if twist else 4)
        self._known: tuple[np.ndarray, np.ndarray] | None = None

    def _integration_points(self, corners: np.ndarray, twist: bool, order: int | None) -> None:
        self.local, self.weight = shapes.cell_rule(order)
        value, slope = shapes.quad8(self.local)
        self.value = value
        jacobian = np.einsum("qia,eak->eqik", slope, corners)
        self.points = np.einsum("qa,eak->eqk", value, corners)
        self.gradient = np.linalg.solve(jacobian, np.broadcast_to(slope, (len(corners), *slope.shape)))
        self.radius = self.points[..., 0]
        self.volume = 2 * np.pi * self.radius * np.linalg.det(jacobian) * self.weight
        self.operator = kinematics.gradient_operator(value, self.gradient, self.radius, twist)

    def _fill_laws(self, bodies: Mapping[str, Body], components: int) -> None:
        shape = self.radius.shape
        self.moduli = np.moveaxis(np.empty((components, components, *shape)), (0, 1), (2, 3))
        for name, body in bodies.items():
            part = self.slices[name]
            r, z = self.points[part, :, 0], self.points[part, :, 1]
            eta = np.ones(r.shape) if body.hoop_ratio is None else np.broadcast_to(body.hoop_ratio(r, z), r.shape)
            self.moduli[part] = body.law.moduli(eta)[..., :components, :components]
            if body.fill is not None:
                self.volume[part] *= body.fill(r, z)

    def gradients(self, u: np.ndarray) -> np.ndarray:
        """Local gradients g (e, q, 5 or 7) [-; rad/mm] of nodal unknowns u (size,) [mm; rad], see kinematics.

        Kept for the u last asked for, whose forces, strains and stresses are asked for one by one; so read-only.
        """
        if self._known is None or not np.array_equal(self._known[0], u):
            local = u[self.dofs].reshape(*self.nodes_of.shape, self.unknowns)
            self._known = u.copy(), kinematics.local_gradients(local, self.value, self.gradient, self.radius)
            self._known[1].flags.writeable = False
        return self._known[1]

    def start(self) -> Flow | None:
        """Flow of bodies at rest, None where no body may flow."""
        return Flow.none(self.radius.shape, self.moduli.shape[-1]) if self.yielding else None

    def stress(self, u: np.ndarray, flow: Flow | None = None, free: np.ndarray | None = None) -> np.ndarray:
        """Second Piola-Kirchhoff stress (e, q, 4 or 6) [MPa] at nodal unknowns u (size,) [mm; rad]."""
        return self._stress(self._strain(self.gradients(u), free), flow)[0]

    def _strain(self, g: np.ndarray, free: np.ndarray | None) -> np.ndarray:
        """Green-Lagrange strain (e, q, 4 or 6) [-] of local gradients g, without the part that temperature alone would make."""
        strain = kinematics.strain(g, self.radius)
        if free is not None:
            strain[..., :3] -= free[..., None]
        return strain

    def _stress(self, strain: np.ndarray, flow: Flow | None) -> tuple[np.ndarray, dict[str, Response]]:
        """Stress (e, q, 4 or 6) [MPa] at a strain (same) [-] without free strain, and what the bodies that may flow answered."""
        stress, answers = np.einsum("eqij,eqj->eqi", self.moduli, strain), {}
        if self.yielding and flow is None:
            raise ValueError("bodies that may flow are evaluated with the flow of the last accepted state")
        for name, law in self.yielding.items():
            part = self.slices[name]
            answers[name] = law.respond(strain[part], self.moduli[part], flow.strain[part], flow.alpha[part])
            stress[part] = answers[name].stress
        return stress, answers

    def energy(self, u: np.ndarray, flow: Flow | None = None, free: np.ndarray | None = None) -> float:
        """Stored elastic energy [N mm], whole ring, at nodal unknowns u (size,) [mm; rad] of a state with this flow."""
        strain = self._strain(self.gradients(u), free)
        stress = self._stress(strain, flow)[0]
        elastic = strain if flow is None else strain - flow.strain
        return float(np.einsum("eqi,eqi,eq->", elastic, stress, self.volume) / 2)

    def least_strain(self, u: np.ndarray) -> float:
        """Smallest principal Green-Lagrange strain [-], < 0 is compression, at u (size,) [mm; rad]; shear out of the meridian left out."""
        rr, zz, tt, rz = np.moveaxis(kinematics.strain(self.gradients(u), self.radius)[..., :4], -1, 0)
        return float(np.minimum((rr + zz) / 2 - np.hypot(rr - zz, rz) / 2, tt).min())

    def advance(self, u: np.ndarray, flow: Flow | None, free: np.ndarray | None = None) -> Flow | None:
        """Flow of the state accepted at u (size,) [mm; rad], from that of the accepted state before it."""
        if flow is None:
            return None
        stress, answers = self._stress(self._strain(self.gradients(u), free), flow)
        plastic, alpha = flow.strain.copy(), flow.alpha.copy()
        for name, answer in answers.items():
            plastic[self.slices[name]], alpha[self.slices[name]] = answer.strain, answer.alpha
        work = np.sum((flow.stress + stress) / 2 * (plastic - flow.strain), axis=-1)
        return Flow(plastic, alpha, flow.work + work, stress)

    def force(self, u: np.ndarray, flow: Flow | None = None, free: np.ndarray | None = None) -> np.ndarray:
        """Internal force (size,) [N; N mm for the angle], whole ring, at nodal unknowns u (size,) [mm; rad]."""
        flux = kinematics.flux(self.gradients(u), self.radius, self.stress(u, flow, free)) * self.volume[..., None]
        local = kinematics.nodal_forces(flux, self.value, self.gradient, self.radius)
        return np.bincount(self.dofs.ravel(), weights=local.ravel(), minlength=self.size)

    @cached_property
    def rest_tangents(self) -> np.ndarray:
        """Element tangents (e, n, n) [N/mm; N, N mm for the angle] of the unstressed bodies; kept, so read-only."""
        tangents = self.tangents(np.zeros(self.size), self.start())
        tangents.flags.writeable = False
        return tangents

    def tangents(self, u: np.ndarray, flow: Flow | None = None, free: np.ndarray | None = None) -> np.ndarray:
        """Element tangents (e, n, n) [N/mm; N, N mm for the angle] at u (size,), n = 8 * unknowns, symmetric."""
        g = self.gradients(u)
        slope = kinematics.strain_slope(g, self.radius)
        stress, answers = self._stress(self._strain(g, free), flow)
        moduli = self.moduli.copy() if answers else self.moduli
        for name, answer in answers.items():
            moduli[self.slices[name]] = answer.tangent()
        core = np.swapaxes(slope, -1, -2) @ moduli @ slope
        core += kinematics.strain_curvature(g, self.radius, stress)
        core *= self.volume[..., None, None]
        e, q, m, n = self.operator.shape
        weighted = (core @ self.operator).reshape(e, q * m, n)
        return np.swapaxes(self.operator.reshape(e, q * m, n), -1, -2) @ weighted
