"""Extreme random designs that once took long, moved from mesh to mesh or never touched, each with the sentence it must give."""

from pathlib import Path

import pytest

from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.faults import CaseError
from colletfea.cases.report import decision
from colletfea.cases.run import solve

DATA = Path(__file__).parents[1] / "data"


def design(number):
    return Case.read(DATA / f"extreme_{number}.toml")


def test_a_ring_that_would_lie_on_its_rounding_alone_is_refused():
    """Its cone overlaps the sleeve's by 0.45 mm, the radius is 0.77: it was pushed without ever touching."""
    with pytest.raises(CaseError) as refused:
        design(216)
    assert refused.value.faults == [
        "ring.edge_radius = 0.766278082046: must be below 0.385 mm: where ring and sleeve overlap, 0.454 mm, no cone is left between the roundings"
    ]


@pytest.mark.slow
def test_one_that_moves_with_the_mesh_says_so():
    """A frictionless cone of 23 degrees on a hollow shaft without clearance: from the default mesh to the fine one by 5 %."""
    result = solve(design(154), check=True)
    assert result.verdicts[-1].name == "mesh" and result.verdicts[-1].ok is False
    assert "mesh or increments are too coarse: with half the mesh size" in decision.sentences(result.summary)[0]


@pytest.mark.slow
def test_one_that_meets_its_flange_says_so_and_that_its_parts_overlap():
    """ν = 0.4999, hub on the ring, without augmentation: 350 iterations or fewer a corner."""
    result = solve(design(123), "quick")
    said = " ".join(decision.sentences(result.summary))
    assert "It cannot work at any pull, because at the worst friction the ring met the flange" in said
    assert "with solver.augment = true it is less" in said
    assert result.summary["simulation"]["effort"]["iterations"] <= 350 and result.exit_code == 0


@pytest.mark.slow
def test_one_that_took_long_to_twist_reaches_full_slip():
    """A shaft that is a tube of 0.09 mm, pressed over 2 µm of it."""
    result = solve(design(4), "quick")
    twist = result.summary["simulation"]["twist"]
    assert twist["capacity_ratio"] == pytest.approx(1, abs=1e-3) and result.exit_code == 0
    assert sum(row["iterations"] for row in result.stage("twist")) < 1500
