"""What was asked and what came out, in words and key numbers; shared by the report and the command line."""

import math
from typing import Any, Mapping

from colletfea.cases.report.wording import NOTHING, number, percent, quantity, verdict_word
from colletfea.cases.stored.names import EARLY, REASONS, dig
from colletfea.cases.stored.verdict import subject, title

Summary = Mapping[str, Any]

GRIP = {"slip", "cone_slip"}


def asked(summary: Summary) -> str:
    """The question in one sentence."""
    duty, push = summary["case"].get("duty"), summary["case"].get("push") or {}
    goal = ""
    if push.get("travel") is not None:
        goal = f"push the ring by {quantity(push['travel'], 'mm')}"
    elif push.get("force") is not None:
        goal = f"push the ring with {quantity(push['force'], 'N')}"
    if duty is None:
        return f"Asked: {goal}; no duty was given, so there is nothing to hold and no margin."
    thrust = f" together with {quantity(duty['thrust'], 'N')} of thrust" if duty["thrust"] else ""
    where = "sleeve" if duty["carried_by"] == "sleeve" else "ring"
    return (
        f"Asked: carry {quantity(duty['torque'], 'N·m', 3)}{thrust} with a slip safety of "
        f"{number(duty['slip_safety'], 3)} and a yield safety of {number(duty['yield_safety'], 3)}, hub on "
        f"the {where}{', ' + goal if goal else ''}."
    )


def standing(summary: Summary) -> bool | None:
    """False as soon as one verdict is not ok or the run stopped early, None where something was not judged."""
    judged = [verdict["ok"] for verdict in summary["verdicts"]]
    if False in judged or stopped_early(summary):
        return False
    return None if None in judged or not judged else True


def answer(summary: Summary) -> str:
    """Does it hold: one sentence."""
    if stopped_early(summary):
        return (
            f"No decision: {REASONS[summary['simulation']['stop_reason']]}; these are partial results."
        )
    failed = [v["name"] for v in summary["verdicts"] if v["ok"] is False]
    unclear = [v["name"] for v in summary["verdicts"] if v["ok"] is None]
    if _low_end_only(summary):
        return _nominal_only(summary)
    if failed:
        return f"It does not hold as it stands. Not met: {_subjects(failed)}."
    if unclear:
        return f"Everything that was judged holds. Not judged: {_subjects(unclear)}."
    if summary["verdicts"]:
        return "It holds, within what this model sees."
    return "Nothing was judged: the case asks for no duty."


def _low_end_only(summary: Summary) -> bool:
    """The duty was reached at nominal friction, and only the low end of the friction band falls short."""
    failed = {v["name"] for v in summary["verdicts"] if v["ok"] is False}
    reached = summary["simulation"]["at_duty"] is not None
    return bool(failed) and failed <= GRIP and reached and not stopped_early(summary)


def _nominal_only(summary: Summary) -> str:
    force = advised_pull(summary)
    pull = "" if force is None else f"; pull with {quantity(force, 'N')} for that"
    return f"It holds at nominal friction, not at the low end{pull}."


def advised_pull(summary: Summary) -> float | None:
    """The pull at the worst friction, rounded up to four digits so that what is read off is not too little."""
    force = dig(summary, "worst_friction.clamp_force_N")
    if not force:
        return None
    step = 10.0 ** (math.floor(math.log10(force)) - 3)
    return step * math.ceil(force / step)


def next_step(summary: Summary) -> str:
    """What the greater pull covers and how to see its stresses; empty where none is advised."""
    force = advised_pull(summary)
    if force is None or not _low_end_only(summary):
        return ""
    worst = summary["worst_friction"]
    low, high = worst["cone"]
    return (
f"That pull is enough with cone friction {high:g} while the ring is pulled on, and with {low:g} on the cone and "
        f"{worst['bore']:g} on the bore while the seat carries. It comes from the simulated forces, scaled by hand to these "
        f"values, at the clearance of this run. Run again with push.force = {force:g} to see the stresses there."
    )


def _subjects(names: list[str]) -> str:
    return "; ".join(subject(name) for name in names)


def stopped_early(summary: Summary) -> bool:
    """True for partial results."""
    return summary["simulation"]["stop_reason"] in EARLY


def ending(summary: Summary) -> str:
    """Why and where the push ended."""
    why = summary["simulation"]["stop_reason"]
    end = summary["simulation"]["at_end"]
    where = (
        f" at {quantity(end['travel_mm'], 'mm')} of travel and {quantity(end['push_force_N'], 'N')} of push"
        if end
        else " before the first increment was accepted"
    )
    rough = " Made with --quick, on a coarse mesh: for a first look, not to sign off." if summary.get("level") == "quick" else ""
    return f"The push ended{where}: {REASONS.get(why, str(why))}.{rough}"


def reference(summary: Summary) -> tuple[str, Mapping[str, Any] | None]:
    """The state that key numbers are taken from: the duty where it was reached, else the end."""
    simulation = summary["simulation"]
    if simulation["at_duty"] is not None:
        return "at the duty", simulation["at_duty"]
    return "at the end of the push", simulation["at_end"]


def key_numbers(summary: Summary) -> list[tuple[str, str]]:
    """(value, what it is) for the numbers a designer looks for first."""
    where, state = reference(summary)
    if state is None:
        return []
    bore = state["bore"]
    keys = [
        (quantity(state["push_force_N"], "N"), f"clamp force {where}"),
        (quantity(state["travel_mm"], "mm"), f"ring travel {where}"),
        (
            quantity(bore["torque_capacity_Nm"], "N·m"),
            f"torque capacity of the bore {where}, nominal friction",
        ),
    ]
    if dig(summary, "case.duty.carried_by") == "ring":
        keys.append(
            (quantity(state["cone"]["torque_capacity_Nm"], "N·m"), f"torque capacity of the cone {where}")
        )
    touch = summary["simulation"]["at_touch"]
    keys.append(
        (
            quantity(touch["travel_mm"], "mm") if touch else "not reached",
            "ring travel at first touch of the shaft",
        )
    )
    keys.append(
        (
            quantity(bore["mean_pressure_MPa"], "MPa"),
            f"mean pressure on the bore, over {_length(bore, summary)}",
        )
    )
    keys.append((quantity(bore["peak_pressure_MPa"], "MPa"), "largest element mean of the bore's pressure"))
    return keys + _after(summary)


def _after(summary: Summary) -> list[tuple[str, str]]:
    keys = []
    release, twist = summary["simulation"]["after_release"], summary["simulation"]["twist"]
    if release is not None:
        keys.append((quantity(release["release_force_N"], "N"), "pull that takes the ring off again"))
    if twist is not None:
        keys.append(
            (
                quantity(twist["full_slip_torque_Nm"], "N·m"),
                f"torque at full slip, {percent(twist['capacity_ratio'], 4)} of what the seat then holds",
            )
        )
        keys.append((quantity(twist["stiffness_Nm_per_rad"], "N·m/rad"), _stiffness(twist)))
    return keys


def _stiffness(twist: Mapping[str, Any]) -> str:
    """A slit sleeve keeps the shear modulus of the solid, which is too stiff on its free length."""
    bound = ", upper bound (slit sleeve)" if twist.get("stiffness_is_upper_bound") else ""
    return f"torsional stiffness at the turned end{bound}"


def _length(bore: Mapping[str, Any], summary: Summary) -> str:
    seat = quantity(summary["case"]["sleeve"]["length"], "mm", 3)
    return f"{number(bore['contact_length_mm'], 3)} of {seat} length"


def against(verdict: Mapping[str, Any]) -> tuple[str, str]:
    """Value and limit, formatted."""
    return tuple(quantity(verdict[name], verdict["unit"] or "") for name in ("value", "limit"))


def margin(verdict: Mapping[str, Any]) -> str:
    """The margin, with a digit more where it would read as 1.00 beside "not ok"."""
    value = verdict["margin"]
    if value is None:
        return NOTHING
    if value >= 1000:
        return "over 1000"
    short = number(float(value), 3)
    return number(float(value), 4) if verdict["ok"] is False and short == "1.00" else short


def verdict_row(verdict: Mapping[str, Any]) -> list[str]:
    """Name, value, limit, margin, word and because, formatted."""
    return [
        title(verdict["name"]),
        *against(verdict),
        margin(verdict),
        verdict["because"] or "",
        verdict_word(verdict["ok"]),
    ]
