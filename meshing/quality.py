"""How well shaped the elements of a mesh are."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from colletfea.fea.elements.mesh import Mesh
from colletfea.fea.elements.shapes import CORNERS, gauss_quad, quad8


@dataclass(frozen=True)
class Quality:
    """Shape and count of a mesh.

    `smallest_scaled_jacobian` [-]: sine of the angle between an element's own axes, the smallest at
    any corner or 3x3 Gauss point; 1 is a rectangle, <= 0 an inverted element.
    `largest_aspect_ratio` [-]: longer over shorter mid line of an element, >= 1.
    `unknowns`: two displacements a node.
    """

    smallest_scaled_jacobian: float
    largest_aspect_ratio: float
    nodes: int
    elements: int
    unknowns: int


def quality(mesh: Mesh) -> Quality:
    """Quality over all bodies of a mesh."""
    x = mesh.nodes[np.concatenate(list(mesh.cells.values()))]
    return Quality(
        smallest_scaled_jacobian=float(scaled_jacobians(x).min()),
        largest_aspect_ratio=float(aspect_ratios(x).max()),
        nodes=len(mesh.nodes),
        elements=len(x),
        unknowns=2 * len(mesh.nodes),
    )


def scaled_jacobians(x: np.ndarray) -> np.ndarray:
    """Smallest scaled jacobian (e,) [-] of elements x (e, 8, 2) [mm], at corners and 3x3 Gauss points."""
    axes = _axes(x, np.vstack([gauss_quad(3)[0], CORNERS]))
    lengths = np.linalg.norm(axes, axis=-1)
    return (np.linalg.det(axes) / (lengths[..., 0] * lengths[..., 1])).min(axis=1)


def jacobians(x: np.ndarray) -> np.ndarray:
    """Jacobian determinants (e, 9) [mm2] at the 3x3 Gauss points of elements x (e, 8, 2) [mm]."""
    return np.linalg.det(_axes(x, gauss_quad(3)[0]))


def aspect_ratios(x: np.ndarray) -> np.ndarray:
    """Longer over shorter mid line (e,) [-] of elements x (e, 8, 2) [mm]."""
    lines = np.stack([x[:, 6] - x[:, 4], x[:, 5] - x[:, 7]], axis=1)
    lengths = np.linalg.norm(lines, axis=-1)
    return lengths.max(axis=1) / lengths.min(axis=1)


def _axes(x: np.ndarray, points: np.ndarray) -> np.ndarray:
    """Local axes dx/dxi, dx/deta (e, q, 2, 2), one a row, of elements x (e, 8, 2) at points (q, 2)."""
    return np.einsum("qia,eaj->eqij", quad8(points)[1], x, optimize=True)
