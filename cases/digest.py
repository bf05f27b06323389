"""Results as lines of plain text, for the command line."""

from pathlib import Path
from typing import Any, Mapping

from cases import compare, decision
from cases.assumed import at_default, shown
from cases.wording import NOTHING, dig, key_name, number, quantity, verdict_name, verdict_word

Summary = Mapping[str, Any]
LABEL, COLUMN = 52, 14


def hand_lines(data: Mapping[str, Any]) -> list[str]:
    """The hand calculation: both columns, what stands beside them, reservations, values at their default."""
    by_hand = data["hand"]
    lines = [
        f"{data['title']}: hand calculation, nominal friction",
        "",
        f"{'':{LABEL}}{'plain':>{COLUMN}}{'refined':>{COLUMN}}",
    ]
    lines += [
        f"{row.label:{LABEL}}{quantity(row.plain, row.unit):>{COLUMN}}{quantity(row.refined, row.unit):>{COLUMN}}"
        for row in compare.table(data)
        if (row.plain, row.refined) != (None, None)
    ]
    lines += [
        f"{label:{LABEL}}{NOTHING:>{COLUMN}}{quantity(dig(by_hand, f'refined.stress_MPa.{key}'), 'MPa'):>{COLUMN}}"
        for label, key in STRESSES
        if dig(by_hand, f"refined.stress_MPa.{key}") is not None
    ]
    lines += [
        "",
        f"Ring stays when the clamp force is removed: {number(by_hand['self_locking'])}.",
        f"Hoop stiffness {number(by_hand['hoop_stiffness_ratio'], 3)} of a closed sleeve, "
        f"area of contact {number(by_hand['fill_fraction'], 3)} of a closed seat.",
    ]
    lines += [
        f"Fit, {name}: clearance {quantity(one['clearance_mm'], 'mm', 3)}, closing at "
        f"{quantity(dig(one, 'refined.closing_travel_mm'), 'mm', 3)} and "
        f"{quantity(dig(one, 'refined.closing_force_N'), 'N', 3)} (refined)."
        for name, one in (by_hand["fit"] or {}).items()
    ]
    lines += [f"Note on {key_name(note['key'])}: {note['because']}" for note in by_hand["notes"]]
    return [*lines, "", assumed_line(data["case"])]


def run_lines(summary: Summary, report: Path) -> list[str]:
    """The decision, the key numbers, the verdicts and where the report lies."""
    lines = [decision.answer(summary), decision.ending(summary)]
    lines += [f"  {what:{LABEL + 8}}{value:>{COLUMN}}" for value, what in decision.key_numbers(summary)]
    lines += [
        f"  {verdict_word(verdict['ok']):11}{verdict_name(verdict['name'])}{_margin(verdict)}"
        for verdict in summary["verdicts"]
    ]
    reason = compare.outcome(summary)
    return [*lines, *([reason] if reason else []), assumed_line(summary["case"]), f"Report: {report}"]


def assumed_line(case: Mapping[str, Any]) -> str:
    """Values at their default, in one line."""
    filled = ", ".join(f"{key} = {shown(key, value)}" for key, value in at_default(case).items())
    return f"At their default, given or left out: {filled}." if filled else "Nothing was left at its default."


STRESSES = (
    ("Ring, hoop stress at its bore, at clamp force", "ring_hoop"),
    ("Ring, von Mises at its bore, at clamp force", "ring_von_mises"),
    ("Sleeve, von Mises at its bore, at clamp force", "sleeve_von_mises"),
    ("Shaft, von Mises at its bore or axis, at clamp force", "shaft_von_mises"),
)


def _margin(verdict: Mapping[str, Any]) -> str:
    if verdict["margin"] is not None:
        return (
            f": {quantity(verdict['value'], verdict['unit'] or '')} against "
            f"{quantity(verdict['limit'], verdict['unit'] or '')}, margin {number(verdict['margin'], 3)}"
        )
    return f": {verdict['because']}" if verdict["because"] else ""
