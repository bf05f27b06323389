"""The worst pair of friction values: high on the cone while the ring is pulled, low on the bore when it must hold."""

from __future__ import annotations

from typing import Any

import numpy as np

from colletfea.cases.simulation import measures
from colletfea.cases.simulation.model import BORE
from colletfea.cases.hand.calculation import at_friction
from colletfea.cases.hand.geometry import push_over_radial_force, sizes
from colletfea.cases.casefile.case import Case
from colletfea.cases.simulation.push import Push
from colletfea.cases.stored import names
from colletfea.fea.contact.resultants import resultant


def worst_friction(case: Case, hand: dict[str, Any], pushed: Push) -> dict[str, Any] | None:
    """Clamp force [N] for the duty at that pair, None where no duty was reached.

    The simulated forces at touch and duty, each times what the hand calculation makes of the change. Against runs at
    such friction: +-0.1 % for slit sleeves, +3 % for fingers, whose grip grows faster than the straight line through
    touch and duty. The hand value itself is not used: for fingers it lies below the nominal pull.
    """
    duty = pushed.landed(names.DUTY)
    if case.duty is None or duty is None:
        return None
    cone, bore = case.friction.cone, case.friction.bore
    more = push_ratio_at_low_bore_friction(case, hand)
    force = None
    if more is not None:
        closing = _closing(pushed)
        force = (closing + (measures.push_force(duty) - closing) * more) * _pull(case, cone.high) / _pull(case, cone.nominal)
    return {"cone": [cone.low, cone.high], "bore": bore.low, "clamp_force_N": force}


def grip_left(case: Case, hand: dict[str, Any], pushed: Push) -> float:
    """Share of the bore's grip at low friction that is left of a given clamp force where the cone's friction is high.

    The cone then presses as it did under a smaller push at nominal friction: the grip is the simulated one of that push.
    Against runs at such friction: +0.1 % for slit sleeves, +2 % for fingers and closed ones.
    """
    forces = [measures.push_force(s) for s in pushed.states]
    grips = [resultant(pushed.model.contact, s.contact, BORE).normal_force for s in pushed.states]
    if grips[-1] <= 0:
        return 1.0
    carried = forces[-1] * _pull(case, case.friction.cone.nominal) / _pull(case, case.friction.cone.high)
    more, bore = push_ratio_at_low_bore_friction(case, hand), case.friction.bore
    share = bore.nominal / bore.low / more if more and bore.low else 1.0  # of the grip, that low bore friction leaves
    return float(np.interp(carried, forces, grips)) / grips[-1] * min(1.0, share)


def _closing(pushed: Push) -> float:
    """Push [N] at first touch, 0 without clearance."""
    touch = pushed.landed(names.TOUCH)
    return measures.push_force(touch) if touch else 0.0


def push_ratio_at_low_bore_friction(case: Case, hand: dict[str, Any]) -> float | None:
    """Push for the same grip at low bore friction over that at nominal, cone as it is; None where the hand has none."""
    cone, bore = case.friction.cone, case.friction.bore
    low = at_friction(case, cone.low, bore.low)["refined"]["grip_force_N"]
    nominal = hand["refined"]["grip_force_N"]
    return low / nominal * _pull(case, cone.nominal) / _pull(case, cone.low) if low and nominal else None


def _pull(case: Case, friction: float) -> float:
    """Push over radial force of a sliding cone, tan(taper + friction angle)."""
    return push_over_radial_force(sizes(case).taper, friction)
