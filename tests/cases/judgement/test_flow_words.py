"""What a yield verdict says of plastic flow, or of where it would begin."""

from dataclasses import replace

import pytest
from helpers.push import case_of

from colletfea.cases.hand.corners import NOMINAL, Believed, Clamp, Flowed, Reached, Seat, Stress, table
from colletfea.cases.judgement.sensitivity import sensitivities
from colletfea.cases.judgement.strength import Added, yields
from colletfea.cases.stored.names import COLLAPSE
from colletfea.cases.stored.verdict import Verdict

STEEL = {"young": 206000, "poisson": 0.3, "yield": 400}


def verdict(value, flowed=None, plastic=True, believed=None, **keys):
    case = case_of(ring__material=STEEL, solver__plastic=plastic, **keys)
    nominal = next(corner for corner in table(case) if corner.name == NOMINAL)
    reached = Reached(nominal, 5000.0, 0.3, "travel", Seat(), Seat(), Seat(), {"ring": Stress(value, 10.0, 5.0)}, 0.0)
    reached = replace(reached, flowed={"ring": flowed} if flowed else {}, believed={"ring": believed} if believed else {})
    return yields(case, {"slits": None}, reached, "ring", Added())


def test_small_flow_is_told():
    found = verdict(410.0, Flowed(0.123, 0.004))
    assert found.ok is False and "metal flows in 12 % of its volume, by up to 0.4 % plastic strain clear of edges" in found.because
    assert "off by twice" not in found.because and "clear of edges, at r" not in found.because
    assert "clear of edges, at r 12.3, z 5 mm" in verdict(410.0, Flowed(0.123, 0.004, 12.3, 5.0)).because


@pytest.mark.parametrize("edge, told", [(0.0, False), (399.0, False), (978.0, True)])
def test_a_stress_settled_at_a_rounded_edge_is_told_where_it_passes_yield(edge, told):
    """The verdict leaves edges out, and says what it leaves out."""
    found = verdict(330.0, believed=Believed(Stress(330.0), 0.98, edge, "ring's leading edge"))
    words = "left out: at the ring's leading edge 978 MPa, settled, passes yield, and a little metal flows there"
    assert found.ok is True and (words in found.because) == told and ("left out" in found.because) == told


@pytest.mark.parametrize("strain, warned", [(0.0099, False), (0.0101, True), (0.05, True)])
def test_above_one_percent_the_flow_stress_is_said_to_be_off(strain, warned):
    assert ("the flow stress is off by twice the strain" in verdict(410.0, Flowed(0.5, strain)).because) == warned


def test_above_five_percent_nothing_is_judged():
    found = verdict(300.0, Flowed(0.5, 0.051))
    assert found.ok is None and found.value == 300.0 and "5.1 % plastic strain" in found.because and "nothing is judged above 5 %" in found.because


def test_an_elastic_stress_above_yield_offers_the_plastic_push():
    assert "solver.plastic = true computes what flows" in verdict(401.0, plastic=False).because
    assert "solver.plastic" not in verdict(399.0, plastic=False).because and "solver.plastic" not in verdict(401.0).because


def test_a_part_without_yield_stress_is_said_to_be_kept_elastic():
    case = case_of(ring__material={"young": 206000, "poisson": 0.3}, sleeve__material=STEEL, solver__plastic=True)
    nominal = next(corner for corner in table(case) if corner.name == NOMINAL)
    reached = Reached(nominal, 5000.0, 0.3, "travel", Seat(), Seat(), Seat(), {"ring": Stress(300.0)}, 0.0)
    found = yields(case, {"slits": None}, reached, "ring", Added())
    assert found.ok is None and "no yield stress to compare with, so the part was kept elastic" in found.because


def test_the_believed_stress_takes_the_place_of_the_coarse_one():
    found = verdict(300.0, plastic=False, believed=Believed(Stress(330.0, 11.0, 6.0), 0.987))
    assert found.value == 330.0 and "r 11, z 6 mm" in found.because and "two meshes agree within 5 % in 98.7 % of the part" in found.because


def test_where_metal_flowed_the_stress_is_said_not_to_be_judged_by_refinement():
    words = "not judged by refinement: metal has flowed in this push"
    assert words in verdict(410.0, Flowed(0.123, 0.004)).because
    assert words not in verdict(390.0).because
    assert words not in verdict(390.0, Flowed(0.1, 0.001), believed=Believed(Stress(390.0), 0.9)).because


def test_a_part_that_flows_throughout_does_so_in_100_percent():
    assert "metal flows in 100 % of its volume" in verdict(410.0, Flowed(1.0, 0.004)).because


def test_a_margin_that_flow_sets_is_not_scaled_to_other_designs():
    """Of two parts the one with the smaller margin counts; it is None where that one has flowed clear of edges."""
    case = case_of(ring__material=STEEL, solver__plastic=True, duty={"torque": 20})
    nominal = next(corner for corner in table(case) if corner.name == NOMINAL)
    judged = [Verdict.at_most(f"yield_{part}", value, 400.0, "MPa", "").at(NOMINAL) for part, value in (("ring", 410.0), ("sleeve", 300.0))]

    def least(**flowed):
        reached = Reached(nominal, 9000.0, 0.3, "travel", Seat(), Seat(), Seat(), {}, 0.0, flowed=flowed)
        rows = sensitivities(case, Clamp(9000.0, 9000.0, 9000.0, 1.0, ""), [reached], {}, judged)
        return next(row["yield_margin"] for row in rows if row["key"] == "friction.bore")  # which moves no stress

    assert least(ring=Flowed(0.2, 0.004)) is None
    assert least(sleeve=Flowed(0.2, 0.004)) == least(ring=Flowed(0.001, 0.0)) == pytest.approx(400 / 410)


def test_an_end_before_a_travel_speaks_of_a_travel():
    case = case_of(ring__material=STEEL, solver__plastic=True)
    nominal = next(corner for corner in table(case) if corner.name == NOMINAL)
    reached = Reached(nominal, 5000.0, 0.3, COLLAPSE, Seat(), Seat(), Seat(), {"ring": Stress(200.0)}, 0.0)
    assert "before the force or travel it was meant to reach" in yields(case, {"slits": None}, reached, "ring", Added()).because


@pytest.mark.parametrize("bending, told", [(401.0, True), (399.0, False)])
def test_a_slit_wall_that_bends_plastically_as_it_closes_is_told(bending, told):
    """The hand value is for the whole clearance; the seat has closed it."""
    case = case_of(sleeve__material=STEEL, solver__plastic=True)
    nominal = next(corner for corner in table(case) if corner.name == NOMINAL)
    closed = {"bending_stress_MPa": bending}
    reached = Reached(nominal, 5000.0, 0.3, "travel", Seat(), Seat(), Seat(), {"sleeve": Stress(100.0)}, case.sleeve.clearance / 2)
    assert ("bends plastically" in yields(case, {"slits": closed}, reached, "sleeve", Added()).because) is told
