"""What is judged of a push that ended with a plastic collapse."""

from dataclasses import replace

from helpers.push import case_of

from colletfea.cases.hand.corners import NOMINAL, Clamp, Collapse, Reached, Seat, Stress, table
from colletfea.cases.judgement.blocks import corner as block
from colletfea.cases.judgement.strength import Added
from colletfea.cases.judgement.verdicts import judge

STEEL = {"young": 206000, "poisson": 0.3, "yield": 300}
CASE = case_of(ring__material=STEEL, shaft__material=STEEL, solver__plastic=True, duty={"torque": 20})
STRESSES = {"ring": Stress(299.0, 12.0, 5.0), "shaft": Stress(90.0, 9.0, 5.0)}
FOUND = Collapse("ring", 6382.0, 0.873)


def reached(collapse):
    nominal = next(corner for corner in table(CASE) if corner.name == NOMINAL)
    push = Reached(nominal, 6374.0, 1.956, "collapse" if collapse else "travel", Seat(), Seat(), Seat(), STRESSES, 0.0)
    return replace(push, collapse=collapse)


def judged(collapse):
    return {v.name: v for v in judge(CASE, {"slits": None}, Clamp(None, 6e3, 6e3, 1.0, ""), [reached(collapse)], {}, Added())}


def test_the_part_the_force_and_the_travel_are_named():
    found = judged(FOUND)["collapse"]
    assert (found.ok, found.value, found.limit, found.margin, found.corner) == (False, 6382.0, None, None, "nominal")
    assert "the ring collapsed: from 0.873 mm of travel on" in found.because and "at 6.382 kN" in found.because
    assert "give the ring more wall or a stronger material" in found.because


def test_what_the_force_was_not_reached_for_is_not_judged_and_the_part_that_yields_is():
    found = judged(FOUND)
    assert found["slip"].ok is None and "carried no more" in found["slip"].because and "6.374 kN and 1.96 mm" in found["slip"].because
    assert found["yield_shaft"].ok is None and found["yield_ring"].ok is False


def test_a_push_that_does_not_collapse_has_no_such_verdict():
    assert "collapse" not in judged(None) and judged(None)["slip"].ok is False
    assert block(CASE, reached(None), {})["collapse"] is None
    assert block(CASE, reached(FOUND), {})["collapse"] == {"part": "ring", "push_force_N": 6382.0, "travel_mm": 0.873}
