"""Thick rings by Lamé, plane stress (ends free): pressures > 0 in compression, lengths in mm, stresses in MPa.

Source: Lamé's solution for a thick-walled cylinder, e.g. Timoshenko & Goodier, Theory of Elasticity, section 28 (from
memory); re-derived here from sigma = A -+ B/r^2. Throughout `a` is the radius of the bore and `b` that of the outside.
"""

import math


def _sum_over_difference(a: float, b: float) -> float:
    return (b * b + a * a) / (b * b - a * a)


def hoop_at_bore(inside: float, outside: float, a: float, b: float) -> float:
    """Hoop stress [MPa, > 0 in tension] at the bore of a ring under a pressure inside and outside.

    >>> round(hoop_at_bore(100, 0, 10, 20), 3), round(hoop_at_bore(0, 100, 10, 20), 3)
    (166.667, -266.667)
    """
    return (inside * (b * b + a * a) - 2 * outside * b * b) / (b * b - a * a)


def hoop_at_outside(inside: float, outside: float, a: float, b: float) -> float:
    """Hoop stress [MPa, > 0 in tension] at the outside of a ring; a = 0 is a solid disc.

    >>> round(hoop_at_outside(100, 0, 10, 20), 3), round(hoop_at_outside(0, 100, 10, 20), 3)
    (66.667, -166.667)
    """
    return (2 * inside * a * a - outside * (b * b + a * a)) / (b * b - a * a)


def stresses(inside: float, outside: float, a: float, b: float, r):
    """Radial and hoop stress [MPa, > 0 in tension] at a radius r of a ring, a number or an array; a = 0 is a solid disc.

    >>> [round(value, 3) for value in stresses(100, 0, 10, 20, 10)], [round(value, 3) for value in stresses(0, 100, 0, 20, 5)]
    ([-100.0, 166.667], [-100.0, -100.0])
    """
    even = (inside * a * a - outside * b * b) / (b * b - a * a)
    falling = (inside - outside) * a * a * b * b / (b * b - a * a) / (r * r) if a > 0 else 0.0 * r
    return even - falling, even + falling


def bore_expansion(pressure: float, a: float, b: float, young: float, poisson: float) -> float:
    """Growth of the bore's radius [mm] under a pressure inside.

    >>> round(bore_expansion(100, 10, 20, 210000, 0.3), 8)
    0.00936508
    """
    return pressure * a / young * (_sum_over_difference(a, b) + poisson)


def outside_closing(inside: float, outside: float, a: float, b: float, young: float, poisson: float) -> float:
    """Decrease of the outer radius [mm] under a pressure inside and outside.

    >>> round(outside_closing(0, 100, 10, 20, 210000, 0.3), 7)
    0.0130159
    """
    return (
        b / young * (outside * (_sum_over_difference(a, b) - poisson) - 2 * inside * a * a / (b * b - a * a))
    )


def closing_pressure(closing: float, a: float, b: float, young: float) -> float:
    """Pressure outside [MPa] that closes the free bore of a ring by a radial `closing` [mm]."""
    return young * closing * (b * b - a * a) / (2 * a * b * b)


def outside_over_bore_closing(a: float, b: float, poisson: float) -> float:
    """Decrease of the outer radius over that of the free bore, under pressure outside; below 1, the wall thickens."""
    return (b * b + a * a - poisson * (b * b - a * a)) / (2 * a * b)


def shaft_compliance(a: float, bore: float, young: float, poisson: float) -> float:
    """Decrease of a shaft's radius a per pressure on it [mm/MPa]; `bore` is the radius of its bore, 0 if solid."""
    return a / young * (_sum_over_difference(bore, a) - poisson)


def seat_pressure(
    outside: float, clearance: float, a: float, b: float, young: float, poisson: float, compliance: float
) -> float:
    """Pressure [MPa] between a closed sleeve and the shaft in it, for a pressure on the sleeve's outside.

    clearance [mm] is radial; compliance [mm/MPa] is the shaft's (`shaft_compliance`). Negative: not yet closed.
    For a solid shaft of the sleeve's own material the pressure beyond closing is passed on unchanged.
    """
    shift = 2 * outside * b * b * a / (young * (b * b - a * a)) - clearance
    return shift / (a / young * (_sum_over_difference(a, b) + poisson) + compliance)


def hoop_free_shortening(outside: float, a: float, b: float, young: float) -> float:
    """Loss of wall [mm] of a sleeve without hoop stress under a pressure outside, which it passes on as b/a times.

    From sigma_r r = const and no axial stress (derived here).
    """
    return outside * b * math.log(b / a) / young


def von_mises(radial: float, hoop: float, axial: float = 0.0) -> float:
    """Von Mises stress [MPa] of three principal stresses [MPa].

    >>> round(von_mises(-100, hoop_at_bore(100, 0, 10, 20)), 3)
    233.333
    """
    return math.sqrt(((radial - hoop) ** 2 + (hoop - axial) ** 2 + (axial - radial) ** 2) / 2)
