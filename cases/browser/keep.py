"""The text of a case file with some of its values changed: lines that are not concerned, and comments, stay as they are."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from typing import Any

from colletfea.cases.browser.form import inner
from colletfea.cases.casefile.schema import ALL_KEYS, OPTIONAL_TABLES, SCHEMA, dotted
from colletfea.cases.casefile.text import dump, written

Tables = Mapping[str, Any]
_HEADER = re.compile(r"\s*\[\s*([\w.\-]+)\s*\]\s*(#.*)?$")
_KEY = re.compile(r"(\s*([\w\-]+)\s*=\s*)(.*)$")


def kept(text: str | None, tables: Tables) -> tuple[str, bool]:
    """The text of a case file that holds these raw tables, and whether the given text's comments are in it.

    Keys are changed where they stand, new ones follow the others of their table. Where the text writes its values in a
    way that this can't follow (a list over several lines, say), a new text is written.
    """
    if text is not None:
        changed = _changed(text, tables)
        if changed is not None:
            return changed, True
    return _new(tables), False


def _changed(text: str, tables: Tables) -> str | None:
    end = "\r" if "\r\n" in text else ""  # of a line, before its line feed: nothing else ends one in TOML
    whole = text if text.endswith("\n") else f"{text}{end}\n"
    try:
        found = "\n".join(_edited(whole.split("\n")[:-1], end, tomllib.loads(text), tables)) + "\n"
        read = tomllib.loads(found)
        return found if _flat(read) == _flat(tables) and _tables_in(read) == _tables_in(tables) else None
    except (tomllib.TOMLDecodeError, RecursionError, ValueError, TypeError):
        return None


def _edited(lines: list[str], end: str, before: Tables, tables: Tables) -> list[str]:
    old, new = _flat(before), _flat(tables)
    missing, gone = dict(new), _tables_in(before) - _tables_in(tables)
    done: list[str] = []
    ends: dict[str, int] = {"": 0}
    table = ""
    for line in lines:
        bare = line.removesuffix("\r")
        header, entry = _HEADER.match(bare), _KEY.match(bare)
        if header:
            table = header[1]
            if table in gone:
                continue
        elif entry and (key := dotted(table, entry[2])) in ALL_KEYS:
            missing.pop(key, None)
            if key not in new:
                continue
            if new[key] != old.get(key):
                line = entry[1] + _valued(new[key]) + _comment(entry[3], _valued(new[key])) + line[len(bare) :]
        done.append(line)
        if header or entry:
            ends[table] = len(done)
    return _with(done, end, ends, missing, tables)


def _with(lines: list[str], end: str, ends: dict[str, int], missing: dict[str, Any], tables: Tables) -> list[str]:
    """Lines with missing keys put in behind the last one of their table, new tables at the end."""
    added: dict[str, list[str]] = {table: [] for table in SCHEMA if table in _tables_in(tables) and table not in ends}
    for key, value in missing.items():
        table, _, name = key.rpartition(".")
        added.setdefault(table, []).append(f"{name} = {_valued(value)}{end}")
    for table, at in sorted(ends.items(), key=lambda item: -item[1]):
        lines[at:at] = added.pop(table, [])
    for table, entries in added.items():
        lines += [end, f"[{table}]{end}", *entries] if entries or table in _tables_in(tables) else []
    return lines


def _comment(rest: str, value: str) -> str:
    """The comment behind a value of one line, put where it stood as far as the new value leaves room."""
    plain = re.sub(r'"(?:[^"\\]|\\.)*"' + r"|'[^']*'", lambda m: "x" * len(m[0]), rest)
    at = plain.find("#")
    return "" if at < 0 else " " * max(1, at - len(value)) + rest[at:]


def _valued(value: Any) -> str:
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{name} = {_valued(part)}" for name, part in value.items()) + " }"
    return written(value)


def _flat(tables: Tables) -> dict[str, Any]:
    """Dotted key to raw value for every key of the schema that is given."""
    found = {}
    for table, keys in SCHEMA.items():
        given = inner(tables, table)
        for name in keys if isinstance(given, Mapping) else ():
            if given.get(name) is not None:
                found[dotted(table, name)] = given[name]
    return found


def _tables_in(tables: Tables) -> set[str]:
    return {table for table in SCHEMA if table and isinstance(inner(tables, table), Mapping)}


def _new(tables: Tables) -> str:
    """A new text; a table that is empty, and means something by being there, gets its header."""
    empty = [name for name in OPTIONAL_TABLES if inner(tables, name) == {}]
    return dump(dict(tables)) + "".join(f"\n[{name}]\n" for name in empty)
