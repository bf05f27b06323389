"""Rounds of correction of a push by the condensed solver, counted."""

from collections import Counter
from contextlib import contextmanager

import pytest

from colletfea.fea.model.model import Model
from colletfea.fea.solvers import condensed


@contextmanager
def counting():
    """Counts, by t of the increments tried meanwhile, the corrected evaluations of the bodies, those that begin a start left out.

    Under "condensed": how often bodies were condensed, the first time in it.
    """
    rounds, evaluate, trial, condense = Counter(), Model.bodies_force, condensed.Condensed.trial, condensed.Condensation

    def evaluated(self, u, t, flow=None):
        rounds[t] += 1
        return evaluate(self, u, t, flow)

    def begun(self, u, t, history, flow=None):
        rounds[t] -= 1
        return trial(self, u, t, history, flow)

    def anew(*given, **more):
        rounds["condensed"] += 1
        return condense(*given, **more)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Model, "bodies_force", evaluated)
        patch.setattr(condensed.Condensed, "trial", begun)
        patch.setattr(condensed, "Condensation", anew)
        yield rounds
