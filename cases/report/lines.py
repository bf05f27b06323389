"""Results as lines of plain text, for the command line."""

import textwrap
from pathlib import Path
from typing import Any, Iterable, Mapping

from colletfea.cases.report import comparison, decision
from colletfea.cases.report.assumed import at_default, shown
from colletfea.cases.report.wording import NOTHING, dig, key_name, number, quantity, verdict_name, verdict_word

Summary = Mapping[str, Any]
LABEL, COLUMN, WIDTH = 52, 14, 110


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
        for row in comparison.table(data)
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
    lines += _wrapped([*slit_lines(by_hand["slits"]), comparison.hoop_kept(data) or ""])
    lines += _wrapped(f"Note. {line}" for line in note_lines(by_hand["notes"]))
    return [*lines, "", *assumed_lines(data["case"])]


def run_lines(summary: Summary, report: Path) -> list[str]:
    """The decision, the key numbers, the verdicts and where the report lies."""
    keys = decision.key_numbers(summary)
    label = max((len(what) for _, what in keys), default=0)
    verdicts = [
        f"  {verdict_word(verdict['ok']):11}{verdict_name(verdict['name'])}{_margin(verdict)}"
        for verdict in summary["verdicts"]
    ]
    return [
        *_wrapped([decision.answer(summary), decision.next_step(summary), decision.ending(summary)]),
        *(f"  {what:{label}}{value:>{COLUMN + 2}}" for value, what in keys),
        *_wrapped([*verdicts, comparison.outcome(summary) or ""]),
        *assumed_lines(summary["case"]),
        f"Report: {report}",
    ]


def assumed_lines(case: Mapping[str, Any]) -> list[str]:
    """Values at their default, a key and its value kept on one line."""
    filled = [f"{key} = {shown(key, value)}" for key, value in at_default(case).items()]
    if not filled:
        return ["Nothing was left at its default."]
    text = ", ".join(each.replace(" ", _KEPT) for each in filled)
    wrapped = textwrap.wrap(text, WIDTH, initial_indent="  ", subsequent_indent="  ", break_on_hyphens=False)
    return ["At their default, given or left out:", *(line.replace(_KEPT, " ") for line in wrapped)]


def slit_lines(slits: Mapping[str, Any] | None) -> list[str]:
    """What the slit formulas say beside the columns; `slits` is the block of the hand values, None without slits."""
    if not slits:
        return []
    said = {
        "formula": "Slit law: {formula}; its scatter against the 3D linear-elastic study is about {scatter} %.",
        "cone_peak_factor": "Round the circumference the cone's pressure reaches about {peak} times its mean.",
        "bending_stress_MPa": "Bending of the sleeve while it closes adds about {bending}, tension outside and compression "
        "inside, most of it midway between the slit and the sleeve's back or the other slit, about 90 degrees from a slit; a "
        "model of whole rings cannot show it.",
        "shuts_at_closing_mm": "The slots shut at a closing of {shut} on the radius.",
    }
    values = {
        "formula": slits["formula"],
        "scatter": number(slits["scatter_percent"], 2),
        "peak": number(slits["cone_peak_factor"], 3),
        "bending": quantity(slits["bending_stress_MPa"], "MPa", 3),
        "shut": quantity(slits["shuts_at_closing_mm"], "mm", 3),
    }
    return [line.format(**values) for key, line in said.items() if slits[key] is not None]


def note_lines(notes: Iterable[Mapping[str, str]]) -> list[str]:
    """Reservations on hand values, one sentence a reason."""
    grouped: dict[str, list[str]] = {}
    for note in notes:
        grouped.setdefault(note["because"], []).append(note["key"])
    return [f"{_named(keys)}: {because}." for because, keys in grouped.items()]


def _named(keys: list[str]) -> str:
    """"Grip travel, clamp travel (plain)" for plain.grip_travel_mm and plain.clamp_travel_mm."""
    parts = [key.split(".") for key in keys]
    columns = dict.fromkeys(part for path in parts for part in path if part in COLUMNS)
    names = dict.fromkeys(
        key_name("_".join(part for part in reversed(path) if part not in (*COLUMNS, "slits"))) for path in parts
    )
    text = ", ".join(names)
    return text[:1].upper() + text[1:] + (f" ({', '.join(columns)})" if columns else "")


def _wrapped(lines: Iterable[str]) -> list[str]:
    """Sentences, long ones broken between words and the rest of them set in; empty ones left out."""
    found: list[str] = []
    for line in lines:
        indent = " " * (15 if line.startswith("  ") else 2)
        found += textwrap.wrap(line, WIDTH, subsequent_indent=indent, break_on_hyphens=False)
    return found


COLUMNS = ("plain", "refined")
_KEPT = "\u00a0"  # a blank at which a line is not broken
STRESSES = (
    ("Ring, hoop stress at its bore, at clamp force", "ring_hoop"),
    ("Ring, von Mises at its bore, at clamp force", "ring_von_mises"),
    ("Sleeve, von Mises at its bore, at clamp force", "sleeve_von_mises"),
    ("Shaft, von Mises at its bore or axis, at clamp force", "shaft_von_mises"),
)


def _margin(verdict: Mapping[str, Any]) -> str:
    if verdict["margin"] is not None and verdict["ok"] is not None:
        value, limit = decision.against(verdict)
        return f": {value} against {limit}, margin {number(verdict['margin'], 3)}"
    return f": {verdict['because']}" if verdict["because"] else ""
