"""Verdicts of a finished run, in fixed order: value against limit, and why where nothing can be said.

Friction bands: capacity is judged at the low value on the bore, and that of a given clamp force at the high value on
the cone; self-locking at the low value on the cone. Values at other friction than the nominal are scaled from the nominal state, pressures kept.
"""

from __future__ import annotations

from typing import Any

from colletfea.cases.casefile.case import Case
from colletfea.cases.judgement.friction import grip_left
from colletfea.cases.judgement.grip import self_locking, slip
from colletfea.cases.judgement.strength import neck, yields
from colletfea.cases.judgement.way import bottoming, slots
from colletfea.cases.simulation.model import BORE, CONE
from colletfea.cases.simulation.push import Push
from colletfea.cases.stored.names import PARTS
from colletfea.cases.stored.verdict import Verdict


def judge(case: Case, hand: dict[str, Any], fit, pushed: Push) -> list[Verdict]:
    """All verdicts of a push, by name in fixed order; of a push that never began only what needs none.

    hand is the hand calculation's block of the results, fit its clearances (tightest, middle, loosest [mm]) or None.
    """
    locks = self_locking(case, case.friction.cone.low, case.friction.cone.high)
    if pushed.states[-1].t == 0:
        return [locks]
    bore, cone = _slips(case, hand, pushed)
    found = [
        bore,
        cone,
        *bottoming(case, hand, fit, pushed, bore),
        slots(case, pushed),
        *(yields(case, hand, pushed, part) for part in PARTS),
        locks,
        neck(case, pushed.states[-1].t),
    ]
    return [verdict for verdict in found if verdict is not None]


def _slips(case: Case, hand: dict[str, Any], pushed: Push) -> tuple[Verdict | None, Verdict | None]:
    """Of the bore, and of the cone where the hub sits on the ring; at the low end of each pair's friction."""
    if case.duty is None:
        return None, None
    left = grip_left(case, hand, pushed) if case.push.force is not None else 1.0
    on_ring = case.duty.carried_by == "ring"
    return (
        slip(case, pushed, BORE, case.friction.bore.low, left),
        slip(case, pushed, CONE, case.friction.cone.low) if on_ring else None,
    )
