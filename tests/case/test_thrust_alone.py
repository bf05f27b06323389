"""A thrust without torque where the hub sits on the ring: the bore holds it by friction, the push keeps the ring on."""

from functools import cache

import pytest

from colletfea.cases.casefile.case import Case
from colletfea.cases.run import solve

COUPLING = {
    "shaft": {"diameter": 22},
    "sleeve": {"length": 26, "nose_wall": 2.2, "taper": 5, "clearance": 0.03, "slits": {"pattern": "through", "count": 1, "width": 1}},
    "ring": {"length": 22, "outer_diameter": 50, "start": 3},
}


@cache
def run(thrust, bore, **push):
    tables = {"friction": {"cone": 0.1, "bore": bore}, "duty": {"thrust": thrust, "carried_by": "ring"}, "push": push}
    return solve(Case.from_tables({**COUPLING, **tables}, "thrust"), level="quick").summary


def verdict(summary, name):
    return next((v for v in summary["verdicts"] if v["name"] == name), None)


@pytest.mark.parametrize("thrust", [3000, -3000])
def test_the_bore_carries_the_thrust_by_friction(thrust):
    """Coulomb: mu N = S X at the force needed, landed on to 0.1 %."""
    summary = run(thrust, 0.12)
    held = verdict(summary, "slip")
    assert held["ok"] and held["unit"] == "N" and held["value"] == pytest.approx(4500, rel=5e-3)
    assert 0.12 * summary["simulation"]["at_end"]["bore"]["normal_force_N"] == pytest.approx(4500, rel=5e-3)


def test_a_thrust_that_draws_the_ring_off_asks_for_as_much_push():
    """Rough enough, the bore holds with less: then the thrust times slip safety is what is needed. Statics."""
    summary = run(3000, 0.9)
    assert summary["clamp"]["needed_N"] == pytest.approx(4500) and verdict(summary, "cone_slip")["ok"]
    pulled = verdict(run(3000, 0.9, force=4000.0), "cone_slip")
    assert pulled["ok"] is False and (pulled["value"], pulled["limit"], pulled["unit"]) == (pytest.approx(4000), 4500, "N")
    assert "which draws it off" in pulled["because"]


def test_a_thrust_that_presses_the_ring_on_asks_nothing_of_the_cone():
    summary = run(-3000, 0.9)
    assert verdict(summary, "cone_slip") is None and summary["clamp"]["needed_N"] < 4500


def test_a_push_of_its_own_goes_on_until_the_ring_is_kept_on():
    """Without scatter and with single friction values the push itself ends at the duty."""
    summary = run(3000, 0.9, scatter=1)
    assert summary["simulation"]["at_end"]["push_force_N"] == pytest.approx(4500, rel=5e-4) and verdict(summary, "cone_slip")["ok"]
