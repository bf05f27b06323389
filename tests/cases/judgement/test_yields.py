"""What a yield verdict's stress is made of: the push, what service adds by formulas or by simulation, the bending of a slit sleeve.

Round stresses, added up by hand. By formulas every stress grows as the bore's normal force does, 500 N on 5000 N: a tenth; the ring's
own speed comes on top. Limits are 400 MPa over 1.25.
"""

from helpers.push import CLOSED, case_of
from pytest import approx

from colletfea.cases.hand.corners import NOMINAL, Believed, Reached, Seat, Served, Stress, table
from colletfea.cases.judgement.strength import Added, yields

STEEL = {"young": 2e5, "poisson": 0.3, "yield": 400}
PARTS = {f"{part}__material": STEEL for part in ("shaft", "sleeve", "ring")}
PUSHED = {"shaft": Stress(100.0), "sleeve": Stress(150.0), "ring": Stress(200.0)}
TURNS = Added(ring_speed=12.0, tightened=500.0)
GROWN = Served({}, 0.0, 0.0, {"ring": 7.0, "sleeve": 3.0}, 5000.0)
BENDS = {"slits": {"bending_stress_MPa": 60.0}}


def judged(part, added=TURNS, normal=5000.0, hand=None, closing=0.015, slit=False, stresses=PUSHED, **found):
    case = case_of(() if slit else CLOSED["drop"], duty={"torque": 40, "yield_safety": 1.25}, **PARTS)
    nominal = next(corner for corner in table(case) if corner.name == NOMINAL)
    reached = Reached(nominal, 5000.0, 0.35, "travel", Seat(normal), Seat(), Seat(), stresses, closing, **found)
    return yields(case, hand or {"slits": None}, reached, part, added)


def test_by_formulas_every_stress_grows_with_the_bores_force_and_the_rings_speed_comes_on_top():
    """200 1.1 + 12 = 232; 150 1.1 = 165; 100 1.1 = 110 MPa, against 320 MPa."""
    ring, sleeve, shaft = (judged(part) for part in ("ring", "sleeve", "shaft"))
    assert (ring.value, sleeve.value, shaft.value) == approx((232.0, 165.0, 110.0))
    assert ring.limit == approx(320) and ring.margin == approx(320 / 232) and ring.ok
    assert "12 MPa of it comes from the ring's own speed" in ring.because and "own speed" not in sleeve.because
    assert all("service tightens the seat by 10 %, which is in it" in one.because for one in (ring, sleeve, shaft))


def test_what_is_added_decides():
    """265 1.1 + 12 = 303.5 holds against 320 MPa; 281 1.1 + 12 = 321.1 does not, nor would 281 + 12 or 281 1.1 alone pass it."""
    assert judged("ring", stresses={"ring": Stress(265.0)}).ok and judged("ring", stresses={"ring": Stress(281.0)}).ok is False


def test_a_seat_that_loses_or_does_not_touch_adds_nothing_but_speed():
    assert judged("ring", Added(ring_speed=12.0)).value == approx(212) and judged("ring", normal=0.0).value == approx(212)
    assert judged("ring", Added()).value == approx(200)


def test_by_simulation_only_what_that_tells_is_added():
    """200 + 7 and 150 + 3 MPa; the shaft's does not rise."""
    found = {part: judged(part, served=GROWN) for part in PUSHED}
    assert {part: one.value for part, one in found.items()} == approx({"ring": 207.0, "sleeve": 153.0, "shaft": 100.0})
    assert "7 MPa of it is what service adds by simulation" in found["ring"].because and "tightens" not in found["ring"].because


def test_the_shaft_counts_with_its_duty_and_a_stress_that_meshes_agree_on_counts_first():
    """130 1.1 = 143; 90 1.1 = 99 MPa."""
    under_duty = {"shaft_under_duty": Stress(130.0)}
    assert judged("shaft", **under_duty).value == approx(143) and judged("ring", **under_duty).value == approx(232)
    assert judged("shaft", **under_duty, believed={"shaft": Believed(Stress(90.0), 0.97)}).value == approx(99)


def test_a_slit_sleeve_bends_as_far_as_it_has_closed():
    """60 MPa for 0.015 mm of radial clearance: 30 at half the way, 60 once the seat touches and no more; bending does not grow."""
    found = [judged("sleeve", hand=BENDS, closing=closing, slit=True) for closing in (0.0075, 0.015, 0.02)]
    assert [one.value for one in found] == approx([165 + 30, 165 + 60, 165 + 60])
    assert "30 MPa of it is the slit sleeve's bending by hand" in found[0].because
    assert judged("ring", hand=BENDS, slit=True).value == approx(232)
