"""What a small change of each main key does: simulated values times the ratio of the hand calculation's.

A step is 5 % of a size; of a fit it is the next tighter one, where there is one. Ratios of the hand calculation are near 1 and
hold better than its values; what is to be relied on is run again.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from colletfea.cases.casefile import fits
from colletfea.cases.casefile.case import Case, Friction
from colletfea.cases.casefile.faults import CaseError
from colletfea.cases.hand.corners import GRIP, Clamp, Reached
from colletfea.cases.judgement import by_hand, screws
from colletfea.cases.judgement.blocks import usable_torque
from colletfea.cases.judgement.corner import gripping
from colletfea.cases.stored.names import MET, TRAVEL
from colletfea.cases.stored.verdict import Verdict

#: key, factor of its step, unit: each in the direction that helps more often
STEPS = (
    ("friction.bore", 1.05, ""),
    ("friction.cone", 0.95, ""),
    ("sleeve.nose_wall", 0.95, "mm"),
    ("sleeve.taper", 0.95, "deg"),
    ("sleeve.length", 1.05, "mm"),
    ("sleeve.clearance", 0.95, "mm"),
    ("ring.outer_diameter", 1.05, "mm"),
    ("ring.length", 1.05, "mm"),
    ("shaft.bore", 0.95, "mm"),
    ("shaft.diameter", 1.05, "mm"),
)
#: what is scaled as a whole; the yield margin goes by parts
VALUES = ("clamp_force_N", "torque_capacity_Nm", "travel_mm")


def sensitivities(
    case: Case, clamp: Clamp, corners: Sequence[Reached], lost: dict[str, float], verdicts: Sequence[Verdict]
) -> list[dict[str, Any]]:
    """Rows {key, value, unit, changed_to, clamp_force_N, torque_capacity_Nm, travel_mm, yield_margin, screws_fit} of the results.

    clamp_force_N is the force needed; capacity and travel are those of the grip corner at the least clamp force, or at the travel
    where that ended it, the yield margin the smallest of the parts, each scaled in the corner that it was judged in. A value that does not exist before or after
    the change is None, and so is the yield margin where the part with the smallest flows.
    """
    grip = gripping(corners)
    if case.duty is None or grip is None or not clamp.least:
        return []
    margins = _margins(corners, verdicts)
    simulated = dict(zip(VALUES, (clamp.needed, usable_torque(case, grip, lost), grip.travel)))
    # a corner that ended at a travel does so after a change too, at another force
    ends = {one.corner.name: one.travel for one in corners if one.reason in (TRAVEL, MET)}
    ends[GRIP] = ends.get(grip.corner.name)
    base = _by_hand(case, clamp, lost, margins, ends)
    return [
        {
            "key": key, "value": value, "unit": unit, "changed_to": to,
            **_scaled(simulated, margins, base, _by_hand(other, clamp, lost, margins, ends)), "screws_fit": screws.find_room(other),
        }
        for key, value, unit, to, other in _changes(case)
    ]  # fmt: skip


def _margins(corners: Sequence[Reached], verdicts: Sequence[Verdict]) -> dict[tuple[str, str], float]:
    """Margins to yield by part and corner, without parts that flow: their stress stays near yield, and no elastic ratio scales it.

    None at all where the smallest is that of such a part.
    """
    judged = {(v.name.removeprefix("yield_"), v.corner): v.margin for v in verdicts if v.name.startswith("yield_") and v.margin is not None}
    flows = {(part, one.corner.name) for one in corners for part, found in one.flowed.items() if found.strain}
    return {of: margin for of, margin in judged.items() if of not in flows} if min(judged, key=judged.get, default=None) not in flows else {}


def _scaled(simulated: dict, margins: dict, base: dict, changed: dict) -> dict[str, float | None]:
    """Simulated values by the ratio of those by hand; the least of the margins, each by its own part's."""

    def times(value: float | None, of: Any) -> float | None:
        return value * changed[of] / base[of] if value and base[of] and changed[of] else None

    moved = [times(margin, of) for of, margin in margins.items()]
    least = min(moved) if moved and None not in moved else None
    return {**{name: times(value, name) for name, value in simulated.items()}, "yield_margin": least}


def _changes(case: Case) -> Iterator[tuple[str, Any, str, Any, Case]]:
    """Key, value, unit, changed value and the changed case, for every step that the case file allows."""
    fit = case.sleeve.fit
    tighter = fits.tighter(fit) if fit else None
    # a clearance would take the fit away, and a fit's loosest would be held against one clearance
    steps = [(key, unit, _raw(case.value(key)), factor) for key, factor, unit in STEPS if case.value(key) and not (fit and key == "sleeve.clearance")]
    changes = [(key, unit, value, _moved(value, factor)) for key, unit, value, factor in steps]
    changes += [("sleeve.fit", "", fit, tighter)] if tighter else []
    for key, unit, value, to in changes:
        try:
            yield key, value, unit, to, case.changed({key: to})
        except CaseError:  # the step leads out of what the drawing allows
            continue


def _raw(value: Any) -> Any:
    """A value as the case file has it: friction as a number or as [low, nominal, high]."""
    if not isinstance(value, Friction):
        return value
    return value.low if value.low == value.high else [value.low, value.nominal, value.high]


def _moved(value: Any, factor: float) -> Any:
    if isinstance(value, (list, tuple)):
        return [float(f"{factor * x:.6g}") for x in value]
    return float(f"{factor * value:.6g}")


def _by_hand(
    case: Case, clamp: Clamp, lost: dict[str, float], margins: Iterable[tuple[str, str]], ends: dict[str, float | None]
) -> dict[Any, float | None]:
    """The values of a case by hand at the clamp forces of the case as it was run, or the travels [mm] of corners in ends; margins of parts in corners."""
    reached = lambda corner: by_hand.in_corner(case, fits.of(case), corner, clamp, ends.get(corner))
    grip = reached(GRIP)
    values = by_hand.needed(case, fits.of(case), lost), grip and usable_torque(case, grip, lost), grip and grip.travel
    return {**dict(zip(VALUES, values)), **{(part, corner): _margin(case, part, reached(corner)) for part, corner in margins}}


def _margin(case: Case, part: str, reached: Reached | None) -> float | None:
    limit, stress = getattr(case, part).material.yield_stress, reached and reached.stress(part)
    return limit / case.yield_safety / stress.value if limit and stress and stress.value > 0 else None
