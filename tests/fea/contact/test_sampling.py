"""Panels of follower edges: how many, by what the leader's edges within reach are like."""

import numpy as np
import pytest

from colletfea.fea.contact.sampling import panels


def chain(ends):
    """Straight edges (k, 3, 2) along z between ends."""
    ends = np.asarray(ends, float)
    z = np.column_stack([ends[:-1], ends[1:], (ends[:-1] + ends[1:]) / 2])
    return np.stack([np.ones_like(z), z], axis=-1)


def test_alike_edges_have_one():
    assert panels(chain([0, 1, 2]), chain(np.linspace(0, 2, 9)), 5.0, 5).tolist() == [1, 1]


@pytest.mark.parametrize("slide, expected", [(0.5, [1, 1, 10]), (1.5, [1, 10, 10]), (2.5, [10, 10, 10])])
def test_fine_leader_edges_within_reach_ask_for_more(slide, expected):
    """Follower edges of 1 mm, leader edges of 0.02 mm from z = 3 on: 1/(5 * 0.02) panels where they are within the slide."""
    leader = chain([0, 1, 2, 3, *np.arange(3.02, 3.2, 0.02)])
    assert panels(chain([0, 1, 2, 3]), leader, slide, 5).tolist() == expected


def test_no_more_than_the_most():
    assert panels(chain([0, 1]), chain(np.linspace(0, 1, 10001)), 0.1, 5).tolist() == [32]


def test_no_edges_no_panels():
    assert len(panels(chain([0]), chain([0, 1]), 1.0, 5)) == 0
