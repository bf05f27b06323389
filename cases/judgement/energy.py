"""Verdict on a push whose energies do not add up."""

from __future__ import annotations

from colletfea.cases.stored.verdict import Verdict

#: share of the work put in that may be missing: what a coarse mesh and long increments leave stays below
LIMIT = 0.02


def energy(work_relative: float) -> Verdict | None:
    """The ring's work less what is stored and lost, over that work [-], see `fea.stepping.state.Work`; None up to LIMIT.

    Forces that are right in every increment do work that adds up; where it does not, those of the push may be off by a
    share as large.
    """
    because = (
        f"{100 * work_relative:.2g} % of the work that the ring put in is neither stored nor lost in friction; up to "
        f"{100 * LIMIT:g} % is normal. Forces, grip and stresses of this push may be off by as much, and its other verdicts "
        "with them: try a finer mesh.size or more solver.increments; where the tapers differ, also a ring whose ends do not "
        "pass the nose or the back face during the push"
    )
    found = Verdict.at_most("energy", work_relative, LIMIT, "", because)
    return None if found.ok else found
