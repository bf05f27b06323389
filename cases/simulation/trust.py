"""How far the stress field of a push is off by its own mesh, part by part: recovered against raw stress."""

from __future__ import annotations

from math import sqrt

import numpy as np

from colletfea.cases.casefile.case import Case
from colletfea.cases.simulation import stress
from colletfea.cases.simulation.stress import PARTS
from colletfea.fea.bodies import recovery
from colletfea.fea.model.model import Model
from colletfea.fea.stepping.fields import at_points
from colletfea.fea.stepping.state import State


def errors(case: Case, model: Model, state: State) -> dict[str, dict[str, float]]:
    """Of each part: error over stress, root mean squares, of the whole part and clear of the ends of contacts [-], and by how
    much von Mises stress may be off at its largest value clear of them [MPa]: an estimate, no bound.

    Von Mises stress is a norm, and at most the root of 1.5 times the size of a tensor: so much of the estimated error counts. At a
    sharp end of a contact the error does not vanish with any mesh: what is judged lies clear of it.
    """
    solid, tensor = model.solid, at_points(model, state)[0]
    error, size = recovery.misfit(solid, model.mesh, tensor), recovery.size(tensor)
    clear, found = stress.clear_of_ends(case, model, state, solid.points), {}
    for part, peak in stress.believable(case, model, state).items():
        rows = np.concatenate([np.arange(len(error))[solid.slices[b]] for b in PARTS[part] if b in solid.slices])
        away = np.hypot(solid.points[rows, :, 0] - peak.r, solid.points[rows, :, 1] - peak.z)
        own = (error[rows], size[rows], solid.volume[rows])
        found[part] = {
            "relative": recovery.share(*own),
            "clear_relative": recovery.share(*(values[clear[rows]] for values in own)),
            "at_peak_MPa": sqrt(1.5) * float(own[0].flat[np.argmin(away)]),
        }
    return found
