"""Whether mesh and increments are fine enough for a push: the push once more with both half as large, and what that moves."""

from __future__ import annotations

from dataclasses import replace

from colletfea.cases.casefile.case import Case
from colletfea.cases.hand.calculation import at_friction
from colletfea.cases.simulation import push as pushing
from colletfea.cases.simulation.measures import push_force
from colletfea.cases.simulation.model import BORE, CONE
from colletfea.cases.simulation.plan import LEVELS, increments, plan
from colletfea.cases.simulation.stress import believable
from colletfea.cases.simulation.pushed import Progress, Push
from colletfea.cases.stored.names import COLLAPSE, MET, PARTS, STRAIN, TRAVEL
from colletfea.fea.contact.resultants import resultant

#: what is compared, by the names of a state in the results; stresses are those clear of the ends of the contacts
QUANTITIES = (
    "travel_mm", "push_force_N", "bore.normal_force_N", "bore.mean_pressure_MPa", "cone.normal_force_N",
    *(f"von_mises_MPa.{part}" for part in PARTS),
)  # fmt: skip
#: a force this small over the push's is none [-]
_NOTHING = 1e-6


def repeat(case: Case, pushed: Push, progress: Progress, solver: str) -> Push:
    """The push of a case, already at one corner, to the end that it came to, with half its mesh size and half its increments.

    A push to a travel, onto the flange, to the end of the seat or till a part is overstrained is repeated to its travel; any other one to
    its force. The same edge follows on the cone: which one makes the work add up has been found.
    No permitted stress stops the second one: another mesh has another stress, which is told as such, at one state and not at two.
    """
    last = pushed.states[-1]
    by_travel = case.push.travel is not None or pushed.reason in (MET, TRAVEL, STRAIN, COLLAPSE)
    end = replace(case.push, travel=last.t if by_travel else None, force=None if by_travel else push_force(last))
    size = pushed.size / LEVELS[pushed.level][0] / 2
    twice = replace(
        case, push=end, mesh=replace(case.mesh, size=size),
        solver=replace(case.solver, increments=2 * increments(case), stop_at_yield=False),
    )
    steps = plan(twice, at_friction(twice, case.friction.cone.nominal, case.friction.bore.nominal), pushed.level)
    return pushing.push(twice, steps, pushed.level, progress, solver, follower=pushed.follower)


def differences(case: Case, pushed: Push, finer: Push) -> dict[str, float]:
    """What the finer push moves, relative to its value [-], by QUANTITIES; 0 where both have nothing."""
    was, now = _values(case, pushed), _values(case, finer)
    nothing = _NOTHING * abs(now["push_force_N"])
    return {
        name: 0.0 if max(abs(now[name]), abs(was[name])) <= (nothing if name.endswith("_N") else 0.0) else (was[name] - now[name]) / (now[name] or was[name])
        for name in QUANTITIES
    }


def _values(case: Case, pushed: Push) -> dict[str, float]:
    model, last = pushed.model, pushed.states[-1]
    bore, cone = (resultant(model.contact, last.contact, pair) for pair in (BORE, CONE))
    peaks = believable(case, model, last)
    values = (
        last.t, push_force(last), bore.normal_force, bore.mean_pressure, cone.normal_force, *(peaks[part].value for part in PARTS)
    )
    return dict(zip(QUANTITIES, values))
