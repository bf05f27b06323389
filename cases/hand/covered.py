"""What the clamp ring covers and presses, and what closed rings (a closed sleeve, the base of a fingered one) take of it.

Lengths mm, radial forces N for the whole ring; z from the back face. At travel 0: the travel of a push is small against
the stretch. Only what the ring covers is pressed. The wall beside it is drawn along as a cylindrical shell: a beam on an
elastic foundation (Hetenyi, Beams on Elastic Foundation, from memory; re-derived here, checked by integration in the
tests). How well it all fits the simulation stands in colletfea.cases.hand.notes.
"""

import math

from colletfea.cases.hand import lame
from colletfea.cases.hand.coupling import Coupling
from colletfea.cases.hand.integral import integral

#: share of its closing force that the base of a fingered sleeve takes; 0.7 at little grip, 1 at much (24 simulated designs)
BASE_SHARE = 0.85


def covered(c: Coupling) -> tuple[float, float]:
    """First and last z [mm] of the sleeve under the ring."""
    return max(c.start, 0.0), min(c.start + c.ring_length, c.length)


def covered_length(c: Coupling) -> float:
    """Length [mm] of the sleeve under the ring."""
    start, end = covered(c)
    return end - start


def cone_radius(c: Coupling) -> float:
    """Radius of the cone [mm] at the middle of the covered stretch."""
    start, end = covered(c)
    return c.wall.outside((start + end) / 2)


def follows(c: Coupling, z: float, length: float) -> float:
    """Length [mm] of covered wall that takes as much hoop force as the free wall of this length beside station z.

    w = 1 and w' = 0 at its root, free at its end, decay beta^4 = 3 (1 - nu^2)/(r t)^2: the integral of w, which is
    (sinh x cosh x + sin x cos x)/((cosh^2 x + cos^2 x) beta), x = beta length; a short wall follows whole.
    """
    decay = (3 * (1 - c.sleeve_poisson**2)) ** 0.25 / math.sqrt(c.wall.radius(z) * c.wall.thickness(z))
    x = min(decay * length, 20.0)  # from there it is 1/decay to every digit
    between = math.sinh(x) * math.cosh(x) + math.sin(x) * math.cos(x)
    return between / (math.cosh(x) ** 2 + math.cos(x) ** 2) / decay


def closing_stiffness(c: Coupling) -> float:
    """Radial force over E and radial closing [mm], 2 pi times the integral of f eta t/r over what closes.

    A through slit or alternating slots: the whole sleeve. A closed sleeve: the covered stretch, with the wall on either
    side as `follows` says. Fingers: their slotted part, and the base as a closed ring.
    """
    start, end = covered(c)
    if c.closed:
        beside = _wall(c, end) * follows(c, end, c.length - end)
        return 2 * math.pi * (_closed_ring(c, start, end) + beside)
    if c.slits.pattern == "fingers":
        root = min(c.model.slotted_from, end)
        base = BASE_SHARE * _closed_ring(c, min(start, root), root) * c.model.ratio(0.0)
        return c.closing.stiffness + 2 * math.pi * base
    return c.closing.stiffness


def _wall(c: Coupling, z: float) -> float:
    return c.wall.thickness(z) / c.wall.radius(z)


def _closed_ring(c: Coupling, start: float, end: float) -> float:
    """Integral of t/r [mm] over a covered stretch and the wall behind it, as far as that follows."""
    behind = _wall(c, start) * follows(c, start, start)
    return integral(lambda z: _wall(c, z), start, end) + behind


def band_share(length: float) -> float:
    """Mean decrease of a long solid cylinder's radius under a band of pressure over that under pressure all along it.

    length: of the band over the cylinder's diameter. What lies beside the band holds it up. Fitted, to 0.01 from 0.08 to 6, to the
    Fourier integral of sin(x b)^2/(x b)^2 I_1^2/(x^2 I_0^2 - (x^2 + 2 - 2 nu) I_1^2) over x, b the length here (harmonic pressure
    on a cylinder, Timoshenko & Goodier, Theory of Elasticity, from memory; both limits checked); the tests evaluate it.

    >>> round(band_share(0.5), 3), round(band_share(2.0), 3)
    (0.836, 0.969)
    """
    return (length**2 + 0.403 * length) / (length**2 + 0.448 * length + 0.0659)


def shaft_compliance(c: Coupling) -> float:
    """Decrease of the shaft's radius per pressure on it [mm/MPa]; a closed sleeve presses the stretch under the ring only.

    A hollow shaft's stretch is taken as held up like a solid one's.
    """
    full = lame.shaft_compliance(c.bore_radius, c.shaft_bore / 2, c.shaft_young, c.shaft_poisson)
    return full * band_share(covered_length(c) / c.diameter) if c.closed else full


def pressure_passed(c: Coupling, radius: float) -> float:
    """Bore pressure over cone pressure of a closed ring with this cone radius [mm], beyond closing (Lamé)."""
    return lame.seat_pressure(1.0, 0.0, c.bore_radius, radius, c.sleeve_young, c.sleeve_poisson, shaft_compliance(c))


def cone_over_bore(c: Coupling, radius: float) -> float:
    """Growth kappa of the radial force on a closed ring's cone of this radius [mm] over its bore's, beyond closing."""
    return radius / (c.bore_radius * pressure_passed(c, radius))


def grip_share(c: Coupling) -> float:
    """Growth of the cone's radial force over that of the bore beyond closing, all in all.

    Slit sleeves pass force: 1. Closed ones pass pressure: kappa, times the swelling. Fingers pass force, their base
    pressure: the excess kappa - 1 of the base, weighted with its share of the metal that is covered.
    """
    if c.closed:
        return cone_over_bore(c, c.cone_radius) * swelling(c)
    return 1 + _base_excess(c) if c.slits.pattern == "fingers" else 1.0


def _base_excess(c: Coupling) -> float:
    start, end = covered(c)
    root = min(max(c.model.slotted_from, start), end)
    base, fingers = root - start, (end - root) * c.fill_fraction
    radius = c.wall.outside((start + root) / 2)
    excess = cone_over_bore(c, radius) - 1
    return c.model.ratio(0.0) * excess * base / (base + fingers)


def swelling(c: Coupling) -> float:
    """Growth of a closed sleeve's cone force by the axial compression that the push itself sets up, 1/(1 - s).

    The push F = k_c N_r runs through the sleeve to its back face and swells it by nu F/(2 pi E t), which takes hoop
    force nu F z/r to undo, z the length that is compressed: s = nu k_c z/r. (Derived here: n_theta = E t u/r + nu n_z,
    summed along z.) The closing force is left without: counted there too, it goes past what random designs show.
    """
    start, _ = covered(c)
    compressed = covered_length(c) / 2 + follows(c, start, start)
    return 1 / (1 - c.sleeve_poisson * c.draw * compressed / c.mean_radius)
