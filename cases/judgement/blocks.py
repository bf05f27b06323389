"""Clamp forces and corners as the results hold them."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from colletfea.cases.casefile.case import Case
from colletfea.cases.hand.corners import Clamp, Reached, Seat, Served


def clamp(found: Clamp) -> dict[str, Any]:
    """Block `clamp`: forces [N] of the whole ring."""
    values = asdict(found)
    return {f"{k}_N" if k in ("needed", "least", "greatest") else k: v for k, v in values.items()}


def corner(case: Case, reached: Reached, lost: dict[str, float]) -> dict[str, Any]:
    """One entry of `corners`; capacities with the carrying friction, usable torque after thrust and service."""
    asked = reached.corner
    return {
        "name": asked.name,
        "clearance_mm": asked.clearance,
        "pulling": asked.pulling._asdict(),
        "carrying": asked.carrying._asdict(),
        "push_force_N": reached.force,
        "travel_mm": reached.travel,
        "stop_reason": reached.reason,
        "bore": _seat(reached.bore, asked.carrying.bore),
        "cone": _seat(reached.cone, asked.carrying.cone),
        "usable_torque_Nm": usable_torque(case, reached, lost),
        "von_mises_MPa": {part: stress.value for part, stress in reached.stresses.items()} or None,
        "seconds": reached.seconds,
        "trail": reached.trail,
        "service": served(reached.served),
        "collapse": reached.collapse and dict(zip(("part", "push_force_N", "travel_mm"), reached.collapse)),
        "flowed": {part: dict(zip(("volume_share", "largest_strain", "r_mm", "z_mm"), one)) for part, one in reached.flowed.items()} or None,
        "search": dict(zip(("stop_reason", "push_force_N"), reached.search)) if reached.search else None,
    }


def served(found: Served | None) -> dict[str, Any] | None:
    """What service changes in a corner, by simulation; None where it was not simulated."""
    if found is None:
        return None
    return {
        "grip_lost_N": found.by_speed + found.by_temperature,
        "by_temperature_N": found.by_temperature,
        "by_speed_N": found.by_speed,
        "most_lost_N": dict(found.lost),
        "stress_added_MPa": dict(found.grown),
        "push_force_N": found.force,
    }


def usable_torque(case: Case, reached: Reached, lost: dict[str, float]) -> float:
    """Torque [N·m] of the pair that governs, after thrust and service; 0 where the thrust alone slips."""
    duty = case.duty
    thrust = 0.0 if duty is None else duty.slip_safety * abs(duty.thrust)
    lost = reached.taken(lost)
    found = [reached.bore.usable(reached.corner.carrying.bore, thrust, lost.get("bore", 0.0))]
    if duty is not None and duty.carried_by == "ring":
        found.append(reached.cone_carrying.usable(reached.corner.carrying.cone, 0.0, lost.get("cone", 0.0)))
    return max(min(found), 0.0) / 1e3


def _seat(seat: Seat, friction: float) -> dict[str, float]:
    return {
        "normal_force_N": seat.normal,
        "radial_force_N": seat.radial,
        "contact_length_mm": seat.length,
        "mean_pressure_MPa": seat.mean_pressure,
        "peak_pressure_MPa": seat.peak_pressure,
        "torque_capacity_Nm": friction * seat.moment / 1e3,
    }
