"""Axisymmetric kinematics, with or without twist, as one polynomial in local gradients.

A point (R, Theta, Z) moves to r = R + u, theta = Theta + phi, z = Z + w. The local gradients are

    g = (u,R  u,Z  w,R  w,Z  u/R  [phi,R  phi,Z])

linear in the nodal unknowns (u, w[, phi]); the bracket belongs to twist. The deformation gradient
in the orthonormal cylindrical bases has the entries 1 + g0, g1, g2, 1 + g3, r/R = 1 + g4 and, with
twist, r phi,R and r phi,Z; the Green-Lagrange strain E is a polynomial in g, so its first and second
derivatives below are exact. Gauss points never lie on the axis, so u/R is safe.
Components are the last axis but lie apart in memory, each a whole array: so loops run over the points.
Strain components: see bodies.elastic. Gradients g and strains are without unit but phi,R and phi,Z [rad/mm] and what is
derived by them.
"""

from __future__ import annotations

import numpy as np


def _components(values: np.ndarray) -> np.ndarray:
    """Values (..., c) as (c, ...): np.moveaxis, whose checks cost more than small arrays do."""
    return values.transpose(-1, *range(values.ndim - 1))


def _last(parts: np.ndarray) -> np.ndarray:
    """Components (c, ...) as (..., c)."""
    return parts.transpose(*range(1, parts.ndim), 0)


def gradient_operator(value: np.ndarray, gradient: np.ndarray, radius: np.ndarray, twist: bool) -> np.ndarray:
    """Matrix (e, q, 5 or 7, 8 * unknowns) that turns element unknowns into local gradients g.

    value (q, 8) [-] are the shape functions, gradient (e, q, 2, 8) [1/mm] their slopes in (R, Z), radius (e, q) [mm].
    """
    unknowns = 3 if twist else 2
    op = np.zeros((*radius.shape, 7 if twist else 5, 8, unknowns))
    op[..., 0:2, :, 0] = gradient
    op[..., 2:4, :, 1] = gradient
    op[..., 4, :, 0] = value / radius[..., None]
    if twist:
        op[..., 5:7, :, 2] = gradient
    return op.reshape(*op.shape[:3], 8 * unknowns)


def local_gradients(local: np.ndarray, value: np.ndarray, gradient: np.ndarray, radius: np.ndarray) -> np.ndarray:
    """Local gradients g (e, q, 5 or 7) from element unknowns (e, 8, 2 or 3) [mm; rad].

    As gradient_operator, without its zeros.
    """
    e, q, _, nodes = gradient.shape
    slopes = (gradient.reshape(e, 2 * q, nodes) @ local).reshape(e, q, 2, -1)
    g = np.empty((7 if local.shape[2] == 3 else 5, e, q)).transpose(1, 2, 0)
    g[..., 0:2], g[..., 2:4] = slopes[..., 0], slopes[..., 1]
    g[..., 4] = local[..., 0] @ value.T / radius
    if local.shape[2] == 3:
        g[..., 5:7] = slopes[..., 2]
    return g


def nodal_forces(flux: np.ndarray, value: np.ndarray, gradient: np.ndarray, radius: np.ndarray) -> np.ndarray:
    """Forces (e, 8, 2 or 3) [N; N mm] on element unknowns: sum over points of flux (e, q, 5 or 7) [N mm; N mm2].

    flux is what is conjugate to g, times volume; other arguments, see gradient_operator.
    """
    e, q, _, nodes = gradient.shape
    twist = flux.shape[2] == 7
    slopes = np.empty((e, 3 if twist else 2, q, 2))
    slopes[:, 0], slopes[:, 1] = flux[..., 0:2], flux[..., 2:4]
    if twist:
        slopes[:, 2] = flux[..., 5:7]
    local = slopes.reshape(e, -1, 2 * q) @ gradient.reshape(e, 2 * q, nodes)
    local[:, 0] += flux[..., 4] / radius @ value
    return np.swapaxes(local, 1, 2)


def strain(g: np.ndarray, radius: np.ndarray) -> np.ndarray:
    """Green-Lagrange strain (..., 4 or 6) [-] from local gradients g (..., 5 or 7).

    radius (...) [mm] is the undeformed one.
    """
    g0, g1, g2, g3, g4 = _components(g[..., :5])
    parts = [
        g0 + (g0**2 + g2**2) / 2,
        g3 + (g1**2 + g3**2) / 2,
        g4 + g4**2 / 2,
        g1 + g2 + g0 * g1 + g2 * g3,
    ]
    if g.shape[-1] == 7:
        hoop = 1 + g4
        tr, tz = radius * hoop * g[..., 5], radius * hoop * g[..., 6]
        parts = [parts[0] + tr**2 / 2, parts[1] + tz**2 / 2, parts[2], parts[3] + tr * tz, hoop * tr, hoop * tz]
    return _last(np.array(parts))


def strain_slope(g: np.ndarray, radius: np.ndarray) -> np.ndarray:
    """First derivative dE/dg (..., 4 or 6, 5 or 7) [-; mm by phi,R and phi,Z] of strain."""
    twist = g.shape[-1] == 7
    b = np.zeros((*g.shape[:-1], 6 if twist else 4, g.shape[-1]))
    hoop = 1 + g[..., 4]
    b[..., 0, 0] = b[..., 3, 1] = 1 + g[..., 0]
    b[..., 1, 1] = b[..., 3, 0] = g[..., 1]
    b[..., 0, 2] = b[..., 3, 3] = g[..., 2]
    b[..., 1, 3] = b[..., 3, 2] = 1 + g[..., 3]
    b[..., 2, 4] = hoop
    if twist:
        _twist_slope(b, hoop, radius, g[..., 5], g[..., 6])
    return b


def _twist_slope(b: np.ndarray, hoop: np.ndarray, radius: np.ndarray, p: np.ndarray, q: np.ndarray) -> None:
    """Add the twist part, p = phi,R and q = phi,Z, to dE/dg in place."""
    square, mixed = radius**2 * hoop, radius**2 * hoop**2
    b[..., 0, 4], b[..., 0, 5] = square * p**2, mixed * p
    b[..., 1, 4], b[..., 1, 6] = square * q**2, mixed * q
    b[..., 3, 4], b[..., 3, 5], b[..., 3, 6] = 2 * square * p * q, mixed * q, mixed * p
    b[..., 4, 4], b[..., 4, 5] = 2 * radius * hoop * p, radius * hoop**2
    b[..., 5, 4], b[..., 5, 6] = 2 * radius * hoop * q, radius * hoop**2


def flux(g: np.ndarray, radius: np.ndarray, stress: np.ndarray) -> np.ndarray:
    """First derivative of E contracted with a stress (..., 4 or 6) [MPa]: S : dE/dg (..., 5 or 7) [MPa; MPa mm]."""
    if g.shape[-1] == 7:
        return np.einsum("...cm,...c->...m", strain_slope(g, radius), stress)
    g0, g1, g2, g3, g4 = _components(g)
    rr, zz, hoop, rz = _components(stress)
    result = _last(np.empty((5, *g.shape[:-1])))
    result[..., 0] = (1 + g0) * rr + g1 * rz
    result[..., 1] = g1 * zz + (1 + g0) * rz
    result[..., 2] = g2 * rr + (1 + g3) * rz
    result[..., 3] = (1 + g3) * zz + g2 * rz
    result[..., 4] = (1 + g4) * hoop
    return result


def strain_curvature(g: np.ndarray, radius: np.ndarray, stress: np.ndarray) -> np.ndarray:
    """Second derivative of E contracted with a stress: S : d2E/dg2, (..., 5 or 7, same) [MPa; MPa mm, MPa mm2].

    stress (..., 4 or 6) [MPa].
    """
    size = g.shape[-1]
    h = np.zeros((*g.shape, size))
    h[..., 0, 0] = h[..., 2, 2] = stress[..., 0]
    h[..., 1, 1] = h[..., 3, 3] = stress[..., 1]
    h[..., 4, 4] = stress[..., 2]
    for i, j in ((0, 1), (2, 3)):
        h[..., i, j] = h[..., j, i] = stress[..., 3]
    if size == 7:
        _twist_curvature(h, 1 + g[..., 4], radius, g[..., 5], g[..., 6], _components(stress))
    return h


def _twist_curvature(h, hoop, radius, p, q, s) -> None:
    """Add the twist part of S : d2E/dg2 in place; s are the six stress components."""
    square = radius**2
    h[..., 4, 4] += square * (s[0] * p**2 + s[1] * q**2 + 2 * s[3] * p * q) + 2 * radius * (s[4] * p + s[5] * q)
    h[..., 4, 5] = 2 * square * hoop * (s[0] * p + s[3] * q) + 2 * radius * hoop * s[4]
    h[..., 4, 6] = 2 * square * hoop * (s[1] * q + s[3] * p) + 2 * radius * hoop * s[5]
    h[..., 5, 5], h[..., 6, 6] = square * hoop**2 * s[0], square * hoop**2 * s[1]
    h[..., 5, 6] = square * hoop**2 * s[3]
    for i, j in ((4, 5), (4, 6), (5, 6)):
        h[..., j, i] = h[..., i, j]


def deformation_gradient(g: np.ndarray, radius: np.ndarray) -> dict[tuple[int, int], np.ndarray]:
    """Entries {(row, column): (...)} [-] of F that can differ from 0, in the orthonormal bases (r, theta, z) by (R, Theta, Z).

    g (..., 5 or 7) are local gradients, radius (...) [mm] is the undeformed one.
    """
    hoop = 1 + g[..., 4]
    f = {(0, 0): 1 + g[..., 0], (0, 2): g[..., 1], (1, 1): hoop, (2, 0): g[..., 2], (2, 2): 1 + g[..., 3]}
    if g.shape[-1] == 7:
        f[1, 0], f[1, 2] = radius * hoop * g[..., 5], radius * hoop * g[..., 6]
    return f


def volume_ratio(f: dict[tuple[int, int], np.ndarray]) -> np.ndarray:
    """Determinant (...) [-] of a deformation gradient, see deformation_gradient."""
    return f[1, 1] * (f[0, 0] * f[2, 2] - f[0, 2] * f[2, 0])
