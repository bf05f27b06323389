"""Fits against the printed limits of ISO 286-2 and against the formulas of ISO 286-1 behind them."""

import math

import pytest

from colletfea.cases.casefile.fits import BANDS, BORES, DEVIATIONS, GRADES, SHAFTS, bore_limits, clearances, shaft_limits, tighter

# Upper deviation of bores, lower/upper of shafts [micrometre], one row a band of nominal size [mm], as printed in
# ISO 286-2 (read in public reprints; one of them has 19 for H8 of 3-6, the standard 18); above 120 mm from memory.
PRINTED = {
    (3, 6): {"H7": 12, "H8": 18, "H9": 30, "h6": -8, "h7": -12, "h8": -18, "h9": -30, "f7": (-22, -10), "g6": (-12, -4)},
    (6, 10): {"H7": 15, "H8": 22, "H9": 36, "h6": -9, "h7": -15, "h8": -22, "h9": -36, "f7": (-28, -13), "g6": (-14, -5)},
    (10, 18): {"H7": 18, "H8": 27, "H9": 43, "h6": -11, "h7": -18, "h8": -27, "h9": -43, "f7": (-34, -16), "g6": (-17, -6)},
    (18, 30): {"H7": 21, "H8": 33, "H9": 52, "h6": -13, "h7": -21, "h8": -33, "h9": -52, "f7": (-41, -20), "g6": (-20, -7)},
    (30, 50): {"H7": 25, "H8": 39, "H9": 62, "h6": -16, "h7": -25, "h8": -39, "h9": -62, "f7": (-50, -25), "g6": (-25, -9)},
    (50, 80): {"H7": 30, "H8": 46, "H9": 74, "h6": -19, "h7": -30, "h8": -46, "h9": -74, "f7": (-60, -30), "g6": (-29, -10)},
    (80, 120): {"H7": 35, "H8": 54, "H9": 87, "h6": -22, "h7": -35, "h8": -54, "h9": -87, "f7": (-71, -36), "g6": (-34, -12)},
    (120, 180): {"H7": 40, "H8": 63, "H9": 100, "h6": -25, "h7": -40, "h8": -63, "h9": -100, "f7": (-83, -43), "g6": (-39, -14)},
    (180, 250): {"H7": 46, "H8": 72, "H9": 115, "h6": -29, "h7": -46, "h8": -72, "h9": -115, "f7": (-96, -50), "g6": (-44, -15)},
}

# Extreme clearances as printed beside them [micrometre].
PRINTED_FITS = {
    "H7/g6": [(4, 24), (5, 29), (6, 35), (7, 41), (9, 50), (10, 59), (12, 69), (14, 79), (15, 90)],
    "H8/f7": [(10, 40), (13, 50), (16, 61), (20, 74), (25, 89), (30, 106), (36, 125), (43, 146), (50, 168)],
}

# Where the table departs from the rounded formula, by one: (grade, band).
TABLE_GOVERNS = {
    (6, (3, 6)): 1, (7, (6, 10)): 1, (7, (10, 18)): 1, (9, (3, 6)): 1, (9, (120, 180)): -1, (9, (180, 250)): -1,
}


@pytest.mark.verification(source="ISO 286-2, printed limit deviations")
@pytest.mark.parametrize("band", BANDS, ids=str)
def test_limits_are_the_printed_ones(band):
    index = BANDS.index(band)
    for name, limit in PRINTED[band].items():
        if name.startswith("H"):
            assert bore_limits(name, index) == (0, limit), name
        else:
            assert shaft_limits(name, index) == (limit if isinstance(limit, tuple) else (limit, 0)), name


@pytest.mark.verification(source="ISO 286-2, printed clearances")
@pytest.mark.parametrize("fit", PRINTED_FITS)
def test_clearances_are_the_printed_ones(fit):
    for (_, up_to), (tightest, loosest) in zip(BANDS, PRINTED_FITS[fit], strict=True):
        found = clearances(fit, up_to)
        assert (round(1000 * found.tightest, 9), round(1000 * found.loosest, 9)) == (tightest, loosest)
        assert found.middle == pytest.approx((tightest + loosest) / 2000, abs=1e-12)


@pytest.mark.verification(source="ISO 286-1: i = 0.45 D^(1/3) + 0.001 D, IT6 to IT9 = 10, 16, 25, 40 i")
@pytest.mark.parametrize("band", BANDS, ids=str)
def test_grades_follow_the_tolerance_unit(band):
    """Tolerance: none where rounding holds; the six entries named above are one off the rounded formula."""
    size = math.sqrt(band[0] * band[1])
    unit = 0.45 * size ** (1 / 3) + 0.001 * size
    for grade, units in {6: 10, 7: 16, 8: 25, 9: 40}.items():
        more = TABLE_GOVERNS.get((grade, band), 0)
        assert GRADES[grade][BANDS.index(band)] == round(units * unit) + more, grade


@pytest.mark.verification(source="ISO 286-1: f = -5.5 D^0.41, g = -2.5 D^0.34, from memory")
@pytest.mark.parametrize("band", BANDS, ids=str)
def test_f_and_g_shafts_end_where_their_formulas_say(band):
    """Tolerance: one micrometre, what rounding leaves (largest difference measured 0.6)."""
    size = math.sqrt(band[0] * band[1])
    for letter, deviation in {"f": -5.5 * size**0.41, "g": -2.5 * size**0.34}.items():
        assert abs(DEVIATIONS[letter][BANDS.index(band)] - deviation) < 1, letter


@pytest.mark.verification(source="20 H8/f7: 10 to 37 micrometres radial, at 3 degrees 0.19081 to 0.70600 mm of travel")
def test_travel_that_takes_up_a_fit():
    found = clearances("H8/f7", 20)
    travel = [limit / 2 / math.tan(math.radians(3)) for limit in (found.tightest, found.loosest)]
    assert travel == pytest.approx([0.19081, 0.70600], abs=6e-6)


@pytest.mark.verification(source="ISO 286-1: lower deviation of k4 to k7 = 0.6 D^(1/3), from memory")
@pytest.mark.parametrize("band", BANDS, ids=str)
def test_k_shafts_start_where_their_formula_says(band):
    index = BANDS.index(band)
    low = round(0.6 * math.sqrt(band[0] * band[1]) ** (1 / 3))
    assert shaft_limits("k6", index) == (low, low + GRADES[6][index])


def test_a_band_takes_in_its_upper_end_only():
    assert clearances("H8/h7", 18).loosest == pytest.approx(0.045, abs=1e-12)
    assert clearances("H8/h7", 18.01).loosest == pytest.approx(0.054, abs=1e-12)


def test_a_transition_fit_has_a_clearance_below_zero():
    assert clearances("H7/k6", 22).tightest == pytest.approx(-0.015, abs=1e-12)


@pytest.mark.parametrize("fit", ["h7/H8", "H8h7", "H6/h7", "H8/e7", "", "H8/h7/h6"])
def test_other_designations_are_refused(fit):
    with pytest.raises(ValueError, match="such as H8/h7"):
        clearances(fit, 20)


@pytest.mark.parametrize("diameter", [3, 2, 250.1])
def test_sizes_outside_the_tables_are_refused(diameter):
    with pytest.raises(ValueError, match="from over 3 to 250 mm"):
        clearances("H8/h7", diameter)


def test_the_next_tighter_fit_leaves_less_play_and_never_overlaps():
    """Until H7/h6, the tightest of the tables that never overlaps, from every fit that a case file takes."""
    for fit in (f"{bore}/{shaft}" for bore in BORES for shaft in SHAFTS if shaft != "k6"):
        while tighter(fit):
            for _, up_to in BANDS:
                assert clearances(fit, up_to).loosest > clearances(tighter(fit), up_to).loosest and clearances(tighter(fit), up_to).tightest >= 0
            fit = tighter(fit)
        assert fit == "H7/h6"
