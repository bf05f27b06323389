"""What a case asks of its mesh where metal may flow."""

import pytest
from helpers.push import case_of

from colletfea.cases.simulation.model import refined, section

THIN = {"ring__outer_diameter": 28.4, "mesh": {"size": 1.5}}  # the ring's wall is 0.92 mm at its leading face


@pytest.mark.parametrize("plastic, least", [(False, 1), (True, 2)])
def test_a_wall_that_may_flow_has_two_elements_across(plastic, least):
    assert section(case_of(solver={"plastic": plastic}, **THIN), 0.3, 1.5).least == least


def test_a_wall_that_was_refined_by_itself_is_told():
    (said,) = refined(case_of(solver={"plastic": True}, **THIN), 1.5)
    assert "Elements of 1.5 mm would be one across the ring's wall" in said and "was given two" in said
    assert refined(case_of(**THIN), 1.5) == [] == refined(case_of(solver={"plastic": True}), 0.5)
