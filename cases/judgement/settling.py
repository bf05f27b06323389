"""What is left of the grip once the screws have settled: told beside the verdicts on slip, which are judged before it.

The force needed is found in pushes, and what settling costs hangs on the stiffness of the coupling that was pushed: it is known
only afterwards, so it is not in the force needed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import floor, sin
from typing import Any

from colletfea.cases.casefile.case import Case
from colletfea.cases.hand.corners import Reached
from colletfea.cases.hand.geometry import sizes
from colletfea.cases.judgement.corner import cut_short
from colletfea.cases.stored.verdict import Verdict

#: normal force that the bore loses at most, over the clamp force that the screws lose while the cone sticks: simulated -0.11 to 0.08 on five hubs
FOLLOWS = 0.1
_PAIRS = {"slip": "bore", "cone_slip": "cone"}


def left(case: Case, corners: Sequence[Reached], taken: Mapping[str, float], found: Mapping[str, Any] | None) -> dict[str, float] | None:
    """Normal force left in the worst corner over the one that the duty asks for, by pair, 1 just carries; None where nothing settles.

    taken [N]: what service takes by formulas; found: the block `screws`. A ring that sticks loses sin(taper) of what is pulled less on the
    cone, and there what the bore loses on top: simulated 0.13 to 0.19 in all, against 0.19 and 0.24 by this.
    """
    if case.duty is None or not found or not found["preload_lost_N"]:
        return None
    duty, less = case.duty, found["count"] * found["preload_lost_N"]
    torque, thrust = duty.slip_safety * duty.torque * 1e3, duty.slip_safety * abs(duty.thrust)
    judged = [one for one in corners if not cut_short(one)]

    def share(one: Reached, pair: str) -> float:
        lost = one.taken(taken).get(pair, 0.0) + less * (FOLLOWS + (sin(sizes(case).taper) if pair == "cone" else 0.0))
        seat, beside = (one.bore, thrust) if pair == "bore" else (one.cone_carrying, 0.0)
        return max(seat.share(getattr(one.corner.carrying, pair), torque, beside, lost), 0.0)

    pairs = ("bore", "cone") if duty.carried_by == "ring" and torque > 0 else ("bore",)
    return {pair: min(share(one, pair) for one in judged) for pair in pairs} if judged else None


def told(verdicts: Sequence[Verdict], left: Mapping[str, float] | None) -> list[Verdict]:
    """The verdicts, with what settling leaves said beside those on slip that are ok."""
    return [one.adding(_beside((left or {}).get(_PAIRS.get(one.name, "")))) if one.ok else one for one in verdicts]


def _beside(share: float | None) -> str:
    return "" if share is None else f". Judged before the screws settle, which may leave {floor(1000 * share) / 1000:g} times the grip that is asked for"
