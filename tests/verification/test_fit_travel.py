"""What the limits of a fit mean for the ring's travel: clearance over the taper, from the printed limits to the hand's column."""

from math import radians, tan

import pytest
from helpers.hand import closed_case

from colletfea.cases.casefile.fits import clearances
from colletfea.cases.hand.calculation import hand


@pytest.mark.verification(source="ISO 286-2, printed limits of H8 and f7 over 18 to 30 mm; geometry of the taper")
def test_travel_that_closes_the_limits_of_a_fit():
    """20 H8/f7 is 10 to 37 micrometres open on radius: 0.19081 to 0.70600 mm along a taper of 3 degrees, to the digits given."""
    fit = clearances("H8/f7", 20)
    assert (fit.tightest / 2, fit.loosest / 2) == pytest.approx((0.010, 0.037), abs=1e-12)
    case = closed_case(shaft__diameter=20.0, sleeve__clearance=None, sleeve__fit="H8/f7", ring__outer_diameter=40.0)
    found = hand(case, fit)["fit"]
    for name, travel in (("tightest", 0.19081), ("loosest", 0.70600)):
        assert found[name]["plain"]["closing_travel_mm"] == pytest.approx(travel, abs=5e-6)
        assert travel == pytest.approx(getattr(fit, name) / 2 / tan(radians(3)), abs=5e-6)
