"""A case as the texts of a form, and back: one text a control, empty where nothing is given."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.kinds import OWN_MATERIAL, Band, Choice, Flag, Hardening, Kind, MaterialValue, Text, TwoNumbers
from colletfea.cases.casefile.materials import MATERIALS, named
from colletfea.cases.casefile.schema import ALL_KEYS, OPTIONAL_TABLES, REQUIRED, SCHEMA, dotted
from colletfea.cases.casefile.text import written

Values = dict[str, str]
OWN, YES = "own", "yes"  # a material of its own; a table that is there
LONGEST_TEXT = 20_000  # characters of one control, enough for a table of hardening

GROUPS = {
    "": "Title", "shaft": "Shaft", "sleeve": "Sleeve", "sleeve.slits": "Slits", "ring": "Clamp ring", "friction": "Friction",
    "duty": "Duty", "push": "Push", "service": "Service", "after": "After the push", "screws": "Clamp screws", "mesh": "Mesh",
    "solver": "Solver",
}  # fmt: skip
PRESENT = {"duty": "a duty is given", "service": "speed or warmth is given", "screws": "screws are given"}
_OWN_WORDS = {
    "name": ("name", "What the material is called."),
    "young": ("Young's modulus", "Modulus of elasticity."),
    "poisson": ("Poisson's ratio", "Ratio of cross strain to strain."),
    "yield": ("yield stress", "0.2 % proof stress; without one no verdict on yield is possible."),
    "hardening": ("hardening", "Slope of stress over plastic strain, or rows of strain and stress such as 0 430; 0.01 450."),
    "expansion": ("expansion", "Coefficient of thermal expansion."),
    "density": ("density", "Mass per volume."),
}


@dataclass(frozen=True)
class Control:
    """One control: its key, the group (table) it stands in, label, unit, what is allowed, help and the words to choose from.

    options is None where text is typed. of: the key of the material that an own value belongs to, "" elsewhere.
    """

    key: str
    group: str
    label: str
    unit: str
    allowed: str
    help: str
    options: tuple[str, ...] | None = None
    required: bool = False
    of: str = ""


@cache
def controls() -> tuple[Control, ...]:
    """Every control, in the order of the case file; a table that may be left out begins with one that says it is there."""
    found = []
    for table, keys in SCHEMA.items():
        if table in PRESENT:
            found.append(Control(table, table, PRESENT[table], "", "", "Left out, the case has none.", (YES,)))
        for name, entry in keys.items():
            key = dotted(table, name)
            found.append(_control(key, table, entry))
            if isinstance(entry.kind, MaterialValue):
                found += [_own(key, table, part, kind) for part, kind in OWN_MATERIAL.items()]
    return tuple(found)


def _control(key: str, table: str, entry) -> Control:
    return Control(
        key, table, entry.label, _unit(entry.kind), _plain(entry.kind.allowed()), entry.help, _options(entry.kind), entry.default is REQUIRED
    )


def _own(key: str, table: str, part: str, kind: Kind) -> Control:
    label, words = _OWN_WORDS[part]
    unit = "MPa" if part == "hardening" else _unit(kind)
    return Control(f"{key}.{part}", table, label, unit, _plain(kind.allowed()), words, None, part in ("young", "poisson"), key)


def _unit(kind: Kind) -> str:
    return getattr(getattr(kind, "each", kind), "unit", "")


def _options(kind: Kind) -> tuple[str, ...] | None:
    if isinstance(kind, MaterialValue):
        return (*MATERIALS, OWN)
    if isinstance(kind, Flag):
        return ("true", "false")
    return kind.options if isinstance(kind, Choice) else None


def _plain(sentence: str) -> str:
    """A sentence for a form, where nothing stands in quotes."""
    return sentence.replace(", with a point and without quotes", ", with a point").replace(", in quotes", "")


def values(tables: Mapping[str, Any]) -> Values:
    """The texts of raw tables; of what they hold only the keys of the schema."""
    found = {control.key: "" for control in controls()}
    for table in SCHEMA:
        given = inner(tables, table)
        if table in OPTIONAL_TABLES:
            found[table] = YES if given is not None else ""
        for name, entry in SCHEMA[table].items():
            raw = given.get(name) if isinstance(given, Mapping) else None
            found.update(_texts(dotted(table, name), entry.kind, raw))
    return found


def _texts(key: str, kind: Kind, raw: Any) -> Values:
    if isinstance(kind, MaterialValue) and isinstance(raw, Mapping):
        own = {f"{key}.{part}": _text(each, raw.get(part)) for part, each in OWN_MATERIAL.items()}
        return {key: OWN, **own}
    return {key: _text(kind, raw)}


def _text(kind: Kind, raw: Any) -> str:
    if raw is None or isinstance(raw, Mapping):
        return ""
    if isinstance(raw, str):
        entry = named(raw) if isinstance(kind, MaterialValue) else None
        return entry.material.name if entry else raw
    if isinstance(raw, (list, tuple)):
        rows = isinstance(kind, Hardening)
        return ("; " if rows else ", ").join(" ".join(map(_number_text, one)) if rows and isinstance(one, (list, tuple)) else _number_text(one) for one in raw)
    return _number_text(raw)


def _number_text(raw: Any) -> str:
    if isinstance(raw, float) and abs(raw) < 1e15 and raw == int(raw):
        return str(int(raw))
    return written(raw) if isinstance(raw, (bool, int, float)) else str(raw)


def tables(given: Values) -> dict[str, Any]:
    """Raw tables of a form's texts; what can't be read as its kind stays text, for the case's checks to word."""
    found: dict[str, Any] = {}
    for table, keys in SCHEMA.items():
        if table in OPTIONAL_TABLES and given.get(table) != YES:
            continue
        read = {name: _raw(dotted(table, name), entry.kind, given) for name, entry in keys.items()}
        read = {name: raw for name, raw in read.items() if raw is not None}
        if read or table in OPTIONAL_TABLES:
            _place(found, table).update(read)
    return found


def _place(tables: dict[str, Any], path: str) -> dict[str, Any]:
    for name in path.split(".") if path else ():
        tables = tables.setdefault(name, {})
    return tables


def inner(tables: Any, path: str) -> Any:
    """What stands at a dotted path of nested tables, None where nothing does; the empty path is all of them."""
    for name in path.split(".") if path else ():
        tables = tables.get(name) if isinstance(tables, Mapping) else None
    return tables


def _raw(key: str, kind: Kind, given: Values) -> Any:
    text = given.get(key, "").strip()
    if isinstance(kind, MaterialValue) and text == OWN:
        own = {part: _raw(f"{key}.{part}", each, given) for part, each in OWN_MATERIAL.items()}
        return {part: raw for part, raw in own.items() if raw is not None}
    if not text:
        return None
    if isinstance(kind, Flag):
        return {"true": True, "false": False}.get(text, text)
    if isinstance(kind, (Text, Choice, MaterialValue)):
        return text
    if isinstance(kind, Hardening) and ";" in text:
        return [_list(row) for row in text.split(";") if row.strip()]
    if isinstance(kind, (Band, TwoNumbers)):
        numbers = _list(text)
        return numbers[0] if len(numbers) == 1 and isinstance(kind, Band) else numbers
    return _number(text)


def _list(text: str) -> list[float | str]:
    return [_number(part) for part in re.split(r"[,\s]+", text.strip()) if part]


def _number(text: str) -> float | str:
    if re.fullmatch(r"[+-]?\d{1,15}", text):
        return int(text)
    if len(text) < 40 and re.fullmatch(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d{1,3})?", text):
        return float(text)
    return text


def used(case: Case | None) -> Values:
    """What each control stands for where it is left empty: the value used, as text; without a case, what needs none."""
    if case is not None:
        shown = {key: _short(text) for key, text in values(case.tables()).items()}
        shown["sleeve.clearance"] = _short(_number_text(case.sleeve.clearance))
    else:
        plain = {key: entry.default for key, entry in ALL_KEYS.items() if entry.default not in (REQUIRED, None)}
        shown = {key: _text(ALL_KEYS[key].kind, raw) for key, raw in plain.items()}
    for key, entry in ALL_KEYS.items():
        if isinstance(entry.kind, MaterialValue) and case is not None:
            shown[key] = case.value(key).name
    return shown


def _short(text: str) -> str:
    """A text with long numbers in it cut to six digits, to be shown and not to be read back."""
    return re.sub(r"\d+\.\d{6,}", lambda found: f"{float(found[0]):.6g}", text)


_VALUED = re.compile(r'(?: = (?:"(?:[^"\\]|\\.)*"|.*?))?: (.*)', re.S)


@dataclass(frozen=True)
class Fault:
    """What is wrong: the key it stands at ("" for none), the keys its sentence names besides, and the sentence."""

    key: str
    others: tuple[str, ...]
    sentence: str

    @property
    def at_field(self) -> str:
        """The sentence where it stands at its field: without the key and the value, which are seen there."""
        rest = self.sentence[len(self.key) :]
        found = _VALUED.match(rest) if self.key else None
        words = found[1] if found else rest
        return words[:1].upper() + words[1:]


def keyed(sentences: Iterable[str]) -> list[Fault]:
    """The fault of each sentence, at the dotted key that it opens with, if any."""
    keys = sorted((control.key for control in controls()), key=len, reverse=True)
    return [_keyed(sentence, keys) for sentence in sentences]


def _keyed(sentence: str, keys: list[str]) -> Fault:
    at = next((key for key in keys if re.match(rf"{re.escape(key)}(:| = )", sentence)), "")
    rest = sentence[len(at) :]
    others = tuple(key for key in keys if key != at and "." in key and re.search(rf"(?<![\w.]){re.escape(key)}(?![\w.]\w)", rest))
    return Fault(at, others, _plain(sentence))
