"""Verdicts on the ways that a push uses up: the ring's to the flange, the sleeve's until its slots shut."""

from __future__ import annotations

from math import radians, tan
from typing import Any

from colletfea.cases.casefile.case import Case
from colletfea.cases.hand.slit_model import hoop
from colletfea.cases.judgement.friction import push_ratio_at_low_bore_friction
from colletfea.cases.simulation import measures
from colletfea.cases.simulation.plan import closing_travel
from colletfea.cases.simulation.push import Push
from colletfea.cases.stored import names
from colletfea.cases.stored.verdict import Verdict


def bottoming(case: Case, hand: dict[str, Any], fit, pushed: Push, slip: Verdict | None) -> list[Verdict]:
    """Travel [mm] for the duty with bore friction at its low end against the way to the flange; empty without a flange.

    At the clearance of the push and, where fit (tightest, middle, loosest [mm on diameter]) is not None, at the loosest
    one by hand. slip is the bore's verdict on the same push.
    """
    if case.sleeve.flange_thickness <= 0:
        return []
    start, duty = case.ring.start, pushed.landed(names.DUTY)
    if pushed.reason == names.MET:
        return [_met(case, hand, pushed)]
    if case.duty is None:
        why = "no duty is given, so there is no travel to compare with the way to the flange"
        return [Verdict.unknown("bottoming", why, limit=start, unit="mm")]
    if duty is None:
        why = "the duty was not reached before the push ended, so the travel that it takes is not known"
        return [Verdict.unknown("bottoming", why, limit=start, unit="mm")]
    wanted = travel_at_low_bore_friction(case, hand, pushed, slip)
    found = [_bottoms("bottoming", wanted, start, _at_this_clearance(case, pushed, wanted))]
    return found if fit is None else [*found, _at_the_loosest(case, hand, fit, wanted)]


def slots(case: Case, pushed: Push) -> Verdict | None:
    """Radial closing [mm] of the sleeve against the one that shuts its slots; None where it has none."""
    shuts = hoop(case).shuts_at
    if shuts is None:
        return None
    value = measures.closing(pushed.model, pushed.states[-1])
    because = "radial closing of the sleeve against the closing that shuts its slots"
    found = Verdict.at_most("slots", value, shuts, "mm", because)
    if pushed.reason != names.SHUT:
        return found
    return found.reached().adding(
        ". They are shut, and from here on the sleeve is a closed ring that hardly closes further: give it wider slots"
    )


def travel_at_low_bore_friction(case: Case, hand: dict[str, Any], pushed: Push, slip: Verdict | None) -> float:
    """Travel [mm] for the duty with bore friction at its low end, from a push that reached it at the nominal one.

    Grip goes on along the line through touch and duty; that of fingers grows faster. A push that holds there ended late
    enough.
    """
    touch, nominal = pushed.landed(names.TOUCH), pushed.landed(names.DUTY).t
    begins = touch.t if touch else 0.0
    wanted = begins + (nominal - begins) * max(1.0, push_ratio_at_low_bore_friction(case, hand) or 1.0)
    return min(wanted, max(nominal, pushed.states[-1].t)) if slip and slip.ok else wanted


def closing_over_bare(case: Case, hand: dict[str, Any]) -> float:
    """Closing travel by hand over the bare geometry's: the ring widens while the sleeve closes."""
    bare = case.sleeve.clearance / 2 / tan(radians(case.sleeve.taper))
    return closing_travel(case, hand) / bare if bare > 0 else 1.0


def _met(case: Case, hand: dict[str, Any], pushed: Push) -> Verdict:
    """The ring stands on the flange: from here on its push no longer reaches the seat."""
    if case.sleeve.clearance > 0 and pushed.landed(names.TOUCH) is None:
        because = "the ring meets the flange before the sleeve touches the shaft: nothing is gripped"
    else:
        because = "the ring meets the flange before the push is done: pulled further, it presses on the flange and not on the seat"
    needed, duty = hand["refined"]["clamp_travel_mm"], pushed.landed(names.DUTY)
    if duty is not None:
        because += f". The duty was reached at {duty.t:.3g} mm already: this push goes beyond it"
    elif needed is not None and needed < case.sleeve.length:
        more = "that" if needed > case.ring.start else "now, because the simulation needs more"
        because += f". By hand the duty takes {needed:.3g} mm of travel: give ring.start more than {more}"
    elif needed is not None:
        because += ". What the duty asks for is out of this seat's reach, whatever ring.start"
    return Verdict.at_most("bottoming", pushed.states[-1].t, case.ring.start, "mm", because).reached()


def _at_this_clearance(case: Case, pushed: Push, wanted: float) -> str:
    nominal, start = pushed.landed(names.DUTY).t, case.ring.start
    if wanted <= nominal:
        return f"travel at the duty against the way to the flange; {start - wanted:.3g} mm are left"
    ended = wanted == pushed.states[-1].t
    how = "at most where this push ended" if ended else f"by hand from the {nominal:.4g} mm at the nominal one"
    return (
        f"travel for the duty with bore friction {case.friction.bore.low:g}, the low end, {how}, against the way to the "
        f"flange; {start - wanted:.3g} mm are left"
    )


def _at_the_loosest(case: Case, hand: dict[str, Any], fit, wanted: float) -> Verdict:
    start, slope = case.ring.start, closing_over_bare(case, hand) / 2 / tan(radians(case.sleeve.taper))
    loosest, tightest = (wanted + slope * (limit - case.sleeve.clearance) for limit in (fit.loosest, fit.tightest))
    because = (
        f"the same at the loosest fit, {fit.loosest * 1e3:.0f} µm on diameter, by hand from the travel at the middle one; "
        f"{start - loosest:.3g} mm are left, {start - tightest:.3g} at the tightest"
    )
    return _bottoms("bottoming_loosest", loosest, start, because)


def _bottoms(name: str, travel: float, start: float, because: str) -> Verdict:
    """The verdict, told what happens where the way is too short."""
    found = Verdict.at_most(name, travel, start, "mm", because)
    more = "; the ring would meet the flange first, and pulled further press on it and not on the seat: give ring.start more"
    return found if found.ok else found.adding(more)
