"""How far a push's stress field is off by its own mesh."""

import numpy as np
from helpers.push import CLOSED, run

from colletfea.cases.simulation import stress, trust
from colletfea.cases.stored.names import PARTS
from colletfea.fea.bodies import recovery
from colletfea.fea.bodies.stress import cauchy


def errors(level="quick", **keys):
    found = run(level, **keys)
    return trust.errors(found.case, found.push.model, found.last)


def test_sharp_ends_of_contacts_make_most_of_the_error():
    found = errors(**CLOSED)
    assert found.keys() == set(PARTS)
    for part in PARTS:
        assert 0 < found[part]["clear_relative"] <= found[part]["relative"] < 0.1


def test_error_at_the_peak_bounds_what_recovery_moves_it_by():
    """Root 1.5 times the misfit at the point of the largest stress clear of edges."""
    found = run(**CLOSED)
    model, peak = found.push.model, stress.believable(found.case, found.push.model, found.last)["sleeve"]
    near = np.hypot(*(model.solid.points - (peak.r, peak.z)).transpose(2, 0, 1))
    e, q = np.unravel_index(near.argmin(), near.shape)
    misfit = recovery.misfit(model.solid, model.mesh, cauchy(model.solid, found.last.u))[e, q]
    assert np.isclose(errors(**CLOSED)["sleeve"]["at_peak_MPa"], np.sqrt(1.5) * misfit)


def test_an_unloaded_coupling_has_none():
    found = run(**CLOSED)
    start = trust.errors(found.case, found.push.model, found.push.states[0])
    assert all(value == 0 for one in start.values() for value in one.values())
