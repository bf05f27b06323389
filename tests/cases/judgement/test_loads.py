"""What loads shaft and seat beside the clamp force: the shaft by round-bar formulas, the seat's pressure under a radial pull by the
statics of a first harmonic; worked out here."""

from math import hypot, pi, radians, sqrt, tan

import pytest
from helpers.push import CLOSED, case_of
from pytest import approx

from colletfea.cases.hand.corners import NOMINAL, Reached, Seat, Served, table
from colletfea.cases.hand.rings import Service
from colletfea.cases.judgement.by_hand import decision
from colletfea.cases.judgement.loads import added, lost, radial_block, seat_open, service_of, shaft_block
from colletfea.cases.stored.names import INTERRUPTED

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


# d 20, clearance 0.03, nose wall 2, L 20, taper 4 deg: at half the length the wall is 2 + 10 tan 4 deg = 2.69927 mm, mean radius
# 10.015 + 2.69927/2 = 11.36463 mm, cone 2 (10.015 + 2.69927) = 25.42854 mm across; a slit of 1 mm leaves f = 1 - 1/(2 pi 11.36463) =
# 0.985996. 1000 N at z = 18, of 1.7 [2 F/(pi d L f)] (1 + 6 x/L) (statics of p cos(theta); 1.7 measured):
# bore from 2 to 18: L 16, x 8: 1.7 2000/(pi 20 16 f) 4 = 13.7203 MPa; cone from 4 to 16: L 12, x 8: 1.7 2000/(pi 25.42854 12 f) 5 = 17.9855 MPa.
# q = E t c/r^2 = 2e5 2.69927 0.015/11.36463^2 = 62.6984 MPa, of which the bore is short by 0.7 q = 43.8889 MPa beside the slit.
BORE, CONE, SHORT = 13.7203, 17.9855, 43.8889
PULLED = {"torque": 40, "radial": 1000, "radial_at": 18}
RING = {**PULLED, "carried_by": "ring"}
STEEL = {"young": 2e5, "poisson": 0.3}


def reached(case, bore=80.0, cone=60.0, on_cone=(4.0, 16.0), reason="travel", served=None):
    """The nominal corner with mean pressures [MPa] and where the cone touches; 5000 N on each seat, so that 500 N are a tenth."""
    nominal = next(corner for corner in table(case) if corner.name == NOMINAL)
    on_shaft = Seat(5000.0, mean_pressure=bore, stretch=(2.0, 18.0))
    drawn = Seat(5000.0, mean_pressure=cone, stretch=on_cone)
    return Reached(nominal, 9000.0, 0.35, reason, on_shaft, Seat(), drawn, {}, 0.015, served=served)


def opened(duty=RING, taken=None, drop=(), **found):
    case = case_of(drop, duty=duty, sleeve__material=STEEL)
    return seat_open(case, reached(case, **found), taken or {})


def test_the_numbers_of_the_pull():
    wall = 2 + 10 * tan(radians(4))
    radius, cone = 10.015 + wall / 2, 2 * (10.015 + wall)
    fill = 1 - 1 / (2 * pi * radius)
    assert (BORE, CONE) == approx((1.7 * 2000 / (pi * 20 * 16 * fill) * 4, 1.7 * 2000 / (pi * cone * 12 * fill) * 5), rel=1e-5)
    assert approx(0.7 * 2e5 * wall * 0.015 / radius**2, rel=1e-5) == SHORT


def test_the_bore_opens_where_the_pull_takes_more_than_what_is_left_beside_the_slit():
    """80 - 43.889 = 36.111 MPa against 13.720."""
    found = opened(PULLED)
    assert (found.value, found.limit, found.margin) == approx((36.1111, BORE, 2.63194), rel=1e-5) and found.ok
    assert found.unit == "MPa" and found.corner == NOMINAL and found.because.startswith("pressure of the bore")
    assert found.because.endswith("fatigue and fretting are not judged") and "measured. The pull turns" in found.because
    assert opened({**PULLED, "rotating": False}).because.endswith("the greatest ratio that was measured")
    assert opened(PULLED, bore=57.6).ok is False and opened(PULLED, bore=57.7).ok
    apart = opened(PULLED, bore=40.0)
    assert apart.ok is False and apart.margin == 0 and apart.value == approx(40 - SHORT, rel=1e-4)


def test_a_slit_takes_nothing_off_the_cone():
    """Its edges press less on the shaft and more on the cone (3D study: there 1 + 0.33 q/p of the mean). The worse of the two: bore 80 - 43.889 over 13.720 = 2.632, cone 60 over 17.985 = 3.336, at 47 MPa 2.613. By the bore's 0.7 q the cone would stand at 0.896."""
    both, cone = opened(), opened(cone=47.0)
    assert both == opened(PULLED) and both.margin == approx(2.63194, rel=1e-5)
    assert (cone.value, cone.limit, cone.margin) == approx((47.0, CONE, 2.61322), rel=1e-5)
    assert "pressure of the cone" in cone.because and "beside the slit" not in cone.because


def test_a_closed_sleeve_is_short_nowhere():
    """f = 1: 13.7203 times 0.985996 = 13.5282 MPa."""
    found = opened(PULLED, drop=CLOSED["drop"])
    assert (found.value, found.limit) == approx((80.0, 13.5282), rel=1e-5) and "beside the slit" not in found.because


@pytest.mark.parametrize("taken, bore, cone", [({"bore": 500.0, "cone": 2500.0}, 72.0, 30.0), ({"bore": 500.0, "cone": 9000.0}, 72.0, 0.0), ({}, 80.0, 60.0)])
def test_service_takes_its_share_of_the_pressure(taken, bore, cone):
    """500 of 5000 N leave 72 of 80 MPa, 2500 of 5000 N 30 of 60 MPa; more than there is leaves nothing."""
    assert opened(PULLED, taken).value == approx(bore - SHORT, rel=1e-4)
    assert opened(RING, taken, bore=1e4).value == approx(cone)
    assert opened(PULLED, {"bore": 9000.0}).value == approx(-SHORT, rel=1e-4)
    simulated = Served(taken, 0.0, 0.0, {}, 9000.0)
    assert opened(RING, {"cone": 100.0}, bore=1e4, served=simulated).value == approx(cone)


def test_what_is_not_judged_comes_before_what_holds_and_after_what_opens():
    """A cone that does not touch; a bore at 80 MPa that holds and one at 50 MPa that opens."""
    assert opened(on_cone=None).ok is None and opened(on_cone=None).because == "no part of the seat touches"
    assert opened(on_cone=None, bore=50.0).ok is False
    early = opened(reason=INTERRUPTED)
    assert early.ok is None and early.value is None and "ended at 9 kN" in early.because and early.corner == NOMINAL


def test_the_block_is_that_of_the_bore():
    """72 MPa after a tenth is taken: 72 - 43.889 - 13.720 = 14.391 MPa; 1000 N over 18 mm bend by 32 18000/(pi 20^3) = 22.918 MPa."""
    case = case_of(duty=RING, sleeve__material=STEEL)
    assert radial_block(case, reached(case), {"bore": 500.0, "cone": 2500.0}) == {
        "pressure_amplitude_MPa": approx(BORE, rel=1e-5), "least_pressure_MPa": approx(14.3909, abs=1e-3), "bending_MPa": approx(22.918, abs=1e-3),
    }  # fmt: skip


def test_without_a_pull_nothing_is_judged():
    for duty in (None, {"torque": 40}):
        case = case_of(duty=duty)
        assert seat_open(case, reached(case), {}) is None and radial_block(case, reached(case), {}) is None
