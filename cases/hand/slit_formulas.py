"""Hoop stiffness of slit sleeves: one number eta, the hoop modulus of a closed ring that closes under the same force.

Symbols at a station: r mean radius, t wall, L sleeve length, w slot width, n slots (per end where they alternate), all in
mm. eta = 1 is a closed ring, eta = 0 carries no hoop stress. Sources: curved-beam theory, derived here, for the leading
terms; 3D linear-elastic study, values in this repository (tests/data/slits_3d.json), for the fitted ones.
"""

import math

# Thin arcs pushed onto a rigid circle, derived here: total force 5.655 E I delta/r^3 with one slit, 16/pi = 5.09 with two.
TWO_SLITS = 0.90
# Greatest bending over that of the circle's own curvature, same derivation: one slit, two slits (4/pi).
BENDING_FACTORS = {1: 1.19, 2: 1.27}
FLANGE_FOLLOWS = 0.001  # hoop ratio of a cut flange: its stiffness is put into the sleeve


def fill_fraction(cuts: int, width: float, radius):
    """Share f [-] of the circumference that is metal at a radius [mm, float or array]; width of one cut [mm]."""
    return 1 - cuts * width / (2 * math.pi * radius)


def anticlastic_restraint(r: float, t: float, length: float) -> float:
    """Restraint h [-] of the saddle-shaped bending of a slit ring: 0 for a short ring, towards 1 for a long tube.

    Mean radius r, wall t, length [mm].
    """
    lam = 1.285 * length / math.sqrt(r * t)
    if lam > 30:  # the quotient of hyperbolic functions is 1 to machine accuracy, and they would overflow
        return 1 - 2 / lam
    return 1 - 2 / lam * (math.cosh(lam) - math.cos(lam)) / (math.sinh(lam) + math.sin(lam))


def through_slit_ratio(r: float, t: float, length: float, poisson: float, count: int = 1) -> float:
    """Hoop ratio eta [-] of a sleeve with one or two slits through its length, closed by a cone; r, t, length [mm].

    Measured against the 3D study: -1.6 to +0.5 % for one slit, t/r 0.1 to 0.4, L/r 0.4 to 4; two slits not measured.
    >>> round(through_slit_ratio(9, 2, 12, 0.3), 6)
    0.003826
    """
    thin = t * t / (18 * r * r)
    stiffness = 1.36 * thin * (1 - 0.25 * (t / r) ** 2)
    ratio = stiffness / (1 - poisson**2 * anticlastic_restraint(r, t, length))
    return ratio if count == 1 else TWO_SLITS * ratio


def uncut_flange_share(z: float, r: float, mid_radius: float, length: float) -> float:
    """Share g of full hoop stiffness that a flange the slit does not cut gives to the sleeve at a height z [mm] above it.

    The flange keeps the slit's edges from sliding round; the wall works as a shear panel over a length of about r.
    mid_radius [mm] is the mean radius at half the length. Fitted to 27 geometries: t/r 0.15 to 0.33, start up to 0.3 r.
    """
    x = z / r
    near = 0.654 * math.exp(-x / 0.227)
    far = 0.346 * math.exp(-((x / 1.437) ** 2)) * (1 + 0.454 * (mid_radius / length) ** 2)
    return min(1.0, near + far)


def flange_bending(bore_radius: float, flange_radius: float, thickness: float) -> float:
    """Section area times eccentricity J [mm^3] of a slit flange bent as a thick curved beam; radii, thickness [mm]."""
    span = flange_radius - bore_radius
    half_squares = (flange_radius**2 - bore_radius**2) / 2
    return thickness * (half_squares - span * span / math.log(flange_radius / bore_radius))


def cut_flange_stiffness(bending: float, root_radius: float, root_wall: float, start: float) -> float:
    """Closing force over E and radial closing [mm] that a cut flange adds; bending J [mm^3], the rest [mm].

    bending J [mm^3] of `flange_bending`; root_radius and root_wall are the sleeve's at the flange; start [mm] is where
    the cone's contact begins. Ring and joint in series; within 5.4 % of the 3D study over 27 geometries.
    """
    flange = 2 * math.pi * bending / root_radius**2
    joint = 3.09 * root_wall / (1 + 2.33 * start / root_radius)
    return (flange**-0.7 + joint**-0.7) ** (-1 / 0.7)


def finger_width(r: float, count: int, width: float) -> float:
    """Width b [mm] of a finger along the mean circumference of radius r [mm], slots of a width [mm] taken off."""
    return 2 * math.pi * r / count - width


def finger_ratio(r: float, depth: float, base: float, count: int, width: float) -> float:
    """Hoop ratio [-] that stands for the arc stiffness of fingers beyond their closed zone, before the wall's correction.

    depth l and base ring length Lb [mm]. Tip stiffness then -15 to +11 % of the 3D study; n 3 to 8, t/r 0.11 to 0.33,
    l/r 0.7 to 2.1.
    """
    phi = math.pi / count - width / (2 * r)
    x, y = phi * r / depth, base / (phi * r)
    return 0.35 * (phi * r / depth) ** 4 / (1 + 3 * x**2.8 + 7.2 * x * math.tanh(0.445 * y))


def alternating_ratio(
    r: float, t: float, length: float, depth: float, count: int, width: float, mean_t: float | None = None
) -> float:
    """Hoop ratio of a sleeve slotted from both ends in turn, closed by a cone, where its radius is r and its wall t [mm].

    mean_t is the wall at half length where it is not t. What a cone stiffens over a pressure is fitted to walls of one
    thickness and belongs to the sleeve as a whole: taken with t it overstates tapered walls by 1 to 4 % more.
    Against the 3D study: pressure term 25 % at most, cone term 33 % for slots over 0.7 of the length and more.
    """
    pitch = math.pi * r / count
    strip, ligament, overlap = pitch - width, length - depth, 2 * depth - length
    bending = 0.515 * (overlap / strip) ** 3 + 3.11 * (depth / ligament) ** 2 * (1 + 0.715 * width / ligament)
    twisting = 0.58 * (r / t) ** 1.43 * (depth / r) ** 2.82 * (length / pitch) ** 1.29
    pressed = 1 / (1 + length / pitch * bending + twisting)
    wall = mean_t or t
    rise = 2.44 * (pitch / r) ** 2.41 * (wall / r) ** 1.22 + 0.006 * (length / r) ** 1.66 * (r / wall) ** 1.29
    return pressed * (1 + rise)


def shut_closing(count: int, width: float) -> float:
    """Radial closing [mm] at which slots of a width shut: the circumference has lost count * width."""
    return count * width / (2 * math.pi)


def bending_stress(young: float, t: float, r: float, closing: float, count: int = 1) -> float:
    """Greatest bending stress [MPa] of a sleeve with one or two through slits closed onto a circle by a radial `closing`.

    Tension outside, compression inside. The circle's curvature takes E t delta/(2 r^2). With one slit that holds at the
    back, and the free span carries 1.19 times as much near 90 degrees from the slit; with two, each half is bent by its
    slit edges alone and carries 1.27 times as much midway between them (derived here).
    """
    return BENDING_FACTORS[count] * young * t * closing / (2 * r * r)


def edge_peak(hoop_over_pressure: float) -> float:
    """Cone pressure at the edge of a through slit over the mean [-], averaged along the length, from q/p [-].

    q = E t c/r^2 with c the radial clearance taken up, p the mean cone pressure. Local peaks reach 1 + 0.7 q/p.
    """
    return 1 + 0.33 * hoop_over_pressure
