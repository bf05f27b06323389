"""What a small change of each main key does: simulated values times the ratio of the hand calculation's.

A step is 5 % of a size, or the next tighter fit. Ratios of the hand calculation are near 1 and hold better than its values; what
is to be relied on is run again.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from colletfea.cases.casefile import fits
from colletfea.cases.casefile.case import Case, Friction
from colletfea.cases.casefile.faults import CaseError
from colletfea.cases.hand.corners import Clamp, Reached
from colletfea.cases.judgement import by_hand
from colletfea.cases.judgement.blocks import usable_torque
from colletfea.cases.judgement.corner import gripping
from colletfea.cases.stored.names import PARTS
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
VALUES = ("clamp_force_N", "torque_capacity_Nm", "travel_mm", "yield_margin")


def sensitivities(
    case: Case, clamp: Clamp, corners: Sequence[Reached], lost: dict[str, float], verdicts: Sequence[Verdict]
) -> list[dict[str, Any]]:
    """Rows {key, value, unit, changed_to, clamp_force_N, torque_capacity_Nm, travel_mm, yield_margin} of the results.

    clamp_force_N is the force needed; capacity and travel are those of the grip corner at the least clamp force, the yield
    margin the smallest of the parts, None where that part flows. A value that does not exist before or after the change is None.
    """
    grip = gripping(corners)
    if case.duty is None or grip is None or not clamp.least:
        return []
    simulated = dict(zip(VALUES, (clamp.needed, usable_torque(case, grip, lost), grip.travel, _least_margin(corners, verdicts))))
    base = _values(case, clamp, lost)
    return [
        {"key": key, "value": value, "unit": unit, "changed_to": to, **_scaled(simulated, base, _values(other, clamp, lost))}
        for key, value, unit, to, other in _changes(case)
    ]


def _least_margin(corners: Sequence[Reached], verdicts: Sequence[Verdict]) -> float | None:
    """The smallest margin to yield; None where that part flows: its stress stays near yield, and no elastic ratio scales it."""
    judged = [v for v in verdicts if v.name.startswith("yield_") and v.margin is not None]
    worst = min(judged, key=lambda v: v.margin, default=None)
    if worst is None:
        return None
    flowed = next((one.flowed for one in corners if one.corner.name == worst.corner), {})
    found = flowed.get(worst.name.removeprefix("yield_"))
    return None if found and found.strain else worst.margin


def _scaled(simulated: dict, base: dict, changed: dict) -> dict[str, float | None]:
    return {
        name: simulated[name] * changed[name] / base[name] if simulated[name] and base[name] and changed[name] else None
        for name in VALUES
    }


def _changes(case: Case) -> Iterator[tuple[str, Any, str, Any, Case]]:
    """Key, value, unit, changed value and the changed case, for every step that the case file allows."""
    tighter = fits.tighter(case.sleeve.fit) if case.sleeve.fit else None
    steps = [(key, unit, _raw(case.value(key)), factor) for key, factor, unit in STEPS if case.value(key)]
    if tighter:
        steps = [s for s in steps if s[0] != "sleeve.clearance"]
    changes = [(key, unit, value, _moved(value, factor)) for key, unit, value, factor in steps]
    changes += [("sleeve.fit", "", case.sleeve.fit, tighter)] if tighter else []
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


def _values(case: Case, clamp: Clamp, lost: dict[str, float]) -> dict[str, float | None]:
    """The four values of a case by hand, capacity and travel at the clamp forces of the case as it was run."""
    needed, grip, tight = by_hand.at_clamp(case, fits.of(case), lost, clamp)
    limits = [(getattr(case, part).material.yield_stress, tight.stresses.get(part)) for part in PARTS] if tight else []
    margins = [limit / case.yield_safety / stress.value for limit, stress in limits if limit and stress and stress.value > 0]
    return dict(zip(VALUES, (needed, grip and usable_torque(case, grip, lost), grip and grip.travel, min(margins, default=None))))
