"""Verdicts of a case, in fixed order, each judged in its worst corner: value against limit, and why where nothing can be said.

Nothing here knows whether formulas or a simulation made the numbers.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from colletfea.cases.casefile.case import Case
from colletfea.cases.hand.corners import Clamp, Reached
from colletfea.cases.judgement.corner import worst
from colletfea.cases.judgement.grip import cone_slip, self_locking, slip
from colletfea.cases.judgement.strength import Added, collapse, neck, yields
from colletfea.cases.judgement.way import bottoming, slots
from colletfea.cases.stored.names import EARLY, PARTS
from colletfea.cases.stored.verdict import NAMES, Verdict


def judge(
    case: Case, hand: dict[str, Any], clamp: Clamp, corners: Sequence[Reached], lost: dict[str, float], added: Added,
    more: Iterable[Verdict] = (),
) -> list[Verdict]:
    """All verdicts of a case, by name in fixed order; of pushes that never began only what needs none.

    hand is the hand calculation's block of the results, clamp the forces of the case; lost [N] what service takes off bore and cone; more are verdicts made
    elsewhere (seat, screws, stages). Without any corner, what is asked of a push is not judged.
    """
    begun = [reached for reached in corners if reached.travel > 0 or reached.force > 0 or reached.reason not in EARLY]
    found = [
        worst(slip(case, reached, lost.get("bore", 0.0)) for reached in begun),
        worst(cone_slip(case, reached, lost.get("cone", 0.0)) for reached in begun),
        worst(bottoming(case, reached, lost) for reached in begun),
        worst(slots(case, reached) for reached in begun),
        worst(collapse(case, reached) for reached in begun),
        *(worst(yields(case, hand, reached, part, added) for reached in begun) for part in PARTS),
        self_locking(case, clamp.least),
        worst(neck(case, reached) for reached in begun),
        *more,
        *([] if corners else _unpushed(case)),
    ]
    return sorted((verdict for verdict in found if verdict is not None), key=lambda verdict: list(NAMES).index(verdict.name))


def _unpushed(case: Case) -> list[Verdict]:
    """What this case asks of any push, where there is no formula for one: of a closed sleeve, which has no slots to shut."""
    names, duty = [f"yield_{part}" for part in PARTS], case.duty
    if duty:
        on_ring = duty.carried_by == "ring"
        names += ["slip"] + (["cone_slip"] if on_ring and (duty.torque > 0 or duty.thrust > 0) else [])
        names += (["neck"] if duty.torque > 0 and not on_ring else []) + (["seat_open"] if duty.radial > 0 else [])
    names += ["bottoming"] if case.sleeve.flange_thickness > 0 else []
    return [Verdict.unknown(name, "no formula gives it") for name in names]
