"""How the push force rises at the end of a push, and how far a line of contact may blur it."""

from types import SimpleNamespace

import numpy as np
import pytest
from helpers.push import case_of, coarsest, push_corner

from colletfea.cases.simulation import corners
from colletfea.cases.simulation.measures import blurred, rise
from colletfea.cases.simulation.model import CONE, RING


def states(*points):
    return [SimpleNamespace(t=t, totals={RING: -force}) for t, force in points]


def test_rise_is_that_of_the_last_twentieth_of_the_way_at_least():
    """Force as the square of the travel, from 1.8 to 2.0: (1 - 0.81) / 0.1; a state 1 % short of the end is passed over."""
    assert rise(states((0, 0), (1, 100), (1.8, 324), (1.98, 500), (2.0, 400))) == pytest.approx(1.9)
    assert rise(states((0, 0), (1.9, 100), (2.0, 100))) == 0
    assert rise(states((0, 0))) is None and rise(states((0, 0), (1, -5))) is None


@pytest.mark.parametrize("width, share", [(0.49, 0.0752), (0.51, 0.0)])
def test_a_line_of_contact_much_narrower_than_an_element_blurs_the_force(width, share):
    """Of the points of three elements of 1 mm one carries, with `width` mm: 150 N/mm, 100 000 N on a radius of 106.1 mm.

    By hand: q / pi * 2 (1 - 0.3^2) / 100 000 MPa = 0.869 um, of 0.02 mm * tan(30 deg) = 11.55 um closed, force in proportion to travel: 7.5 %.
    """
    force, length = np.array([0.0, 1e5, 0.0]), np.array([1.0, width, 1.0])
    contact = SimpleNamespace(pairs=[SimpleNamespace(name=CONE)], points=[slice(0, 3)], edge_length=np.ones(3))
    place = np.column_stack([np.full(3, 1e5 / 150 / 2 / np.pi), np.arange(3)])
    held = SimpleNamespace(pressure=force, area=np.ones(3), length=length, position=place)
    metal = {"young": 1e5, "poisson": 0.3}
    case = case_of(sleeve__taper=30, sleeve__material=metal, ring__material=metal, ring__outer_diameter=60)
    way = states((0, 0), (0.01, 5e4), (0.02, 1e5))
    way[-1].contact = held
    assert blurred(case, SimpleNamespace(contact=contact), way) == pytest.approx(share, rel=1e-3)


def test_what_a_corner_came_to_tells_how_far_its_force_is_blurred(monkeypatch):
    seen = []
    monkeypatch.setattr(corners, "blurred", lambda *given: seen.append(given) or 0.05)
    case = coarsest(case_of())
    done, reached = push_corner(case, "quick", travel=0.3)
    assert reached.blurred == 0.05 and seen[0][1:] == (done.model, done.states)
