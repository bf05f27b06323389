"""The numbers a designer looks for first, the clamp force to apply before all others."""

from typing import Any, Mapping

from colletfea.cases.report import corner_words, failing
from colletfea.cases.report.force_words import clamp, in_vain, needed, screw_set, travel
from colletfea.cases.report.wording import number, percent, quantity
from colletfea.cases.stored.names import dig
from colletfea.cases.stored.verdict import untrusted

Data = Mapping[str, Any]


def front(data: Data) -> list[tuple[str, str]]:
    """(value, what it is): clamp force, screws, travel, torque in the worst corner; for the first page and the terminal."""
    grip, proposed = corner_words.gripping(data), failing.proposed(data)
    by_travel = dig(data, "case.push.travel") is not None
    pulled = "clamp force to apply, least to greatest" if failing.enough(data) else "clamp force of these pushes, least to greatest"
    if failing.unreached(data):
        pulled = "clamp force, which these pushes do not all reach"
    keys = [
        (clamp(data), "clamp force that this travel takes" if by_travel else pulled),
        (quantity(dig(data, "clamp.least_N"), "N", 3) if in_vain(data) and dig(data, "clamp.least_N") else "", "push at which the search for a force that carries ended"),
        (needed(data), "clamp force needed at least" + (", worst corner" if by_travel else "")),
        (travel(data), "ring travel over the corners"),
    ]
    if data.get("screws") and clamp(data):
        guess = ", a first guess" if untrusted(data, "screws") else ""
        keys.append((screw_set(data["screws"]), f"screws and tightening torque{guess}"))
    elif proposed and clamp(data):
        keys.append((screw_set(proposed), "screws that would do"))
    if grip and dig(data, "case.duty.torque"):
        where = corner_words.name(data, grip["name"])
        keys.append((quantity(grip["usable_torque_Nm"], "N·m", 3), f"torque carried, {where}" if where else "torque carried"))
    return [(value, what) for value, what in keys if value]


def nominal(summary: Data) -> list[tuple[str, str]]:
    """(value, what it is) of the nominal push and the stages after it."""
    state = dig(summary, "simulation.at_end")
    if state is None:
        return []
    bore, touch = state["bore"], dig(summary, "simulation.at_touch")
    keys = [
        (quantity(state["push_force_N"], "N"), "push at its end"),
        (quantity(state["travel_mm"], "mm"), "ring travel at its end"),
        (quantity(touch["travel_mm"], "mm") if touch else "not reached", "ring travel at first touch of the shaft"),
        (quantity(bore["torque_capacity_Nm"], "N·m"), "torque capacity of the bore, nominal friction"),
    ]
    if dig(summary, "case.duty.carried_by") == "ring":
        keys.append((quantity(state["cone"]["torque_capacity_Nm"], "N·m"), "torque capacity of the cone, nominal friction"))
    keys.append((quantity(bore["mean_pressure_MPa"], "MPa"), f"mean pressure on the bore, over {_length(bore, summary)}"))
    keys.append((quantity(bore["peak_pressure_MPa"], "MPa"), "largest pressure on the bore, mean over what touches of an element"))
    return keys + _after(summary)


def _after(summary: Data) -> list[tuple[str, str]]:
    keys = []
    release, twist = dig(summary, "simulation.after_release"), dig(summary, "simulation.twist")
    if release is not None:
        keys.append((quantity(release["release_force_N"], "N"), "pull that takes the ring off again"))
    if twist is not None:
        full = f"torque at full slip, {percent(twist['capacity_ratio'], 4)} of what the seat then holds"
        keys.append((quantity(twist["full_slip_torque_Nm"], "N·m"), full))
        keys.append((quantity(twist["stiffness_Nm_per_rad"], "N·m/rad"), _stiffness(twist)))
    return keys


def _stiffness(twist: Mapping[str, Any]) -> str:
    """A slit sleeve keeps the shear modulus of the solid, which is too stiff on its free length."""
    bound = ", upper bound (slit sleeve)" if twist.get("stiffness_is_upper_bound") else ""
    return f"torsional stiffness at the turned end{bound}"


def _length(bore: Mapping[str, Any], summary: Data) -> str:
    seat = quantity(summary["case"]["sleeve"]["length"], "mm", 3)
    return f"{number(bore['contact_length_mm'], 3)} of {seat} length"
