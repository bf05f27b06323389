"""Extreme random designs that once took long, moved from mesh to mesh or never touched, each with the sentence it must give."""

from pathlib import Path

import pytest

from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.faults import CaseError
from colletfea.cases.hand.corners import GRIP
from colletfea.cases.judgement.plausible import unsound
from colletfea.cases.report import decision
from colletfea.cases.run import solve
from colletfea.cases.simulation.twist import twist
from colletfea.cases.stored.names import DUTY, FORCE, MET
from helpers.push import push_corner

DATA = Path(__file__).parents[1] / "data"


def design(number):
    return Case.read(DATA / f"extreme_{number}.toml")


def test_a_ring_that_would_lie_on_its_rounding_alone_is_refused():
    """Its cone overlaps the sleeve's by 0.45 mm, the radius is 0.77: it was pushed without ever touching."""
    with pytest.raises(CaseError) as refused:
        design(216)
    assert refused.value.faults == [
        "ring.edge_radius = 0.766278082046: must be below 0.385179 mm: where ring and sleeve overlap, 0.454 mm, no cone is left between the roundings"
    ]


@pytest.mark.slow
def test_one_that_moves_with_the_mesh_says_so():
    """A frictionless cone of 23 degrees on a hollow shaft without clearance: from the default mesh to the fine one by 5 %."""
    result = solve(design(154), check=True)
    assert result.verdicts[-1].name == "mesh" and result.verdicts[-1].ok is False
    assert "mesh or increments are too coarse: with half the mesh size" in " ".join(decision.sentences(result.summary))


def test_one_that_meets_its_flange_says_so_and_that_its_parts_overlap():
    """ν = 0.4999, hub on the ring, without augmentation: 350 iterations or fewer at the worst friction."""
    case = design(123)
    done, reached = push_corner(case, "quick", GRIP, finds=True)
    assert reached.reason == MET and reached.needed is None and done.tally.iterations <= 350
    (said,) = unsound([reached], case.solver.augment)
    assert "with solver.augment = true it is less" in said


@pytest.mark.slow
def test_one_that_took_long_to_twist_reaches_full_slip():
    """A shaft that is a tube of 0.09 mm, pressed over 2 µm of it."""
    case = design(4)
    pushed, _ = push_corner(case, "quick")
    turned = twist(case, pushed.model, pushed.states[-1])
    assert turned.complete and turned.summary()["capacity_ratio"] == pytest.approx(1, abs=1e-3)
    assert sum(state.iterations for state in turned.states) < 1500


@pytest.mark.parametrize("number, end", [(2, FORCE), (5, MET), (102, FORCE), (114, DUTY)])
def test_ones_with_nearly_incompressible_parts_or_an_edge_that_presses_reach_a_physical_end(number, end):
    """ν = 0.4999 once left finite-strain corrections without an end (5, 102, 114); a cone that touches over 0.2 mm gave a peak below its mean (2)."""
    _, reached = push_corner(design(number), "quick")
    assert reached.reason == end and 0 < reached.work_missing < 1e-3
    assert reached.cone.peak_pressure >= reached.cone.mean_pressure * (1 - 1e-12) > 0
    assert reached.bore.peak_pressure >= reached.bore.mean_pressure * (1 - 1e-12)
