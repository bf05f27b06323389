"""Grids that only tests need: on four corners, and distorted."""

from dataclasses import replace

import numpy as np

from colletfea.fea.elements.grids import mapped
from colletfea.fea.elements.shapes import SIDES


def quadrilateral(corners, across, along):
    """Grid on four corners (4, 2), counter-clockwise from bottom inside; stations from 0 to 1."""
    a, b, c, d = np.asarray(corners, dtype=float)[:, :, None]
    return mapped(
        lambda s, t: (1 - s) * (1 - t) * a + s * (1 - t) * b + s * t * c + (1 - s) * t * d, across, along
    )


def distorted(grid, amount, seed=0):
    """The grid with its interior corner nodes moved at random by amount times the shortest side next
    to them; every mid node is put back half way, so sides are straight."""
    nodes = grid.nodes.copy()
    sides = grid.cells[:, SIDES].reshape(-1, 3)
    corners = np.setdiff1d(grid.cells[:, :4], np.concatenate(list(grid.sides.values())))
    length = np.full(len(nodes), np.inf)
    span = np.linalg.norm(nodes[sides[:, 1]] - nodes[sides[:, 0]], axis=1)
    for end in (0, 1):
        np.minimum.at(length, sides[:, end], span)
    shift = np.random.default_rng(seed).uniform(-1, 1, (len(corners), 2))
    nodes[corners] += amount * length[corners, None] * shift
    nodes[sides[:, 2]] = (nodes[sides[:, 0]] + nodes[sides[:, 1]]) / 2
    return replace(grid, nodes=nodes)
