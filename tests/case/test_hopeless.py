"""A pull or a duty that no seat bears: the push ends where parts are strained past all elasticity, and says so."""

import pytest

from colletfea.cases.casefile.case import Case
from colletfea.cases.report import decision
from colletfea.cases.run import solve
from colletfea.cases.stored.names import STRAIN

TABLES = {
    "shaft": {"diameter": 20},
    "sleeve": {"length": 20, "nose_wall": 2, "taper": 4, "clearance": 0.04},
    "ring": {"length": 20, "outer_diameter": 45, "start": 2},
    "friction": {"cone": 0.1, "bore": 0.12},
    "mesh": {"size": 1.2},
}
DUTY = {"torque": 60000}


@pytest.fixture(scope="module")
def looked_for():
    """60 000 N·m on a 20 mm shaft, pushed by 0.5 mm: the search for the force needed took 10 000 iterations before it had an end."""
    return solve(Case.from_tables(TABLES | {"duty": DUTY, "push": {"travel": 0.5}}, "hopeless"), "quick")


def test_a_search_that_cannot_succeed_ends_soon(looked_for):
    (corner,) = looked_for.summary["corners"]
    assert corner["search"]["stop_reason"] == STRAIN and corner["search"]["push_force_N"] > 5 * corner["push_force_N"]
    assert looked_for.summary["simulation"]["effort"]["iterations"] < 1000
    assert looked_for.summary["clamp"]["needed_N"] is None


def test_the_push_itself_reached_its_travel_and_is_judged(looked_for):
    assert looked_for.summary["simulation"]["completed"] and looked_for.exit_code == 0
    slip = next(v for v in looked_for.verdicts if v.name == "slip")
    assert slip.ok is False and slip.limit == 90000


def test_the_decision_says_where_the_search_ended(looked_for):
    said = " ".join(decision.sentences({**looked_for.summary, "shaft_load": None}))  # it alone is too much here, and is said first
    assert "It cannot work at any pull, because a part was strained past all elasticity (by 3 % and past twice its yield" in said
    assert "Clamp force needed: no pull carries the duty; a part was strained past all elasticity" in said


def test_a_force_no_part_bears_is_a_physical_end():
    result = solve(Case.from_tables(TABLES | {"push": {"force": 1e7, "scatter": 1}}, "hopeless"), "quick")
    simulation = result.summary["simulation"]
    assert simulation["stop_reason"] == STRAIN and not simulation["completed"] and result.exit_code == 0
    yields = {v.name: v.ok for v in result.verdicts if v.name.startswith("yield")}
    assert False in yields.values() and True not in yields.values()  # at the force that was asked for nothing is known to hold
