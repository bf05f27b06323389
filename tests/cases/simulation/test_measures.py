"""How the push force rises at the end of a push."""

from types import SimpleNamespace

import pytest

from colletfea.cases.simulation.measures import rise
from colletfea.cases.simulation.model import RING


def states(*points):
    return [SimpleNamespace(t=t, totals={RING: -force}) for t, force in points]


def test_rise_is_that_of_the_last_twentieth_of_the_way_at_least():
    """Force as the square of the travel, from 1.8 to 2.0: (1 - 0.81) / 0.1; a state 1 % short of the end is passed over."""
    assert rise(states((0, 0), (1, 100), (1.8, 324), (1.98, 500), (2.0, 400))) == pytest.approx(1.9)
    assert rise(states((0, 0), (1.9, 100), (2.0, 100))) == 0
    assert rise(states((0, 0))) is None and rise(states((0, 0), (1, -5))) is None
