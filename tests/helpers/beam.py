"""Two small strength-of-materials models, independent of the formulas they check.

Arcs of a thin ring pushed onto a rigid circle (curved-beam equation, w inward, unit E I, r and circle closing), and a
sleeve as a beam on springs, which knows of a slit model only its eta and f.
"""

import math

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq


def one_slit_on_a_circle() -> tuple[float, float]:
    """Total radial force and greatest bending moment of a ring with one slit: (force, moment).

    From the back to an angle psi0 the ring lies on the circle, its curvature 1, so its moment is 1. Beyond, a force P at
    the slit's edge makes the moment P sin psi, equal to 1 at psi0. There w = 1, w' = 0, and w = 1 again at the edge.
    """

    def edge_gap(psi0: float) -> float:
        force = 1 / math.sin(psi0)
        span = solve_ivp(
            lambda x, y: (y[1], force * math.sin(x) - y[0]), (psi0, math.pi), (1.0, 0.0), rtol=1e-10
        )
        return span.y[0, -1] - 1

    psi0 = brentq(edge_gap, 0.5, 1.5)
    edge = 1 / math.sin(psi0)
    line, arc = edge * abs(math.cos(psi0)), psi0 * edge * math.sin(psi0)
    return 2 * (edge + line + arc), edge


def two_slits_on_a_circle() -> tuple[float, float]:
    """Total radial force and greatest bending moment of a ring with two slits: (force, moment).

    Two opposed edge forces P hold each other on a half ring, so its back carries none; the moment is P cos psi. Its
    middle just touches the circle, and the edges close by 1: w = cos psi + (P/2) psi sin psi, w(pi/2) = 1.
    """
    edge = 4 / math.pi
    return 4 * edge, edge


def tip_stiffness(
    model, r: float, t: float, length: float, young: float, poisson: float, elements: int = 240
) -> float:
    """Force over mean closing [N/mm] of the last tenth of a straight sleeve under pressure on that tenth.

    Beam elements with shear (12 EI/(k G A h^2)) on hoop springs E eta t/r^2, all times the fill fraction; the base face
    stays flat and is free to move in radius. A wall that is free to bend crosswise (eta < 1) has no plate stiffening.
    """
    h = length / elements
    stiffness, load = np.zeros((2 * elements + 2,) * 2), np.zeros(2 * elements + 2)
    for e in range(elements):
        z = (e + 0.5) * h
        fill, eta = model.fill(z, r), model.ratio(z)
        plate = 1 - poisson**2 if eta == 1 else 1.0
        bending = 2 * math.pi * r * fill * young * t**3 / 12 / plate
        shear = 2 * math.pi * r * fill * 5 / 6 * t * young / (2 * (1 + poisson))
        spring = 2 * math.pi * r * fill * eta * young * t / r**2
        dofs = slice(2 * e, 2 * e + 4)
        stiffness[dofs, dofs] += _beam(bending, shear, h) + _springs(spring, h)
        if z > 0.9 * length:
            load[dofs] += 2 * math.pi * (r + t / 2) * fill * h * np.array([0.5, h / 12, 0.5, -h / 12])
    free = np.arange(2 * elements + 2) != 1
    closing = np.linalg.solve(stiffness[np.ix_(free, free)], load[free])
    deflections = np.insert(closing, 1, 0.0)[::2]
    return load[::2].sum() / deflections[np.arange(elements + 1) * h >= 0.9 * length - 1e-9].mean()


def _beam(bending: float, shear: float, h: float) -> np.ndarray:
    phi = 12 * bending / (shear * h * h)
    rows = [
        [12, 6 * h, -12, 6 * h],
        [6 * h, (4 + phi) * h * h, -6 * h, (2 - phi) * h * h],
        [-12, -6 * h, 12, -6 * h],
        [6 * h, (2 - phi) * h * h, -6 * h, (4 + phi) * h * h],
    ]
    return bending / h**3 / (1 + phi) * np.array(rows)


def _springs(spring: float, h: float) -> np.ndarray:
    rows = [
        [156, 22 * h, 54, -13 * h],
        [22 * h, 4 * h * h, 13 * h, -3 * h * h],
        [54, 13 * h, 156, -22 * h],
        [-13 * h, -3 * h * h, -22 * h, 4 * h * h],
    ]
    return spring * h / 420 * np.array(rows)


def arc_section(half_angle: float, inner: float, outer: float) -> tuple[float, float, float]:
    """Area, centroid's radius and second moment about the axis through it, normal to the middle radius, of an arc."""
    area = half_angle * (outer**2 - inner**2)
    centroid = 2 * math.sin(half_angle) * (outer**3 - inner**3) / (3 * area)
    about_axis = (outer**4 - inner**4) / 4 * (half_angle + math.sin(half_angle) * math.cos(half_angle))
    return area, centroid, about_axis - area * centroid**2
