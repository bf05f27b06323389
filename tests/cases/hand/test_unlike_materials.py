"""Every row of the columns with three materials, each value worked out beside the code from the formulas with the numbers.

Shaft of aluminium 20 mm with a bore of 8, sleeve of bronze, ring of steel. A swap of any two moduli or Poisson's ratios
moves a row by far more than the tolerance.
"""

import math

import pytest
from helpers.hand import closed_case, friction, slit_case
from pytest import approx
from scipy.integrate import quad

from colletfea.cases.hand import calculation, columns, covered
from colletfea.cases.hand.coupling import coupling
from colletfea.cases.hand.covered import band_share
from colletfea.cases.hand.slit_model import Slits

ES, NS = 70000.0, 0.33  # shaft
EB, NB = 110000.0, 0.34  # sleeve
ER, NR = 206000.0, 0.30  # ring
A, AI, R, L = 10.02, 4.0, 22.0, 20.0  # bore, shaft bore and ring radii, sleeve length
ALPHA = math.radians(4)
T0, T1 = 2.0 + L * math.tan(ALPHA), 2.0  # wall at the back face and the nose
TM = (T0 + T1) / 2
B, RM = A + TM, A + TM / 2
START, RING = 2.0, 15.0
K = math.tan(ALPHA + math.atan(0.1))
N = 1.5 * 50e3 / 10 / 0.15  # bore normal force of 50 N m at safety 1.5

MATERIALS = {
    "shaft__material": {"young": ES, "poisson": NS},
    "sleeve__material": {"young": EB, "poisson": NB},
    "ring__material": {"young": ER, "poisson": NR},
}
SOURCE = "Lamé's rings, thin rings and statics, evaluated beside the test"


def design(**slits):
    changed = dict(
        shaft__diameter=20.0, shaft__bore=8.0, sleeve__length=L, sleeve__nose_wall=T1, sleeve__taper=4.0,
        sleeve__clearance=0.04, ring__length=RING, ring__outer_diameter=44.0, ring__start=START,
        friction={"cone": 0.1, "bore": 0.15}, duty={"torque": 50.0}, push=None, **MATERIALS, **slits,
    )  # fmt: skip
    return closed_case(**changed)


def wall(z):
    return T1 + (L - z) * math.tan(ALPHA)


def wall_over_radius(z):
    return wall(z) / (A + wall(z) / 2)


def rings(a, b):
    return (b * b + a * a) / (b * b - a * a)


def follows(z, length):
    x = (3 * (1 - NB**2)) ** 0.25 / math.sqrt(wall(z) * (A + wall(z) / 2)) * length
    between = (math.sinh(x) * math.cosh(x) + math.sin(x) * math.cos(x)) / (math.cosh(x) ** 2 + math.cos(x) ** 2)
    return length / x * between


def closing_normal():
    end = START + RING
    stretch = quad(wall_over_radius, START, end)[0]
    stretch += wall_over_radius(START) * follows(START, START) + wall_over_radius(end) * follows(end, L - end)
    return 2 * math.pi * EB * 0.02 * stretch


def passed():
    """Bore pressure over cone pressure of the closed sleeve on this shaft, which is held up beside the ring."""
    shaft = A / ES * (rings(AI, A) - NS) * band_share(RING / 20)
    return 2 * B * B / (B * B - A * A) / ((rings(A, B) + NB) + EB / A * shaft)


def share():
    swelling = 1 / (1 - NB * K * (RING / 2 + follows(START, START)) / RM)
    return B / (A * passed()) * swelling


def ring_growth(normal):
    return normal / (2 * math.pi * B * RING) * B / ER * (rings(B, R) + NR)


@pytest.mark.verification(source=SOURCE)
def test_closed_sleeve_closing():
    column = calculation.hand(design())
    plain = 2 * math.pi * EB * TM * L * 0.04 / (20.04 + TM)
    assert column["plain"]["closing_force_N"] == approx(plain * K, rel=1e-9)
    refined, normal = column["refined"], closing_normal()
    assert refined["closing_force_N"] == approx(normal * K, rel=1e-9)
    thickening = ((A * A + B * B) - NB * (B * B - A * A)) / (2 * A * B)
    travel = (0.02 * thickening + ring_growth(normal)) / math.tan(ALPHA)
    assert refined["closing_travel_mm"] == approx(travel, rel=1e-9)


@pytest.mark.verification(source=SOURCE)
def test_closed_sleeve_grip():
    column = calculation.hand(design())["refined"]
    assert 0.8 < passed() < 1 < share()
    assert column["grip_force_N"] == approx(N * share() * K, rel=1e-9)
    p = N / (math.pi * 20 * L)
    on_cone = p / passed()
    sleeve = B / EB * (on_cone * (rings(A, B) - NB) - 2 * p * A * A / (B * B - A * A))
    travel = (sleeve + ring_growth(N * share())) / math.tan(ALPHA)
    assert column["grip_travel_mm"] == approx(travel, rel=1e-9)
    assert column["clamp_travel_mm"] == approx(column["closing_travel_mm"] + travel, rel=1e-9)
    force = (closing_normal() + N * share()) * K
    assert column["clamp_force_N"] == approx(force, rel=1e-9)
    assert column["clamp_force_sliding_N"] == approx(force + N * 0.15, rel=1e-9)
    release = (closing_normal() + N * share()) * math.tan(math.atan(0.1) - ALPHA)
    assert column["release_force_N"] == approx(release, rel=1e-9)


@pytest.mark.verification(source=SOURCE)
def test_closed_sleeve_stresses():
    """Pressure on the covered stretch; the sleeve's hoop from closing, -E c/a, from the seat and from the cone."""
    stress = calculation.hand(design())["refined"]["stress_MPa"]
    p = N / (math.pi * 20 * RING)
    assert stress["shaft_von_mises"] == approx(2 * p * A * A / (A * A - AI * AI), rel=1e-9)
    on_ring = (closing_normal() + N * share()) / (2 * math.pi * B * RING)
    hoop = on_ring * rings(B, R)
    assert stress["ring_hoop"] == approx(hoop, rel=1e-9)
    assert stress["ring_von_mises"] == approx(math.sqrt(hoop**2 + hoop * on_ring + on_ring**2), rel=1e-9)
    hoop = -EB * 0.02 / A + p * rings(A, B) - 2 * p / passed() * B * B / (B * B - A * A)
    assert stress["sleeve_von_mises"] == approx(math.sqrt(hoop**2 + p * hoop + p * p), rel=1e-9)


@pytest.mark.verification(source=SOURCE)
def test_slit_sleeve():
    """Force passed on, no hoop stress: wall loses p a ln(b/a)/E, the shaft gives way, the ring grows by the mean force."""
    slits = Slits("through", 1, 1.5)
    case = slit_of(slits)
    c, column = coupling(case), calculation.hand(case)["refined"]
    fill = 1 - 1.5 / (2 * math.pi * RM)
    assert c.fill_fraction == approx(fill)
    p = N / (math.pi * 20 * L * fill)
    shaft = A / ES * (rings(AI, A) - NS) * p
    travel = (shaft + p * A * math.log(B / A) / EB + ring_growth(N)) / math.tan(ALPHA)
    assert column["grip_travel_mm"] == approx(travel, rel=1e-9)
    assert column["grip_force_N"] == approx(N * K, rel=1e-9)
    closing = EB * 0.02 * c.closing.stiffness
    assert column["closing_force_N"] == approx(closing * K, rel=1e-9)
    assert column["closing_travel_mm"] == approx((0.02 + ring_growth(closing)) / math.tan(ALPHA), rel=1e-9)
    assert c.model.ratio(7.0) == approx(ratio_with_poisson(NB, 7.0), rel=1e-9)


def slit_of(slits):
    case = slit_case(
        slits, shaft__diameter=20.0, shaft__bore=8.0, sleeve__length=L, sleeve__nose_wall=T1, sleeve__taper=4.0,
        sleeve__clearance=0.04, ring__length=RING, ring__outer_diameter=44.0, ring__start=START,
        friction__cone=friction(0.1, 0.1, 0.1), friction__bore=friction(0.15, 0.15, 0.15), duty__torque=50.0,
    )  # fmt: skip
    solid = design()
    for part in ("shaft", "sleeve", "ring"):
        getattr(case, part).material = getattr(solid, part).material
    return case


def ratio_with_poisson(poisson, z):
    """eta of one slit, 1.36 t^2/(18 r^2) (1 - 0.25 (t/r)^2)/(1 - nu^2 h)."""
    t, r = wall(z), A + wall(z) / 2
    x = 1.285 * L / math.sqrt(r * t)
    h = 1 - 2 / x * (math.cosh(x) - math.cos(x)) / (math.sinh(x) + math.sin(x))
    return 1.36 * t * t / (18 * r * r) * (1 - 0.25 * (t / r) ** 2) / (1 - poisson**2 * h)


@pytest.mark.verification(source=SOURCE)
def test_slit_sleeve_stresses():
    """Bending closes the bore's side: compression 1.19 E t c/(2 r^2), the same sign round as the seat's pressure p.

    So sqrt(p^2 - p s + s^2), both in compression; in tension it would be sqrt(p^2 + p s + s^2).
    """
    stress = calculation.hand(slit_of(Slits("through", 1, 1.5)))["refined"]["stress_MPa"]
    p = N / (math.pi * 20 * L * (1 - 1.5 / (2 * math.pi * RM)))
    bending = 1.19 * EB * T0 * 0.02 / (2 * (A + T0 / 2) ** 2)
    assert stress["sleeve_von_mises"] == approx(math.sqrt(p * p - p * bending + bending**2), rel=1e-6)
    assert stress["shaft_von_mises"] == approx(2 * p * A * A / (A * A - AI * AI), rel=1e-9)


@pytest.mark.verification(source=SOURCE)
def test_hoop_share_of_a_slit_sleeve_takes_the_sleeve_s_modulus():
    block = calculation.hand(slit_of(Slits("through", 1, 1.5)))["slits"]
    on_cone = N / (math.pi * 20 * L * (1 - 1.5 / (2 * math.pi * RM))) * A / B
    assert block["q_over_p"] == approx(EB * TM * 0.02 / RM**2 / on_cone, rel=1e-9)


@pytest.mark.verification(source=SOURCE)
def test_base_of_fingers_on_unlike_shaft():
    c = coupling(slit_of(Slits("fingers", 6, 1.0, 12.0)))
    root, end = c.model.slotted_from, START + RING
    radius = A + wall((START + root) / 2)
    shaft = A / ES * (rings(AI, A) - NS)
    tau = 2 * radius**2 / (radius**2 - A * A) / (rings(A, radius) + NB + EB / A * shaft)
    metal = (root - START) / (root - START + (end - root) * c.fill_fraction)
    assert covered.grip_share(c) == approx(1 + (radius / (A * tau) - 1) * metal, rel=1e-9)


@pytest.mark.verification(source=SOURCE)
def test_cone_governs_on_a_closed_sleeve():
    """Hub on the ring, a slippery cone: the radial part of its normal force, N0 + share times N, is what carries 75 N m at 0.03.

    The share stands on N's side: with more of it on the cone less N is needed.
    """
    c = coupling(design()).changed(cone_friction=0.03, bore_friction=0.3, carried_by="ring")
    k = math.tan(ALPHA + math.atan(0.03))
    swelling = 1 / (1 - NB * k * (RING / 2 + follows(START, START)) / RM)
    middle = A + wall(START + RING / 2)
    cone = 1.5 * 50e3 / middle / 0.03 * (math.cos(ALPHA) - 0.03 * math.sin(ALPHA))
    normal = (cone - closing_normal()) / (B / (A * passed()) * swelling)
    bore = 1.5 * 50e3 / 10 / 0.3
    assert normal > bore
    assert columns.grip_normal(c) == approx(normal, rel=1e-9)
    assert columns.cone_governs(c)
    assert columns.refined(c)["clamp_force_N"] == approx(cone * k, rel=1e-9)
