"""External loads: follower pressure on an edge."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from colletfea.fea.elements import shapes
from colletfea.fea.elements.mesh import Mesh


@dataclass(frozen=True)
class Pressure:
    """True pressure [MPa] on an edge, always normal to its current surface, > 0 pushes inward."""

    edge: str
    value: Callable[[float], float]

    def evaluate(self, mesh: Mesh, u: np.ndarray, unknowns: int, t: float) -> tuple[np.ndarray, ...]:
        """Nodal force (size,) [N], and unknown numbers (k, d) with -d(force)/du (k, d, d) [N/mm].

        u (size,) [mm; rad] are the nodal unknowns, t is the stage parameter.
        """
        nodes = mesh.edges[self.edge]
        xi, weight = shapes.gauss_line(3)
        shape, slope, _ = shapes.line3(xi)
        x = (mesh.nodes + u.reshape(-1, unknowns)[:, :2])[nodes]
        radius = np.einsum("qa,ka->kq", shape, x[:, :, 0])
        along = np.einsum("qa,kai->kqi", slope, x)
        inward = np.stack([-along[..., 1], along[..., 0]], axis=-1)
        scale = 2 * np.pi * self.value(t) * weight
        local = np.einsum("q,qa,kq,kqi->kai", scale, shape, radius, inward)
        dofs = nodes[:, :, None] * unknowns + np.arange(2)
        force = np.bincount(dofs.ravel(), weights=local.ravel(), minlength=u.size)
        turn = np.array([[0.0, -1.0], [1.0, 0.0]])
        axis = np.array([1.0, 0.0])
        slopes = np.einsum("q,qa,qb,j,kqi->kaibj", scale, shape, shape, axis, inward)
        slopes += np.einsum("q,qa,kq,qb,ij->kaibj", scale, shape, radius, slope, turn)
        return force, dofs.reshape(len(nodes), 6), -slopes.reshape(len(nodes), 6, 6)
