"""Stresses at integration points and nodes, from accepted displacements."""

from __future__ import annotations

import numpy as np

from colletfea.fea.bodies.law import Flow
from colletfea.fea.bodies.solid import Solid
from colletfea.fea.elements import kinematics, shapes
from colletfea.fea.elements.mesh import Mesh


def cauchy(solid: Solid, u: np.ndarray, flow: Flow | None = None) -> np.ndarray:
    """Cauchy stress (e, q, 3, 3) [MPa] in the bases (r, theta, z) at integration points, for u (size,) [mm; rad].

    flow is that of the same state, None where no body may flow. Raises ValueError where it is missing.
    """
    g = solid.gradients(u)
    s = solid.stress(u, flow)
    full = np.zeros((*g.shape[:2], 3, 3))
    full[..., 0, 0], full[..., 2, 2], full[..., 1, 1] = s[..., 0], s[..., 1], s[..., 2]
    full[..., 0, 2] = full[..., 2, 0] = s[..., 3]
    if s.shape[-1] == 6:
        full[..., 0, 1] = full[..., 1, 0] = s[..., 4]
        full[..., 1, 2] = full[..., 2, 1] = s[..., 5]
    f = kinematics.deformation_gradient(g, solid.radius)
    return f @ full @ np.swapaxes(f, -1, -2) / np.linalg.det(f)[..., None, None]


def von_mises(stress: np.ndarray) -> np.ndarray:
    """Equivalent stress (...) [MPa] of stress tensors (..., 3, 3)."""
    deviator = stress - np.trace(stress, axis1=-2, axis2=-1)[..., None, None] / 3 * np.eye(3)
    return np.sqrt(1.5 * np.sum(deviator**2, axis=(-2, -1)))


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
