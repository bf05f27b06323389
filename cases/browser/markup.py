"""The page's parts as HTML; every text in them is escaped here."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape
from itertools import groupby
from typing import Any

from colletfea.cases.browser import form, numbers
from colletfea.cases.browser.form import Control
from colletfea.cases.browser.numbers import Number
from colletfea.cases.browser.tab import Shown, Variant
from colletfea.cases.report import corner_words
from colletfea.cases.report.decision import sentences, standing
from colletfea.cases.report.force_words import in_vain
from colletfea.cases.report.verdict_words import against, margin
from colletfea.cases.report.wording import NOTHING, verdict_word
from colletfea.cases.stored.verdict import subject, title

CLOSED = ("service", "after", "mesh", "solver")  # groups that few cases need


def form_html() -> str:
    """The form, empty; the script fills it."""
    groups = groupby(form.controls(), key=lambda control: control.group)
    return "".join(_group(name, list(found)) for name, found in groups)


def _group(name: str, found: list[Control]) -> str:
    inner = "".join(map(_field, found))
    opened = "" if name in CLOSED else " open"
    optional = f' data-optional="{name}"' if name in form.PRESENT else ""
    return f'<details class="group"{opened}{optional}><summary>{escape(form.GROUPS[name])}</summary><div class="fields">{inner}</div></details>'


def _field(control: Control) -> str:
    key, of = escape(control.key), f' data-of="{escape(control.of)}"' if control.of else ""
    unit = f' <span class="unit">{escape(control.unit)}</span>' if control.unit else ""
    label = control.label[:1].upper() + control.label[1:]
    needed = ' aria-required="true"' if control.required else ""
    common = f'id="f-{key}" data-field="{key}" aria-describedby="h-{key} e-{key}"{needed}'
    more = f" {control.allowed[:1].upper()}{control.allowed[1:]}." if control.allowed and control.options is None else ""
    kind = "field whole" if control.key == "title" else "field own" if control.of else "field presence" if control.key in form.PRESENT else "field"
    return (
        f'<div class="{kind}"{of}><label for="f-{key}">{escape(label)}{unit}</label>{_input(control, common)}'
        f'<p class="help" id="h-{key}">{escape(control.help + more)} <code>{key}</code></p><p class="fault" id="e-{key}"></p></div>'
    )


def _input(control: Control, common: str) -> str:
    if control.options == (form.YES,):
        return f'<input type="checkbox" {common}>'
    if control.options is None:
        mode = "text" if control.key in ("title", "sleeve.fit") or control.key.endswith(".name") else "decimal"
        return f'<input type="text" inputmode="{mode}" autocomplete="off" spellcheck="false" maxlength="{form.LONGEST_TEXT}" {common}>'
    words = {"true": "yes", "false": "no", form.OWN: "own material"}
    options = "".join(f'<option value="{escape(one)}">{escape(words.get(one, one))}</option>' for one in control.options)
    return f'<select {common}><option value=""></option>{options}</select>'


def drawing(shown: Shown) -> str | None:
    """The section, its sizes to be reached by keyboard; None where there is none."""
    if shown.drawing is None:
        return None
    return shown.drawing.replace(' data-key="', ' tabindex="0" role="link" data-key="')


def decision(shown: Shown, simulated: dict[str, Any] | None) -> str:
    """Does it hold: a sentence by hand, and one from the simulation where there is one."""
    if shown.hand is None:
        return '<p class="decision open">No numbers: mend what stands at the marked fields.</p>'
    more = _decision("Simulated" + (", quick" if simulated["level"] == "quick" else ""), simulated) if simulated else ""
    return _decision("By hand", shown.hand) + more


def results(shown: Shown, simulated: dict[str, Any] | None) -> str:
    """Verdicts, clamp forces and screws, by hand and from the simulation where there is one; nothing where there are faults."""
    if shown.hand is None:
        return ""
    found = [_verdicts(shown.hand, simulated)]
    found.append(_table("Clamp force and grip", numbers.CLAMP, shown.hand, simulated))
    data = simulated or shown.hand
    named = numbers.screws_named(data)
    if named:
        found.append(f'<h2>Screws</h2><p data-path="screws">{escape(named)}</p>')
    if shown.hand.get("screws"):
        found.append(_table("", numbers.SCREWS, shown.hand, simulated))
        found.append(_bullets([] if in_vain(data) else data["screws"]["sentences"]))
    return "".join(found)


def _decision(who: str, data: dict[str, Any]) -> str:
    kind = {True: "good", False: "bad", None: "open"}[standing(data)]
    first, *more = sentences(data)
    return f'<p class="decision {kind}"><b>{escape(who)}.</b> {escape(first)} <span class="more">{escape(" ".join(more))}</span></p>'


def _verdicts(hand: dict[str, Any], simulated: dict[str, Any] | None) -> str:
    both = [hand["verdicts"], simulated["verdicts"] if simulated else []]
    names = list(dict.fromkeys(v["name"] for found in both for v in found))
    rows = []
    for name in names:
        found = [next((v for v in each if v["name"] == name), None) for each in both]
        said = found[1] or found[0]
        cells = "".join(_word(v) for v in (found if simulated else found[:1]))
        where = corner_words.name(simulated if found[1] else hand, said.get("corner"))
        corner = f' <span class="corner">{escape(where)}</span>' if where else ""
        rows.append(
            f'<tr data-verdict="{escape(name)}"><td><details><summary>{escape(title(name))}{corner}</summary>'
            f'<p>{escape(_reason(said))}</p></details></td>{cells}</tr>'
        )
    return f'<h2>Verdicts</h2><table class="verdicts"><thead>{_head(simulated)}</thead><tbody>{"".join(rows)}</tbody></table>'


def _reason(verdict: dict[str, Any]) -> str:
    because = verdict["because"] or ""
    value = f"{' against '.join(against(verdict))}: " if verdict["value"] is not None and verdict["limit"] is not None else ""
    return f"{value}{because[:1].upper() if not value else because[:1]}{because[1:]}"


def _word(verdict: dict[str, Any] | None) -> str:
    if verdict is None:
        return f"<td>{NOTHING}</td>"
    kind = {True: "good", False: "bad", None: "open"}[verdict["ok"]]
    by = f" {margin(verdict)}" if verdict["ok"] is not None and verdict["margin"] is not None else ""
    return f'<td class="num {kind}" data-ok="{verdict["ok"]}"><b>{verdict_word(verdict["ok"])}</b>{escape(by)}</td>'


def _head(simulated: dict[str, Any] | None) -> str:
    more = '<th class="num">simulated</th>' if simulated else ""
    return f'<tr><th></th><th class="num">by hand</th>{more}</tr>'


def _table(heading: str, rows: Sequence[Number], hand: dict[str, Any], simulated: dict[str, Any] | None) -> str:
    sources = [("hand", hand)] + ([("simulated", simulated)] if simulated else [])
    lines = []
    for row in rows:
        if all(numbers.value(data, row.path) is None for _, data in sources):
            continue
        cells = "".join(_number(row, who, data) for who, data in sources)
        lines.append(f"<tr><td>{escape(row.label)}</td>{cells}</tr>")
    top = f"<h2>{escape(heading)}</h2>" if heading else ""
    return f"{top}<table><thead>{_head(simulated)}</thead><tbody>{''.join(lines)}</tbody></table>" if lines else ""


def _number(row: Number, who: str, data: dict[str, Any]) -> str:
    value = numbers.value(data, row.path)
    raw = "" if value is None else repr(float(value))
    return f'<td class="num" data-path="{row.path}" data-by="{who}" data-value="{raw}">{escape(numbers.written(row, data))}</td>'


def _bullets(sentences: Iterable[str]) -> str:
    lines = "".join(f"<li>{escape(one)}</li>" for one in sentences)
    return f"<details><summary>How to tighten, and what was counted</summary><ul>{lines}</ul></details>" if lines else ""


def variants(kept: Sequence[Variant], shown: Shown, values: form.Values, simulated: dict[str, Any] | None) -> str:
    """Kept designs beside the form's: keys that differ, key numbers and what is not met; nothing where none is kept."""
    if not kept:
        return ""
    columns = [(one.name, one.values, one.hand, one.simulated) for one in kept]
    if shown.hand:
        columns.insert(0, ("Now", values, shown.hand, simulated))
    lines = [_line(f"{control.label} ({control.key})", [v.get(control.key, "") or NOTHING for _, v, _, _ in columns]) for control in form.controls()
             if len({v.get(control.key, "") for _, v, _, _ in columns}) > 1]  # fmt: skip
    for who, at in (("By hand", 2), ("Simulated", 3)):
        if any(column[at] for column in columns):
            lines.append(f'<tr><th class="part" colspan="{len(columns) + 1}">{who}</th></tr>')
            lines += [_line(row.label, [numbers.written(row, column[at]) for column in columns], "num") for row in numbers.CLAMP]
            lines.append(_line("Not met", [_not_met(column[at]) for column in columns]))
            lines.append(_line("Screws", [(numbers.screws_named(column[at]) if column[at] else "") or NOTHING for column in columns]))
    head = "".join(f"<th>{escape(name)}{'' if name == 'Now' else _buttons(name)}</th>" for name, *_ in columns)
    return f'<h2>Kept beside</h2><div class="wide" tabindex="0"><table class="variants"><thead><tr><th></th>{head}</tr></thead><tbody>{"".join(lines)}</tbody></table></div>'


def _line(label: str, cells: Iterable[str], kind: str = "num text") -> str:
    return f"<tr><th scope=\"row\">{escape(label[:1].upper() + label[1:])}</th>" + "".join(f'<td class="{kind}">{escape(one)}</td>' for one in cells) + "</tr>"


def _buttons(name: str) -> str:
    made = (f' <button data-do="{what}" data-with="{escape(name)}" aria-label="{words} design {escape(name)}">{words}</button>'
            for what, words in (("take", "Take back"), ("drop", "Drop")))  # fmt: skip
    return "".join(made)


def _not_met(data: dict[str, Any] | None) -> str:
    failed = [subject(v["name"]) for v in data["verdicts"] if v["ok"] is False] if data else []
    return "; ".join(failed) or NOTHING
