"""Results as lines of plain text, for the command line."""

import textwrap
from pathlib import Path
from typing import Any, Iterable, Mapping

from colletfea.cases.report import comparison, decision
from colletfea.cases.report.assumed import at_default, shown
from colletfea.cases.report.sentences import STRESSES, note_lines, slit_lines
from colletfea.cases.report.wording import NOTHING, number, quantity, verdict_word
from colletfea.cases.stored.names import dig
from colletfea.cases.stored.verdict import title

Summary = Mapping[str, Any]
LABEL, COLUMN, WIDTH = 52, 14, 110
_KEPT = "\u00a0"  # a blank at which a line is not broken


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
        f"{f'{label}, at clamp force':{LABEL}}{NOTHING:>{COLUMN}}{quantity(dig(by_hand, f'refined.stress_MPa.{key}'), 'MPa'):>{COLUMN}}"
        for label, key, _ in STRESSES
        if dig(by_hand, f"refined.stress_MPa.{key}") is not None
    ]
    lines += [
        "",
        f"Ring stays when the clamp force is removed: {number(by_hand['self_locking'])}.",
        f"Hoop stiffness {number(by_hand['hoop_stiffness_ratio'], 3)} of a closed sleeve, "
        f"contact area {number(by_hand['fill_fraction'], 3)} of a closed seat.",
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
        f"  {verdict_word(verdict['ok']):11}{title(verdict['name'])}{_margin(verdict)}"
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
        return ["No key stands at its default value."]
    text = ", ".join(each.replace(" ", _KEPT) for each in filled)
    wrapped = textwrap.wrap(text, WIDTH, initial_indent="  ", subsequent_indent="  ", break_on_hyphens=False)
    return ["Keys at their default value:", *(line.replace(_KEPT, " ") for line in wrapped)]


def _wrapped(lines: Iterable[str]) -> list[str]:
    """Sentences, long ones broken between words and the rest of them set in; empty ones left out."""
    found: list[str] = []
    for line in lines:
        indent = " " * (15 if line.startswith("  ") else 2)
        found += textwrap.wrap(line, WIDTH, subsequent_indent=indent, break_on_hyphens=False)
    return found



def _margin(verdict: Mapping[str, Any]) -> str:
    if verdict["margin"] is not None and verdict["ok"] is not None:
        value, limit = decision.against(verdict)
        return f": {value} against {limit}, margin {decision.margin(verdict)}"
    return f": {verdict['because']}" if verdict["because"] else ""
