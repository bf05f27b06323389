"""The verdict on work that is missing."""

from dataclasses import replace

import pytest

from colletfea.cases.hand.corners import Corner, Reached, Rub, Seat
from colletfea.cases.judgement.energy import LIMIT, energy
from colletfea.cases.stored import verdict


def reached(missing, name="nominal"):
    corner = Corner(name, 0.04, Rub(0.1, 0.1), Rub(0.1, 0.1), "least")
    return Reached(corner, 1e4, 0.3, "force", Seat(), Seat(), Seat(), {}, 0.0, work_missing=missing)


@pytest.mark.parametrize("missing", [0.0, 0.0018, LIMIT])
def test_nothing_is_said_up_to_the_limit(missing):
    assert energy([reached(missing)], {}) is None


@pytest.mark.parametrize("missing, percent", [(0.0201, "2 %"), (0.157, "16 %"), (3.0, "3e+02 %")])
def test_more_is_a_failed_verdict_that_names_the_share(missing, percent):
    found = energy([reached(missing)], {})
    assert (found.name, found.value, found.limit) == ("energy", missing, LIMIT)
    assert found.ok is False and found.margin == pytest.approx(LIMIT / missing)
    assert found.because.startswith(percent + " of the work that the ring put in")
    assert verdict.title("energy") == "Work of the push and of what follows adds up" and verdict.subject("energy") == "balance of the work"


def test_the_corner_that_misses_most_is_judged_and_named():
    found = energy([reached(0.03), reached(0.05, "tight"), reached(0.04, "loose")], {})
    assert (found.value, found.corner) == (0.05, "tight") and "in corner tight;" in found.because


def test_a_stage_that_misses_most_is_judged_and_named():
    """Those after the nominal push, and the service of each corner."""
    stages = {"service": 0.001, "release": 0.03, "twist": 0.06}
    found = energy([reached(0.05, "tight"), reached(0.0)], stages)
    assert (found.value, found.corner) == (0.06, "nominal") and found.because.startswith("6 % of the work of the twist is neither")
    assert "torque to slip" in found.because
    loose = replace(reached(0.01, "loose"), service_missing=0.07)
    found = energy([reached(0.05, "tight"), loose], stages)
    assert (found.value, found.corner) == (0.07, "loose") and "7 % of the work of the service" in found.because
    assert energy([reached(LIMIT)], {"release": LIMIT}) is None
