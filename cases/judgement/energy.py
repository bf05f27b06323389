"""Verdict on a push, or a stage after it, whose energies do not add up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from colletfea.cases.hand.corners import NOMINAL, Reached
from colletfea.cases.stored.verdict import Verdict

#: share of the work put in that may be missing: what a coarse mesh and long increments leave stays below
LIMIT = 0.02
#: what may be off, and what helps
_OFF = {
    "push": (
        "Forces, grip and stresses of that push may be off by as much, and other verdicts with them: try a finer mesh.size or more "
        "solver.increments; where the tapers differ, also a ring whose ends do not pass the nose or the back face during the push"
    ),
    "service": "Grip, forces and stresses in service may be off by as much, and other verdicts with them: try a finer mesh.size",
    "release": "The force that pulls the ring off may be off by as much: try a finer mesh.size",
    "twist": "The torque to slip may be off by as much: try a finer mesh.size",
}


def energy(corners: Sequence[Reached], stages: Mapping[str, float]) -> Verdict | None:
    """The work put in less what is stored and lost, over that work [-], see `fea.stepping.state`, of the push, service, release or twist
    that misses most; None up to LIMIT. stages: share [-] that is missing in each stage that followed on the nominal push.

    Forces that are right in every increment do work that adds up; where it does not, those of the push or stage may be off by a
    share as large.
    """
    pushes = [(one.work_missing, "push", one.corner.name) for one in corners]
    served = [(one.service_missing, "service", one.corner.name) for one in corners]
    share, stage, corner = max([*pushes, *served, *((missing, stage, NOMINAL) for stage, missing in stages.items())], key=lambda one: one[0])
    put_in = "that the ring put in" if stage == "push" else f"of the {stage}"
    because = (
        f"{100 * share:.2g} % of the work {put_in} is neither stored nor lost in friction in corner {corner}; up to {100 * LIMIT:g} % is "
        f"normal. {_OFF[stage]}"
    )
    found = Verdict.at_most("energy", share, LIMIT, "", because).at(corner)
    return None if found.ok else found
