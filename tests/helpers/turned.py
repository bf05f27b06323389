"""Volume and inertia of turned, slit and drilled parts from integrals along their outline: nothing of the solid modeller.

A body cut with a plane at height z is made of rings; what a ring of radii a to b adds is F(b) - F(a), so that the whole is the
integral of F(r) dz along the outline with the material on its left. F of a full disc is pi r^2, with the square of the distance
as weight pi r^4 / 2; of the strip |y| < w/2, x > 0 inside the disc it is given below. Straight stretches and arcs are integrated
by Gauss's rule of 40 points, which leaves round-off only.
"""

from math import asin, atan2, cos, hypot, pi, remainder, sin, sqrt, tan

import numpy as np

NODES, WEIGHTS = np.polynomial.legendre.leggauss(40)


def disc(r):
    return np.array([pi * r**2, pi * r**4 / 2])


def strip(width):
    """Area, and integral of the squared distance, of a slit's strip from the axis to r."""

    def inside(r):
        h = width / 2
        a = asin(h / r)
        return np.array([
            h * sqrt(r * r - h * h) + r * r * a,
            r**4 * a / 2 + h**4 / 2 * (1 / tan(a) + 1 / tan(a) ** 3 / 3),
        ])

    return inside


def along(corners, weight, low=-1e9, high=1e9):
    """Integral of weight(r) dz along an outline of corners (r, z, radius), between two heights: volume, inertia per density."""
    total = np.zeros(2)
    for r, _, dz in steps(corners, low, high):
        total += weight(r) * dz
    return total


def steps(corners, low, high):
    """Points of Gauss's rule (r, z) with their dz, along all stretches."""
    ends = [rounded(corners[i - 1], corner, corners[(i + 1) % len(corners)]) for i, corner in enumerate(corners)]
    for i, (start, end, centre) in enumerate(ends):
        if centre is not None:
            yield from arc(start, end, centre, low, high)
        following = ends[(i + 1) % len(ends)][0]
        yield from straight(end, following, low, high)


def straight(a, b, low, high):
    if a[1] == b[1]:
        return
    z0, z1 = (min(max(z, low), high) for z in (a[1], b[1]))
    for x, w in zip(NODES, WEIGHTS):
        z = (z0 + z1) / 2 + (z1 - z0) / 2 * x
        yield a[0] + (b[0] - a[0]) * (z - a[1]) / (b[1] - a[1]), z, (z1 - z0) / 2 * w


def arc(a, b, c, low, high):
    """An arc; heights that cut it are not provided for."""
    begin = atan2(a[1] - c[1], a[0] - c[0])
    turn = remainder(atan2(b[1] - c[1], b[0] - c[0]) - begin, 2 * pi)
    radius = hypot(a[0] - c[0], a[1] - c[1])
    for x, w in zip(NODES, WEIGHTS):
        at = begin + turn * (1 + x) / 2
        z = c[1] + radius * sin(at)
        if low <= z <= high:
            yield c[0] + radius * cos(at), z, radius * cos(at) * turn / 2 * w


def rounded(before, corner, after):
    """Ends and centre of a corner's arc, by the tangent length rho / tan(angle / 2)."""
    (r, z, rho), none = corner, None
    if not rho:
        return (r, z), (r, z), none
    ways = []
    for other in (before, after):
        long = hypot(other[0] - r, other[1] - z)
        ways.append(((other[0] - r) / long, (other[1] - z) / long))
    angle = np.arccos(ways[0][0] * ways[1][0] + ways[0][1] * ways[1][1])
    tangent = rho / tan(angle / 2)
    start, end = ((r + tangent * x, z + tangent * y) for x, y in ways)
    half = ((ways[0][0] + ways[1][0]) / 2, (ways[0][1] + ways[1][1]) / 2)
    reach = rho / sin(angle / 2) / hypot(*half)
    return start, end, (r + reach * half[0], z + reach * half[1])


def hole(diameter, circle, length):
    """Volume and inertia about the axis of a round hole on a circle (radius), by the parallel axis theorem."""
    volume = pi / 4 * diameter**2 * length
    return np.array([volume, volume * (diameter**2 / 8 + circle**2)])
