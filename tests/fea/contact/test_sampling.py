"""Panels of follower edges: how many, by what the leader's edges within reach are like."""

import numpy as np
import pytest

from pytest import approx

from colletfea.fea.contact.sampling import panels, stretches


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


def test_panels_of_an_edge_are_alike():
    edge, middle, half = stretches(np.array([1, 3]), False)
    assert edge.tolist() == [0, 1, 1, 1] and half == approx([1, 1 / 3, 1 / 3, 1 / 3])
    assert middle == approx([0, -2 / 3, 0, 2 / 3])


@pytest.mark.parametrize("counts", [[1], [2, 1, 3], [4, 4]])
def test_a_corner_is_come_nearer_to_and_the_chain_stays_covered(counts):
    """The panels of a chain cut at its ends fill each edge from -1 to 1 without a gap; the outermost is 1/25 of what it was."""
    edge, middle, half = stretches(np.array(counts), True)
    start, end = edge + (middle - half + 1) / 2, edge + (middle + half + 1) / 2
    assert (start[0], end[-1]) == approx((0, len(counts))) and start[1:] == approx(end[:-1])
    assert half[0] == approx(0.04 / counts[0]) and half[-1] == approx(0.04 / counts[-1])
    assert np.all(np.floor(start + 1e-9) == np.floor(end - 1e-9))
