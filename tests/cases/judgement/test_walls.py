"""Which wall would do: by the hand calculation's ratio, and what a run then makes of it."""

import pytest
from helpers.push import CLOSED, case_of, push_corner, run, verdicts

from colletfea.cases.hand.calculation import hand
from colletfea.cases.hand.corners import NOMINAL, Clamp, Reached, Seat, Stress, table
from colletfea.cases.judgement.strength import Added, yields
from colletfea.cases.judgement.walls import walls
from colletfea.cases.stored.names import FORCE, YIELD


def steel(yield_stress):
    return {"young": 206000, "poisson": 0.3, "yield": yield_stress}


#: numbers here hang on the mesh: that of the quick level
MESH = {"mesh__size": 0.5}
SHAFT = {"shaft__bore": 12, "shaft__material": steel(100), **MESH}
RING = {"ring__material": steel(145), **MESH}


def advised(**keys):
    found = run(**keys)
    clamp = Clamp(None, found.force, found.force, 1.0, "")
    return found, walls(found.case, [found.reached], list(verdicts(found).values()), Added(), clamp)


def pushed_with(found, row, **keys):
    """The part's stress where the wall advised is pushed with the same force."""
    case = case_of(**{**keys, row["key"].replace(".", "__"): row["changed_to"]})
    reached = push_corner(case, "quick", force=found.force)[1]
    return yields(case, hand(case), reached, row["part"], Added()).value


@pytest.mark.slow
@pytest.mark.parametrize("keys, key, off", [(SHAFT, "shaft.bore", 0.05), (RING, "ring.outer_diameter", 0.08)])
def test_the_wall_advised_does_when_it_is_run(keys, key, off):
    """Measured: 3 % below what was told for a hollow shaft, 6 % above for the ring."""
    found, (row,) = advised(**keys)
    limit = next(v.limit for v in verdicts(found).values() if v.name == f"yield_{row['part']}")
    assert row["key"] == key and 0.95 * limit < row["stress_MPa"] <= limit
    assert pushed_with(found, row, **keys) == pytest.approx(row["stress_MPa"], rel=off)


def test_a_thicker_wall_of_the_ring_is_one_of_its_outside():
    found, (row,) = advised(**RING)
    bore = found.case.ring.outer_diameter / 2 - row["wall_mm"] + (row["changed_to"] - row["value"]) / 2
    assert row["changed_to"] > row["value"] == 40 and bore == pytest.approx(13.2737, abs=1e-3)


def test_where_no_wall_does_that_is_said():
    _, rows = advised(sleeve__material=steel(300), **CLOSED)
    assert rows[0]["part"] == "sleeve" and rows[0]["changed_to"] is rows[0]["wall_mm"] is None


def test_nothing_is_advised_where_nothing_yields_nor_for_a_solid_shaft_nor_for_metal_that_flows():
    assert advised()[1] == []
    assert advised(shaft__material=steel(50))[1] == []
    found = run(**RING)
    flows = found.case.changed({"solver.plastic": True})
    assert walls(flows, [found.reached], list(verdicts(found).values()), Added(), Clamp(None, 1e4, 1e4, 1.0, "")) == []


@pytest.mark.parametrize("reason, parts", [(FORCE, ["ring"]), (YIELD, [])])
def test_nothing_is_advised_of_a_push_that_ended_where_the_part_yields(reason, parts):
    """Its stress of 160 MPa over the 145 of the ring is that of the end, not of the force that was asked for."""
    case = case_of(**RING)
    nominal = next(corner for corner in table(case) if corner.name == NOMINAL)
    reached = Reached(nominal, 9000.0, 0.35, reason, Seat(), Seat(), Seat(), {"ring": Stress(160.0)}, 0.0)
    verdict = yields(case, hand(case), reached, "ring", Added())
    assert verdict.ok is False
    assert [row["part"] for row in walls(case, [reached], [verdict], Added(), Clamp(None, 9000.0, 9000.0, 1.0, ""))] == parts
