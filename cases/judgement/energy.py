"""Verdict on a push whose energies do not add up."""

from __future__ import annotations

from collections.abc import Sequence

from colletfea.cases.hand.corners import Reached
from colletfea.cases.stored.verdict import Verdict

#: share of the work put in that may be missing: what a coarse mesh and long increments leave stays below
LIMIT = 0.02


def energy(corners: Sequence[Reached]) -> Verdict | None:
    """The ring's work less what is stored and lost, over that work [-], see `fea.stepping.state.Work`, in the corner that misses
    most; None up to LIMIT.

    Forces that are right in every increment do work that adds up; where it does not, those of the push may be off by a
    share as large.
    """
    worst = max(corners, key=lambda one: one.work_missing)
    because = (
        f"{100 * worst.work_missing:.2g} % of the work that the ring put in is neither stored nor lost in friction in corner "
        f"{worst.corner.name}; up to {100 * LIMIT:g} % is normal. Forces, grip and stresses of that push may be off by as much, and "
        "other verdicts with them: try a finer mesh.size or more solver.increments; where the tapers differ, also a ring whose ends "
        "do not pass the nose or the back face during the push"
    )
    found = Verdict.at_most("energy", worst.work_missing, LIMIT, "", because).at(worst.corner.name)
    return None if found.ok else found
