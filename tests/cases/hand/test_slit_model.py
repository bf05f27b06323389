"""Slit formulas against the 3D results, against curved-beam theory solved here, and against a beam on springs."""

import math
from types import SimpleNamespace

from helpers import beam
import numpy as np
import pytest
from helpers.slits import SOURCE, TABLES, row_id, rows
from pytest import approx

from colletfea.cases.hand import slit_formulas as formulas
from colletfea.cases.hand.coupling import ClosingSpan
from colletfea.cases.hand.geometry import Flange, Wall
from colletfea.cases.hand.slit_model import CONE_PEAKS, Slits, of, slit_model, wall_over_radius

pytestmark = pytest.mark.verification(source=SOURCE)
POISSON = 0.3


def straight(r, t, length):
    return Wall(r - t / 2, t, length, 0.0)


def tapered(row):
    slope = (row["wall_base"] - row["wall_nose"]) / row["L"]
    return Wall(row.get("bore_radius", 8.0), row["wall_nose"], row["L"], slope)


def model_of(wall, slits, flange=None, start=3.0):
    return slit_model(wall, slits, flange or Flange(), start, POISSON)


def closing_stiffness(wall, slits, flange=None, start=3.0):
    model = model_of(wall, slits, flange, start)
    return ClosingSpan(wall, model, model.slotted_from).stiffness


# One through slit -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("row", rows("through_slit"), ids=row_id)
def test_one_slit_in_a_straight_sleeve(row):
    """The formula's error is the printed one; tolerance: rounding of the printed eta and of the printed error."""
    ratio = formulas.through_slit_ratio(row["r"], row["t"], row["L"], POISSON)
    rounding = 0.0005 + 0.5e-6 / row["eta_c"]
    assert ratio / row["eta_c"] - 1 == approx(row["eta_c_formula_error"], abs=rounding)
    assert abs(ratio / row["eta_c"] - 1) < 0.017


@pytest.mark.parametrize("t, printed", TABLES["through_slit_force_ratio"]["rows"])
def test_cone_closing_force_over_that_of_a_closed_ring(t, printed):
    """Closed ring by Lamé; 3 %: the law is 1.6 % low in the middle length, the print has two figures."""
    a, b = 9 - t / 2, 9 + t / 2
    for length, target in zip((4, 12, 30), printed, strict=True):
        closed = 2 * math.pi * length / ((b * b + a * a) / (b * b - a * a) - POISSON)
        slit = closing_stiffness(straight(9, t, length), Slits("through", 1, 1.0))
        assert slit / closed == approx(target, rel=0.03)


@pytest.mark.parametrize("row", TABLES["through_slit_tapered"]["rows"], ids=row_id)
def test_one_slit_in_a_tapered_sleeve_closed_uniformly(row):
    """Local eta is right to about 1 % of 3D; the sum against the ring model with the same law 0.6 % (thin-ring sum)."""
    stiffness = closing_stiffness(tapered(row), Slits("through", 1, row["w"]))
    assert stiffness == approx(row["closing_force_3d"], rel=0.012)
    assert stiffness == approx(row["closing_force_axisymmetric"], rel=0.006)


@pytest.mark.verification(
    source="Curved-beam theory of an arc pushed onto a rigid circle, derived and solved here"
)
def test_one_slit_arc_on_a_rigid_circle():
    """5.655 E I delta/r^3 and 1.19 times the circle's bending; 1 %: thin limit of the fitted 1.36, rounding of 1.19."""
    force, bending = beam.one_slit_on_a_circle()
    assert force == approx(5.655, rel=1e-4)
    r, t = 100.0, 1.0
    thin = 2 * math.pi * formulas.through_slit_ratio(r, t, 4.0, 0.0) * t / r
    assert thin == approx(force * t**3 / 12 / r**3, rel=0.01)
    assert formulas.BENDING_FACTORS[1] == approx(bending, rel=0.005)


@pytest.mark.verification(
    source="Curved-beam theory of two half rings pushed onto a rigid circle, derived and solved here"
)
def test_two_slits_against_one():
    """Share 5.09/5.655 and bending 4/pi, both kept to two figures."""
    force, bending = beam.two_slits_on_a_circle()
    assert formulas.TWO_SLITS == approx(force / beam.one_slit_on_a_circle()[0], abs=0.005)
    assert formulas.BENDING_FACTORS[2] == approx(bending, abs=0.005)
    one, two = (formulas.through_slit_ratio(9, 2, 12, POISSON, count) for count in (1, 2))
    assert two / one == approx(formulas.TWO_SLITS, rel=1e-12)


@pytest.mark.verification(
    source="Slit ring under uniform pressure, mean closing 1.5 p r_o r_m^3/(E I); curved-beam theory"
)
def test_a_cone_needs_more_than_uniform_pressure():
    """Ring 10/14, 0.01 mm: uniform pressure 0.308642 MPa; a cone 1.35 times its force (5.655/(4 pi/3)), 3 % for t/r."""
    uniform = 210000 * 4**3 * 0.01 / (18 * 12**3 * 14)
    assert uniform == approx(0.308642, rel=2e-6)
    length = 0.5
    cone = 210000 * 0.01 * closing_stiffness(straight(12, 4, length), Slits("through", 1, 1e-6))
    assert cone / (uniform * 2 * math.pi * 14 * length) == approx(5.655 * 3 / (4 * math.pi), rel=0.03)


def test_restraint_runs_from_short_ring_to_long_tube():
    restraints = [formulas.anticlastic_restraint(9, 1, length) for length in (0.1, 2, 10, 50, 69, 71, 1e4)]
    assert restraints[0] == approx(0, abs=1e-5) and restraints[-1] == approx(1, abs=1e-3)
    assert restraints == sorted(restraints)


PRESSED = rows("pressed")


@pytest.mark.parametrize("row", [row for row in PRESSED if row["pattern"] == "through"], ids=row_id)
def test_peak_at_the_edge_of_a_through_slit(row):
    """Length average at the slit edge; 6 %: scatter of the 3D values about the straight line."""
    assert formulas.edge_peak(row["q_over_p_cone"]) == approx(row["cone_col_max"], rel=0.06)


@pytest.mark.parametrize("pattern", ["fingers", "alternating"])
def test_peak_of_slotted_patterns_is_the_upper_end(pattern):
    """2 %: the highest 3D value of the alternating pattern, 2.55, is quoted as 2.5."""
    columns = ("cone_col_max", "cone_loc_max")
    highest = max(row[column] for row in PRESSED if row["pattern"] == pattern for column in columns)
    assert 0.7 * CONE_PEAKS[pattern] < highest < CONE_PEAKS[pattern] * 1.025


# With a flange ----------------------------------------------------------------------------------------------------

GEOMETRIES = TABLES["flange"]["geometries"]


def flanged(geometry, cuts_flange):
    wall = Wall(geometry["bore_radius"], geometry["nose_wall"], geometry["L"], geometry["tan_taper"])
    flange = Flange(geometry["flange_thickness"], geometry["flange_radius"])
    return closing_stiffness(
        wall, Slits("through", 1, geometry["w"], 0.0, cuts_flange), flange, geometry["start"]
    )


@pytest.mark.parametrize("row", GEOMETRIES, ids=lambda row: row["case"])
def test_slit_that_cuts_the_flange(row):
    """Closing force over 27 geometries: within 6.5 %, the largest difference measured being 6.0 %."""
    assert flanged(row["geometry"], cuts_flange=True) == approx(row["k_cut"], rel=0.065)


def test_cut_flange_of_the_example():
    """1.90 mm of stiffness, 0.0444 added to eta; the bore is closed at 5.80 to 5.92 kN in 3D (closing 1.015 d)."""
    geometry = GEOMETRIES[0]["geometry"]
    wall = Wall(geometry["bore_radius"], geometry["nose_wall"], geometry["L"], geometry["tan_taper"])
    bending = formulas.flange_bending(wall.bore_radius, 26.0, 6.0)
    stiffness = formulas.cut_flange_stiffness(bending, wall.radius(0), wall.thickness(0), 3.0)
    assert stiffness == approx(1.90, abs=0.005)
    cut, bare = (
        model_of(wall, Slits("through", 1, 1.5), Flange(6.0, 26.0)),
        model_of(wall, Slits("through", 1, 1.5)),
    )
    assert cut.ratio(13.0) - bare.ratio(13.0) == approx(0.0444, abs=5e-5)
    force = 206000 * 0.0135 * flanged(geometry, cuts_flange=True)
    assert 0.98 * 5800 < force < 1.02 * 5920


@pytest.mark.verification(source="Eccentricity of a thin curved beam, I/(A r); textbook limit")
def test_flange_bends_as_a_curved_beam():
    """J tends to I/r for a thin ring (next term of order (h/r)^2, 1e-4 here)."""
    assert formulas.flange_bending(100, 101, 6) == approx(6 * 1**3 / 12 / 100.5, rel=1e-4)


def starts_near_the_flange(row):
    geometry = row["geometry"]
    middle = Wall(geometry["bore_radius"], geometry["nose_wall"], geometry["L"], geometry["tan_taper"])
    return geometry["start"] <= 0.3 * middle.radius(geometry["L"] / 2)


@pytest.mark.parametrize("row", list(filter(starts_near_the_flange, GEOMETRIES)), ids=lambda row: row["case"])
def test_flange_that_is_not_cut_makes_the_sum_a_lower_estimate(row):
    """Where the cone starts within 0.3 radii of the flange, 3D asks for up to 2.4 times the sum: the note says so."""
    assert 1.0 < row["k_uncut"] / flanged(row["geometry"], cuts_flange=False) < 2.4


def test_share_of_an_uncut_flange_fades_from_one():
    shares = [formulas.uncut_flange_share(z, 12.0, 12.0, 26.0) for z in np.linspace(0, 60, 40)]
    assert shares[0] == 1.0 and shares[-1] < 1e-4
    assert shares == sorted(shares, reverse=True)


# Fingers ----------------------------------------------------------------------------------------------------------


def finger_model(row):
    return model_of(straight(9, row["t"], row["L"]), Slits("fingers", int(row["n"]), 1.0, 0.7 * row["L"]))


@pytest.mark.parametrize("row", rows("fingers", "stiffness_columns", "stiffness"), ids=row_id)
def test_tip_stiffness_of_fingers(row):
    """A beam on springs, made from eta and f alone, gives the tip stiffness within -15 to +11 % of 3D."""
    stiffness = beam.tip_stiffness(finger_model(row), 9.0, row["t"], row["L"], 210000.0, POISSON)
    assert -0.15 <= stiffness / row["K_p"] - 1 <= 0.115


@pytest.mark.parametrize("row", rows("finger_cases")[:36], ids=row_id)
def test_tip_stiffness_error_is_the_one_of_the_ring_model(row):
    """The same beam repeats the errors printed for the ring model; 2 %: shear and thickness of a thick short sleeve."""
    stiffness = beam.tip_stiffness(finger_model(row), 9.0, row["t"], row["L"], 210000.0, POISSON)
    absolute = {(r["n"], r["L"], r["t"]): r["K_p"] for r in rows("fingers", "stiffness_columns", "stiffness")}
    printed = absolute[int(row["n"]), row["L"], row["t"]]
    assert stiffness / printed - 1 == approx(row["error_tip"], abs=0.021)


def test_finger_note_states_what_the_sum_is_worth():
    """Sum over the fingers against the 3D force on their tips: 0.6 to 2.1 for n = 3, 4; 0.08 to 1.1 for n = 6, 8."""
    shares = {3: [], 4: [], 6: [], 8: []}
    for row in rows("fingers", "stiffness_columns", "stiffness"):
        wall = straight(9, row["t"], row["L"])
        slits = Slits("fingers", int(row["n"]), 1.0, 0.7 * row["L"])
        shares[row["n"]].append(210000 * closing_stiffness(wall, slits) / row["K_c"])
    few, many = shares[3] + shares[4], shares[6] + shares[8]
    assert (round(min(few), 1), round(max(few), 1)) == (0.6, 2.1)
    assert (round(min(many), 2), round(max(many), 2)) == (0.08, 1.05)


def test_fingers_are_closed_to_a_tenth_of_their_width_beyond_the_root():
    wall = Wall(8.0, 1.0, 20.0, 0.1)
    model = model_of(wall, Slits("fingers", 4, 1.0, 14.0))
    radius = wall.radius(6 + 0.25 * 14)
    edge = 6 + 0.10 * (2 * math.pi * radius / 4 - 1)
    assert model.breakpoints() == approx((6.0, edge))
    assert model.ratio(3.0) == model.ratio(edge - 1e-6) == 1.0
    assert model.fill(5.9, 9.0) == 1.0 and model.fill(6.1, 9.0) == approx(1 - 4 / (2 * math.pi * 9))
    thick, thin = wall.thickness(10.0), wall.thickness(18.0)
    assert model.ratio(18.0) / model.ratio(10.0) == approx(thick / thin, rel=1e-12)


# Alternating slots ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("row", rows("alternating"), ids=row_id)
def test_alternating_slots(row):
    """The formula's error is the printed one; tolerance: rounding of the printed error (1 %) and of the printed eta."""
    depth = row["slot_share"] * row["L"]
    ratio = formulas.alternating_ratio(9, row["t"], row["L"], depth, int(row["n"]), row["w"])
    rounding = 0.006 + 1.3 * 0.5e-5 / row["eta_c"]
    assert ratio / row["eta_c"] - 1 == approx(row["formula_error_c"], abs=rounding)


@pytest.mark.parametrize("row", rows("alternating_tapered"), ids=row_id)
def test_alternating_slots_in_a_tapered_wall(row):
    """Sum with local t and r against the ring model's printed error; 3.5 %: thin-ring sum of a wall of t/r 0.3."""
    slits = Slits("alternating", row["n"], 1.0, 0.8 * row["L"])
    error = closing_stiffness(tapered(row), slits) / row["closing_force_3d"] - 1
    assert error == approx(row["force_error"], abs=0.035)
    assert abs(error) < 0.15


def test_alternating_slots_overlap_in_the_middle():
    model = model_of(Wall(8.0, 1.0, 20.0, 0.1), Slits("alternating", 3, 1.0, 14.0))
    assert model.breakpoints() == (6.0, 14.0)
    cuts = [(1 - model.fill(z, 9.0)) * 2 * math.pi * 9 for z in (1.0, 10.0, 19.0)]
    assert cuts == approx([3, 6, 3])


# What a case makes of it ------------------------------------------------------------------------------------------


def case_with(slits, flange=(0.0, 0.0)):
    sleeve = SimpleNamespace(
        length=26.0,
        nose_wall=2.2,
        taper=5.0,
        clearance=0.027,
        slits=slits,
        material=SimpleNamespace(poisson=POISSON),
    )
    sleeve.flange_thickness, sleeve.flange_diameter = flange
    shaft = SimpleNamespace(diameter=22.0, bore=0.0)
    ring = SimpleNamespace(start=3.0, length=22.0, outer_diameter=46.0, taper=5.0)
    return SimpleNamespace(shaft=shaft, sleeve=sleeve, ring=ring)


def test_closed_sleeve():
    model = of(case_with(Slits()))
    assert (model.ratio(5.0), model.fill(5.0, 12.0), model.flange_ratio) == (1.0, 1.0, 1.0)
    assert model.shuts_at is None and model.breakpoints() == ()


@pytest.mark.parametrize(
    "cuts, ratio, fill", [(True, 0.001, 1 - 1.5 / (2 * math.pi * 20)), (False, 1.0, 1.0)]
)
def test_flange_of_a_through_slit(cuts, ratio, fill):
    model = of(case_with(Slits("through", 1, 1.5, 0.0, cuts), (6.0, 52.0)))
    assert model.flange_ratio == ratio and model.flange_fill(20.0) == approx(fill)


@pytest.mark.parametrize("cuts, flange_ratio", [(True, 0.02), (False, 1.0)])
def test_given_hoop_stiffness_replaces_eta_but_not_the_fill(cuts, flange_ratio):
    model = of(case_with(Slits("through", 1, 1.5, 0.0, cuts, 0.02), (6.0, 52.0)))
    assert [model.ratio(z) for z in (0.0, 13.0, 26.0)] == [0.02] * 3
    assert model.flange_ratio == flange_ratio and model.scatter_percent is None
    assert model.fill(13.0, 12.0) == approx(1 - 1.5 / (2 * math.pi * 12))


def test_given_hoop_stiffness_holds_in_the_closed_zone_of_fingers_too():
    model = of(case_with(Slits("fingers", 4, 1.0, 14.0, False, 0.05)))
    assert {model.ratio(z) for z in (1.0, 12.5, 25.0)} == {0.05} and model.fill(1.0, 12.0) == 1.0


@pytest.mark.parametrize("count", [1, 2, 6])
def test_slots_shut_when_the_circumference_has_lost_their_width(count):
    closing = formulas.shut_closing(count, 1.5)
    assert 2 * math.pi * (12 - closing) == approx(2 * math.pi * 12 - count * 1.5, rel=1e-12)


def test_fill_takes_arrays_and_pieces_are_one_sided():
    model = of(case_with(Slits("fingers", 6, 1.0, 18.0)))
    assert model.fill(20.0, np.array([11.0, 13.0])).shape == (2,)
    closed, first = model.pieces[1], model.pieces[2]
    assert closed.end == first.start and closed.ratio(closed.end) == 1.0 and first.ratio(first.start) < 0.1


@pytest.mark.parametrize("slope", [0.0, 1e-6, 0.1])
def test_wall_over_radius_is_the_integral(slope):
    wall = Wall(11.0, 2.0, 26.0, slope)
    stations = np.linspace(3.0, 26.0, 20001)
    values = np.array([wall.thickness(z) / wall.radius(z) for z in stations])
    assert wall_over_radius(wall, 3.0, 26.0) == approx(np.trapezoid(values, stations), rel=1e-7)
