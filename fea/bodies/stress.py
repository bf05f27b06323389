"""Stresses at integration points and nodes, from accepted displacements."""

from __future__ import annotations

import numpy as np

from colletfea.fea.bodies.law import Flow
from colletfea.fea.bodies.solid import Solid
from colletfea.fea.elements import kinematics, shapes
from colletfea.fea.elements.mesh import Mesh

#: rows and columns, in the bases (r, theta, z), of the stress components of a law, see bodies.elastic
PLACES = ((0, 0), (2, 2), (1, 1), (0, 2), (0, 1), (1, 2))


def cauchy(solid: Solid, u: np.ndarray, flow: Flow | None = None, free: np.ndarray | None = None) -> np.ndarray:
    """Cauchy stress (e, q, 3, 3) [MPa] in the bases (r, theta, z) at integration points, for u (size,) [mm; rad].

    flow and free strain are those of the same state, None where no body may flow and all is cold. Raises ValueError where the
    flow is missing.
    """
    f = kinematics.deformation_gradient(solid.gradients(u), solid.radius)
    s = np.moveaxis(solid.stress(u, flow, free), -1, 0)
    second = {(i, j): s[k] for k, (i, j) in enumerate(PLACES[: len(s)])}
    second |= {(j, i): values for (i, j), values in second.items()}
    volume = kinematics.volume_ratio(f)
    found = np.moveaxis(np.zeros((3, 3, *solid.radius.shape)), (0, 1), (2, 3))  # components apart, as in kinematics
    for i, j in PLACES[: len(s)]:
        terms = [f[i, k] * second[k, m] * f[j, m] for k, m in second if (i, k) in f and (j, m) in f]
        found[..., i, j] = found[..., j, i] = sum(terms) / volume
    return found


def von_mises(stress: np.ndarray) -> np.ndarray:
    """Equivalent stress (...) [MPa] of symmetric stress tensors (..., 3, 3)."""
    r, t, z = (stress[..., i, i] for i in range(3))
    shear = stress[..., 0, 1] ** 2 + stress[..., 1, 2] ** 2 + stress[..., 0, 2] ** 2
    return np.sqrt(((r - t) ** 2 + (t - z) ** 2 + (z - r) ** 2) / 2 + 3 * shear)


def to_nodes(solid: Solid, mesh: Mesh, values: np.ndarray) -> np.ndarray:
    """Values (e, q) carried to element nodes (e, 8), averaged over the elements of the same body.

    Bilinear extrapolation from the outermost integration points; never across bodies, which may touch.
    """
    reach = np.max(solid.local)
    corner = np.flatnonzero(np.all(np.abs(solid.local) > 0.99 * reach, axis=1))
    weight = np.prod(1 + np.sign(solid.local[corner]) * (shapes.NODES / reach)[:, None], axis=2) / 4
    at_nodes = values[:, corner] @ weight.T
    for part in solid.slices.values():
        nodes = solid.nodes_of[part]
        total = np.bincount(nodes.ravel(), weights=at_nodes[part].ravel(), minlength=len(mesh.nodes))
        count = np.bincount(nodes.ravel(), minlength=len(mesh.nodes))
        at_nodes[part] = (total / np.maximum(count, 1))[nodes]
    return at_nodes
