"""What the ring covers, and how closed rings follow beside it: against integrated beams and sums by quadrature."""

import math

import numpy as np
import pytest
from helpers.hand import closed_case, noted, slit_case
from pytest import approx
from scipy.integrate import quad, solve_bvp
from scipy.special import ive

from colletfea.cases.hand import calculation, columns, covered
from colletfea.cases.hand.coupling import coupling
from colletfea.cases.hand.slit_model import Slits


@pytest.mark.verification(source="Beam on an elastic foundation integrated numerically (scipy.integrate.solve_bvp)")
@pytest.mark.parametrize("length", [0.5, 3.0, 9.0])
def test_free_wall_follows_as_an_integrated_beam(length):
    """w'''' = -4 beta^4 w from w = 1, w' = 0 to a free end, and the integral of w."""
    c = coupling(closed_case())
    beta = (3 * (1 - 0.29**2) / (c.wall.radius(4.0) * c.wall.thickness(4.0)) ** 2) ** 0.25

    def slopes(x, y):
        return [y[1], y[2], y[3], -4 * beta**4 * y[0], y[0]]

    def ends(left, right):
        return [left[0] - 1, left[1], right[2], right[3], left[4]]

    grid = [length * k / 200 for k in range(201)]
    found = solve_bvp(slopes, ends, grid, [[1.0] * 201, *[[0.0] * 201] * 4], tol=1e-8)
    assert found.success
    assert covered.follows(c, 4.0, length) == approx(found.y[4, -1], rel=1e-6)


def test_short_wall_follows_whole_and_a_long_one_by_its_decay_length():
    c = coupling(closed_case())
    assert covered.follows(c, 0.0, 0.0) == 0.0
    assert covered.follows(c, 4.0, 0.01) == approx(0.01, rel=1e-6)
    assert covered.follows(c, 4.0, 1e4) == approx(covered.follows(c, 4.0, 60.0), rel=1e-6)


@pytest.mark.parametrize(
    "start, length, stretch", [(1.5, 12.0, (1.5, 12.0)), (1.5, 6.0, (1.5, 7.5)), (-2.0, 9.0, (0.0, 7.0))]
)
def test_covered_stretch_ends_where_sleeve_or_ring_does(start, length, stretch):
    c = coupling(closed_case()).changed(start=start, ring_length=length)
    assert covered.covered(c) == stretch
    assert covered.covered_length(c) == stretch[1] - stretch[0]
    assert covered.cone_radius(c) == approx(7.03 + 1.4 + (12 - sum(stretch) / 2) * math.tan(math.radians(3)))


def test_ring_that_covers_the_whole_sleeve_closes_it_whole():
    c = coupling(closed_case()).changed(start=0.0)
    assert covered.closing_stiffness(c) == approx(c.closing.stiffness, rel=1e-12)
    shorter = [covered.closing_stiffness(c.changed(ring_length=length)) for length in (12.0, 8.0, 4.0)]
    assert shorter[0] > shorter[1] > shorter[2] > 0.3 * shorter[0]


@pytest.mark.verification(source="Thin rings under axial compression, summed along z by quadrature")
def test_swelling_is_what_a_compressed_tube_takes():
    """Closing u under hoop and axial force: sum of n_theta = E t u/r + nu n_z; the second part over all is s."""
    c = coupling(closed_case())
    force, (start, end) = 5000.0, covered.covered(c)
    behind = covered.follows(c, start, start)

    def axial(z):
        return force if z < start else force * (end - z) / (end - start)

    radial = 0.29 / c.mean_radius * quad(axial, start - behind, end, points=[start])[0]
    assert 1 - 1 / covered.swelling(c) == approx(radial / (force / c.draw), rel=1e-9)


#: steep, long, thin and rough: s of the swelling goes from 0.25 at a friction of 0.05 past 1 at 0.7
STEEP = {"shaft__diameter": 20.0, "sleeve__length": 60.0, "sleeve__nose_wall": 2.0, "ring__length": 50.0, "ring__outer_diameter": 140.0, "ring__start": 5.0}


def steep(taper, friction, **changed):
    return closed_case(**STEEP, sleeve__taper=taper, friction__cone=friction, push=None, **changed)


@pytest.mark.parametrize("friction", [0.3, 0.7, 0.9])
def test_a_closed_sleeve_that_its_push_swells_much_has_no_refined_push(friction):
    """From s = 0.3 to beyond the pole at 1: what hangs on it is null and noted once, what doesn't stands, the plain sheet is told too low."""
    found = calculation.hand(steep(30.0, friction))
    refined, keys = found["refined"], [note["key"] for note in found["notes"]]
    known = {name for name, value in refined.items() if value is not None and name != "stress_MPa"}
    assert known == {"grip_mean_pressure_MPa"} and set(refined["stress_MPa"].values()) == {None}
    absent = {f"refined.{name}" for name in set(refined) - known - {"closing_normal_force_N"}}
    assert absent <= set(keys) and len(keys) == len(set(keys)) and not [key for key in keys if "stress_MPa." in key]
    assert found["plain"]["clamp_force_N"] > 0 and "plain.clamp_force_N" in keys and found["advice"][0]["clamp_force_N"] is None


def test_up_to_there_it_is_told_with_what_was_measured():
    """s just below and just above 0.3."""
    below, above = (coupling(steep(10.0, friction)) for friction in (0.26, 0.30))
    assert 0.27 < covered.squeezed(below) < 0.3 < covered.squeezed(above) < 0.33
    assert covered.known(below) and not covered.known(above) and not covered.measured(below)
    assert columns.refined(below)["clamp_force_N"] > columns.refined(below)["closing_force_N"] > 0
    assert columns.refined(above)["closing_force_N"] is None
    assert covered.known(coupling(slit_case()).changed(taper=math.radians(30), cone_friction=0.9))  # it passes force


@pytest.mark.parametrize("case, words", [
    (closed_case(duty__torque=300.0), "0.96 to 1.10 times the simulated value in random designs of tapers up to 10 degrees"),
    (closed_case(), "0.91 to 1.10 times the simulated value in random designs of tapers up to 10 degrees where, as here"),
    (closed_case(sleeve__taper=12.0, ring__taper=12.0, ring__outer_diameter=40.0), "0.81 to 1.00 times the simulated value in 19 designs"),
    (steep(10.0, 0.2), "0.81 to 1.00 times the simulated value in 19 designs"),
    (slit_case(Slits("fingers", 6, 1.0, 16.0)), "in random designs of tapers up to 10 degrees"),
    (slit_case(Slits("fingers", 6, 1.0, 16.0), sleeve__taper=12.0), "not compared with the simulation at a taper above 10 degrees"),
], ids=["mostly grips", "mostly closes", "steep", "swollen", "fingers", "steep fingers"])  # fmt: skip
def test_what_was_measured_is_told_of_designs_like_those_measured(case, words):
    told = {note["key"]: note["because"] for note in calculation.hand(case)["notes"]}
    assert words in told["refined.clamp_force_N"]
    assert ("in simulated sleeves at" in told["refined.closing_force_N"]) is covered.measured(coupling(case))


@pytest.mark.parametrize("case, told", [(steep(30.0, 0.3), True), (steep(30.0, 0.3, duty__carried_by="ring"), False)], ids=["on the sleeve", "on the ring"])
def test_a_plain_clamp_force_is_told_too_low_only_where_there_is_one(case, told):
    """What a hub on the ring asks of such a sleeve is not known, by the plain sheet neither."""
    found = calculation.hand(case)
    assert (found["plain"]["clamp_force_N"] is not None) is ("plain.clamp_force_N" in noted(found)) is told


def test_without_a_duty_only_the_closing_is_noted():
    found, with_duty = calculation.hand(closed_case(duty=None, ring__length=9.0)), calculation.hand(closed_case(ring__length=9.0))
    gone = {"refined.clamp_force_N", "refined.clamp_force_sliding_N", "refined.stress_MPa.ring_hoop", "plain.grip_mean_pressure_MPa", "refined.grip_mean_pressure_MPa"}
    assert "refined.closing_force_N" in noted(found) and gone <= noted(with_duty) and not gone & noted(found)


def test_a_hub_on_the_ring_of_such_a_sleeve_has_no_grip_by_hand():
    found = calculation.hand(steep(30.0, 0.5, duty__carried_by="ring"))
    (why,) = [note["because"] for note in found["notes"] if note["key"] == "grip_normal_force_N"]
    assert found["grip_normal_force_N"] is None and "swells it" in why


@pytest.mark.verification(source="Harmonic pressure on a long solid cylinder, Timoshenko & Goodier (from memory), summed over a band by quadrature")
@pytest.mark.parametrize("length", [0.08, 0.15, 0.3, 0.6, 1.0, 2.0, 6.0])
def test_a_cylinder_pressed_on_a_band_gives_way_less(length):
    """Within 0.01 of the integral. Its kernel tends to plane stress, 1 - nu, for long waves and to the half space, 2 (1 - nu^2)/x, for short ones."""
    nu = 0.3

    def kernel(x):
        i0, i1 = ive(0, x), ive(1, x)
        return 2 * (1 - nu**2) * i1**2 / (x * x * i0**2 - (x * x + 2 - 2 * nu) * i1**2)

    assert kernel(1e-2) == approx(1 - nu, rel=1e-3) and kernel(1e4) == approx(2 * (1 - nu**2) / 1e4, rel=1e-3)
    x = np.linspace(1e-3, 400 / length, 200_001)
    weight = np.sinc(x * length / np.pi) ** 2
    assert covered.band_share(length) == approx(np.sum(weight * kernel(x)) / np.sum(weight) / (1 - nu), abs=0.01)


FINGERS = Slits("fingers", 6, 1.0, 16.0)


def test_base_of_a_fingered_sleeve_takes_its_closing():
    """Fingers as a slit sleeve's sum beyond the root; 0.85 of the base as a closed ring under the ring and behind it."""
    c = coupling(slit_case(FINGERS))
    root = c.model.slotted_from
    assert covered.covered(c) == (3.0, 25.0) and 10 < root < 13
    base = quad(lambda z: c.wall.thickness(z) / c.wall.radius(z), 3.0, root)[0]
    base += c.wall.thickness(3.0) / c.wall.radius(3.0) * covered.follows(c, 3.0, 3.0)
    assert covered.closing_stiffness(c) == approx(c.closing.stiffness + 0.85 * 2 * math.pi * base, rel=1e-9)
    assert covered.closing_stiffness(c) > 50 * c.closing.stiffness


def test_base_of_a_fingered_sleeve_passes_pressure():
    """Steel on steel passes pressure unchanged: kappa of the base is its cone radius over the bore's."""
    c = coupling(slit_case(FINGERS))
    root = c.model.slotted_from
    kappa = (c.bore_radius + c.wall.thickness((3 + root) / 2)) / c.bore_radius
    share = (root - 3) / (root - 3 + (25 - root) * c.fill_fraction)
    assert covered.grip_share(c) == approx(1 + (kappa - 1) * share, rel=1e-12)
    beyond = c.changed(start=root + 1)  # a ring on the fingers alone
    assert covered.grip_share(beyond) == 1.0
    assert covered.closing_stiffness(beyond) < covered.closing_stiffness(c)


def test_given_hoop_stiffness_softens_the_base_too():
    c, given = (coupling(slit_case(Slits("fingers", 6, 1.0, 16.0, True, eta))) for eta in (None, 0.1))
    base = covered.closing_stiffness(c) - c.closing.stiffness
    assert covered.closing_stiffness(given) - given.closing.stiffness == approx(0.1 * base, rel=1e-9)
    assert covered.grip_share(given) - 1 == approx(0.1 * (covered.grip_share(c) - 1), rel=1e-9)


@pytest.mark.parametrize("slits", [Slits("through", 1, 1.5), Slits("alternating", 4, 1.0, 20.0)])
def test_other_slits_pass_force_and_close_whole(slits):
    c = coupling(slit_case(slits))
    assert covered.grip_share(c) == 1.0
    assert covered.closing_stiffness(c) == c.closing.stiffness


def test_ring_expands_over_its_own_length():
    """Lamé under the force spread over the ring, whatever it covers."""
    c = coupling(closed_case())
    pressure, b = 50e3 / (2 * math.pi * c.cone_radius * 12), c.cone_radius
    grown = pressure * b / 205000 * ((15**2 + b * b) / (15**2 - b * b) + 0.29)
    assert columns.ring_expansion(c, 50e3) == approx(grown, rel=1e-12)
    assert columns.ring_expansion(c.changed(length=8.0), 50e3) != columns.ring_expansion(c, 50e3)  # another cone radius
    assert columns.ring_expansion(c.changed(start=6.0), 50e3) == columns.ring_expansion(c, 50e3)
