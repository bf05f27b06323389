"""What loads the shaft beside the seat, against round-bar formulas worked out here, and what service takes and adds on its way."""

from math import hypot, pi, sqrt

import pytest
from helpers.push import case_of
from pytest import approx

from colletfea.cases.hand.rings import Service
from colletfea.cases.judgement.by_hand import decision
from colletfea.cases.judgement.loads import added, lost, service_of, shaft_block

# 20/14 mm, 100 N m times 1.5: W_p = pi (20^4 - 14^4)/(16 20) = 1193.6 mm^3, tau = 150000/1193.6 = 125.67 MPa
SECTION = pi * (20**4 - 14**4) / (16 * 20)
HOLLOW = {"shaft__bore": 14, "duty": {"torque": 100, "slip_safety": 1.5}}


def test_torque_alone():
    found = shaft_block(case_of(**HOLLOW))
    assert found == {"torsion_MPa": approx(125.67, abs=0.01), "bending_MPa": 0.0, "von_mises_MPa": approx(217.66, abs=0.02)}
    assert found["torsion_MPa"] == approx(150e3 / SECTION) and found["von_mises_MPa"] == approx(sqrt(3) * 150e3 / SECTION)


def test_a_radial_pull_bends_it():
    """500 N at 45 mm from the far end of a seat of 20 mm: M = 22500 N mm, sigma = M/(W_p/2) = 37.70 MPa."""
    found = shaft_block(case_of(**{**HOLLOW, "duty": {**HOLLOW["duty"], "radial": 500, "radial_at": 45}}))
    assert found["bending_MPa"] == approx(500 * 45 / (SECTION / 2)) == approx(37.70, abs=0.01)
    assert found["von_mises_MPa"] == approx(hypot(37.70, sqrt(3) * 125.67), rel=1e-4)


def test_no_duty_no_load():
    assert shaft_block(case_of(push__travel=0.5, duty=None)) is None


#: bore force lost by speed and by temperature, the most of it on the way, and the most gained
WAYS = {
    "tightens in the warmth": (300.0, -700.0, 300.0, 700.0),
    "loosens in the warmth": (300.0, 700.0, 1000.0, 0.0),
    "speed tightens, warmth loosens": (-300.0, 700.0, 700.0, 300.0),
    "both tighten": (-300.0, -700.0, 0.0, 1000.0),
}


@pytest.mark.parametrize("speed, warmth, most, gained", WAYS.values(), ids=WAYS.keys())
def test_cold_at_speed_warm_at_speed_and_warm_at_rest_all_count(speed, warmth, most, gained):
    found = Service(warmth, speed, 2 * warmth, 2 * speed, hoop_by_temperature=0.0, hoop_by_speed=50.0)
    assert lost(found) == {"bore": most, "cone": 2 * most}
    assert (added(found).ring_speed, added(found).tightened) == (50.0, gained)


def test_no_service_takes_or_adds_nothing():
    assert lost(None) == {} and (added(None).ring_speed, added(None).tightened) == (0.0, 0.0)


def by_hand(**service):
    case = case_of(drop=("push",), duty={"torque": 40}, service=service)
    found = decision(case, {"slits": None})
    return case, found, {v["name"]: v for v in found["verdicts"]}


def test_by_hand_a_ring_that_shrinks_later_saves_no_cold_start():
    """Force needed as without the cold ring; the stress is that of a ring that is cold when it stands still."""
    (case, cold, verdicts), (_, alone, turning), (_, still, resting) = (
        by_hand(speed=12000, ring_hotter=-60), by_hand(speed=12000), by_hand(ring_hotter=-60)
    )
    service = service_of(case)
    assert service.lost_by_speed > 0 > service.lost and cold["service"]["most_lost_N"]["bore"] == service.lost_by_speed
    assert cold["service"]["grip_lost_N"] == service.lost
    assert cold["clamp"]["needed_N"] == alone["clamp"]["needed_N"] > still["clamp"]["needed_N"]
    assert verdicts["slip"]["value"] == approx(turning["slip"]["value"], rel=1e-12) and verdicts["slip"]["margin"] == approx(1, abs=0.01)
    assert f"have taken {service.lost_by_speed:.4g} N" in verdicts["slip"]["because"]
    assert verdicts["yield_sleeve"]["value"] > turning["yield_sleeve"]["value"] and resting["yield_sleeve"]["value"] > 0
