"""What the judging of corners shares: where a value stands, the worst of several verdicts, ends that came too early, the force that a travel takes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from colletfea.cases.casefile.case import Case
from colletfea.cases.hand.corners import GRIP, NOMINAL, Clamp, Reached
from colletfea.cases.hand.geometry import push_over_radial_force, sizes
from colletfea.cases.stored.names import COLLAPSE, EARLY, FITS, REASONS, SHUT, STRAIN, TRAVEL, YIELD
from colletfea.cases.stored.verdict import Verdict

#: ends at which the push stopped short of the force it was meant to reach
SHORT = (*EARLY, SHUT, YIELD, COLLAPSE)


def where(case: Case, reached: Reached) -> str:
    """The corner in words: force, clearance, friction while pulling and while carrying."""
    corner = reached.corner
    fit = f", {FITS[corner.name]}" if case.sleeve.fit else ""
    return (
        f"at {reached.force / 1e3:.4g} kN (clearance {corner.clearance * 1e3:.3g} µm{fit}; friction of cone and bore "
        f"{corner.pulling.cone:g} and {corner.pulling.bore:g} while pulled, {corner.carrying.cone:g} and "
        f"{corner.carrying.bore:g} while it carries)"
    )


def cut_short(reached: Reached, strained: bool = False) -> str:
    """Why a corner can't be judged at the force it was meant to reach; empty where it can.

    strained: also where a part was strained past all elasticity. What a seat carries by then is judged: no sound pull carries more.
    """
    if reached.reason not in (*SHORT, *([STRAIN] if strained else [])):
        return ""
    return (
        f"not known: this push ended at {reached.force / 1e3:.4g} kN and {reached.travel:.3g} mm, before the force or travel it was "
        f"meant to reach, because {REASONS[reached.reason]}"
    )


def worst(verdicts: Iterable[Verdict | None]) -> Verdict | None:
    """The worst of one verdict's values over the corners: not ok, then not judged, then the smallest margin."""
    found = [verdict for verdict in verdicts if verdict is not None]
    rank = {False: 0, None: 1, True: 2}
    return min(found, key=lambda v: (rank[v.ok], float("inf") if v.margin is None else v.margin), default=None)


def gripping(corners: Sequence[Reached]) -> Reached | None:
    """The corner in which the seat grips least: grip, or nominal where that stands for it; None where nothing was pushed."""
    named = {reached.corner.name: reached for reached in corners if reached.travel > 0}
    return named.get(GRIP) or named.get(NOMINAL)


def corner_of(verdicts: Iterable[Verdict], name: str) -> str:
    """The corner that a verdict was judged in; nominal where it was in none."""
    return next((v.corner for v in verdicts if v.name == name and v.corner), NOMINAL)


def clamp_at_travel(case: Case, needed: float | None, corners: Sequence[Reached]) -> Clamp:
    """Clamp forces of a travel that is given, the least and the greatest that it takes; needed [N]: of the duty, None where it is not known."""
    there = [reached for reached in corners if reached.reason == TRAVEL and reached.force > 0]
    forces = [force for reached in there for force in _at_both_ends(case, reached)]
    why = (
        "a travel is given: the least and the greatest push over the corners at that travel, each at both ends of the cone's "
        "friction by the statics of a sliding cone"
    )
    if len(there) < len(corners):
        why += f"; {'the corners that ended before it are left out' if there else 'no corner came to it'}"
    return Clamp(needed, min(forces, default=None), max(forces, default=None), 1.0, why)


def _at_both_ends(case: Case, reached: Reached) -> tuple[float, float]:
    taper = sizes(case).taper
    pulled = push_over_radial_force(taper, reached.corner.pulling.cone)
    low, high = (push_over_radial_force(taper, x) for x in (case.friction.cone.low, case.friction.cone.high))
    return reached.force * low / pulled, reached.force * high / pulled
