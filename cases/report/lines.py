"""Results as lines of plain text, for the command line."""

import textwrap
from pathlib import Path
from typing import Any, Iterable, Mapping

from colletfea.cases.casefile.materials import DEFAULT, MATERIALS
from colletfea.cases.report import comparison, corner_words, decision, helps, key_numbers, screw_lines, sentences
from colletfea.cases.report.assumed import at_default, shown
from colletfea.cases.report.sentences import STRESSES, note_lines, slit_lines
from colletfea.cases.report.verdict_words import against, margin, reason
from colletfea.cases.report.wording import NOTHING, number, quantity, verdict_word
from colletfea.cases.stored.names import dig
from colletfea.cases.stored.verdict import title

Summary = Mapping[str, Any]
LABEL, COLUMN, WIDTH = 52, 14, 110
_KEPT = "\u00a0"  # a blank at which a line is not broken


def hand_lines(data: Mapping[str, Any]) -> list[str]:
    """Decision by formulas, both columns, what stands beside them, reservations, values at their default."""
    by_hand = data["hand"]
    lines = [
        f"{data['title']}: hand calculation",
        "",
        *decided_lines(data),
        "",
        "Columns at nominal friction and the middle of the fit:",
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
    """The decision, the corners, the verdicts, screws and advice, the nominal push, and where the report lies."""
    return [
        *decided_lines(summary),
        "",
        *_wrapped([decision.ending(summary)]),
        *_keys(key_numbers.nominal(summary)),
        *_wrapped([comparison.outcome(summary) or ""]),
        "",
        *assumed_lines(summary["case"]),
        f"Report: {report}",
    ]


def decided_lines(data: Summary) -> list[str]:
    """Decision, key numbers, corners, verdicts with their worst corner, screws and what helps."""
    blocks = [
        _wrapped(decision.sentences(data)),
        _keys(key_numbers.front(data)),
        _corners(data),
        _wrapped(_verdict(data, verdict) for verdict in data["verdicts"]),
        _wrapped(screw_lines.short(data)),
        _wrapped(_advice(data)),
    ]
    return [line for block in blocks if block for line in ("", *block)][1:]


def _keys(keys: Iterable[tuple[str, str]]) -> list[str]:
    found = list(keys)
    label, column = (max((len(pair[k]) for pair in found), default=0) for k in (1, 0))
    return [f"  {what:{label}}  {value:>{column}}" for value, what in found]


def _corners(data: Summary) -> list[str]:
    """The table of corners, its columns as wide as what stands in them."""
    rows = corner_words.rows(data)
    if not rows:
        return []
    table = [list(corner_words.HEAD), *rows]
    wide = [max(len(row[k]) for row in table) for k in range(len(table[0]))]
    return [("  " + "  ".join(f"{cell:{'<' if k in (0, 5) else '>'}{w}}" for k, (cell, w) in enumerate(zip(row, wide)))).rstrip() for row in table]


def _advice(data: Summary) -> list[str]:
    """What helps; in results without it, what the hand calculation says would lower the clamp force."""
    found = helps.lines(data)
    if found:
        return [found[0], *(f"  {line}" for line in found[1:])]
    by_hand = helps.by_hand(data)
    return [sentences.ADVICE_HEAD, *(f"  {line}" for line in by_hand)] if by_hand else []


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
        indent = " " * (15 if line.startswith("  ") and line[2] != line[2].upper() else 4 if line.startswith("  ") else 2)
        found += textwrap.wrap(line, WIDTH, subsequent_indent=indent, break_on_hyphens=False)
    return found



def _verdict(data: Summary, verdict: Mapping[str, Any]) -> str:
    """Word, title, value against limit, margin and worst corner; why, where it was not judged."""
    head = f"  {verdict_word(verdict['ok']):11}{title(verdict['name'])}"
    where = corner_words.name(data, verdict["corner"])
    place = f" ({where})" if where else ""
    value, limit = against(verdict)
    if verdict["ok"] is None:
        known = "" if None in (verdict["value"], verdict["limit"]) else f": {value} against {limit}{place}"
        return f"{head}{known}: {reason(verdict)}"
    if verdict["limit"] is None:
        return f"{head}: {value}{place}"
    return f"{head}: {value} against {limit}, margin {margin(verdict)}{place}"


def material_lines() -> list[str]:
    """The bundled materials: elastic constants, least strength and its sizes, expansion, density, and where they come from."""
    lines = ["E and yield in MPa, expansion in 1e-6/K, density in kg/m³. Check against the standard or the material's certificate.", ""]
    lines.append(f"{'':22}{'E':>8}{'ν':>7}{'yield':>7}{'expansion':>11}{'density':>9}  sizes of the yield stress")
    for name, entry in MATERIALS.items():
        m = entry.material
        values = f"{m.young:>8.0f}{m.poisson:>7.3g}{m.yield_stress:>7.0f}{1e6 * m.expansion:>11.3g}{m.density:>9.0f}"
        lines += [f"{name:22}{values}  {entry.sizes}", f"{'':22}  strength: {entry.source}; expansion and density: {entry.physical}"]
    return [*lines, "", f"Left out in a case: {DEFAULT}. Any other material: {{ young = ..., poisson = ..., yield = ... }}."]
