"""From the raw tables of a case file to checked values under dotted keys."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from copy import deepcopy
from typing import Any

from colletfea.cases.casefile.checks import AS_GIVEN, RESOLVED, drawn
from colletfea.cases.casefile.faults import CaseError, fault, listed, nearest
from colletfea.cases.casefile.fits import clearances
from colletfea.cases.casefile.schema import ALL_KEYS, OPTIONAL_TABLES, REQUIRED, SCHEMA, Rule, Unread, Values, dotted
from colletfea.cases.casefile.text import cut, name_shown

Tables = Mapping[str, Any]


def read(tables: Tables, stem: str) -> Values:
    """Values of all keys, defaults filled in; of a table that may be absent and is, every value is None.

    stem is the default title. Raises CaseError with all faults found.
    """
    faults = list(_unknown(tables))
    values = Values()
    for table in SCHEMA:
        faults += _read_table(table, _inner(tables, table), values)
    faults += _found(AS_GIVEN, values, tables)
    faults += _resolve(values, stem)
    faults += _found(RESOLVED, values, tables)
    if faults:
        raise CaseError(faults)
    return values


#: of two keys only one may stand: a change of one takes the other away
PARTNER = {
    "sleeve.clearance": "sleeve.fit", "sleeve.fit": "sleeve.clearance", "push.travel": "push.force", "push.force": "push.travel",
}  # fmt: skip


def with_changes(tables: Tables, changes: Tables) -> dict[str, Any]:
    """A copy of raw tables with dotted keys changed; None takes a key, or a whole table, away.

    Raises CaseError for keys that do not exist.
    """
    faults = [
        fault(_dotted_shown(key), changes[key], f"no such key; {_nearest_key(key)}")
        for key in changes
        if key not in ALL_KEYS and not (key in SCHEMA and changes[key] is None)
    ]
    if faults:
        raise CaseError(faults)
    result = deepcopy(dict(tables))
    for key, value in changes.items():
        _set(result, key, value.item() if hasattr(value, "item") else value)
        partner = PARTNER.get(key)
        if partner and value is not None and partner not in changes:
            _set(result, partner, None)
    return result


def _nearest_key(key: str) -> str:
    close = nearest(key, ALL_KEYS)
    return f"did you mean {close}?" if close else hint(*key.rpartition(".")[::2])


def _dotted_shown(key: str) -> str:
    return cut(".".join(map(name_shown, key.split("."))))


def _set(tables: dict[str, Any], path: str, value: Any) -> None:
    """Put a raw value under a dotted key, None for nothing; outer tables are made where they are missing."""
    *outer, name = path.split(".")
    for table in outer:
        tables[table] = inner = tables.get(table) or {}
        tables = inner
    tables[name] = value


def _inner(tables: Tables, path: str) -> Any:
    """The table at a dotted path, None where there is none; the empty path is the whole file."""
    for name in path.split(".") if path else ():
        tables = tables.get(name) if isinstance(tables, Mapping) else None
    return tables


def _read_table(table: str, given: Any, values: Values) -> Iterator[str]:
    """Fill values from one table; what has a fault stays unread."""
    if given is None and table in OPTIONAL_TABLES:
        values.update({dotted(table, key): None for key in SCHEMA[table]})
        return
    if given is not None and not isinstance(given, Mapping):
        yield fault(table, given, f"must be a table, [{table}] on a line of its own with its keys below")
        return
    for key, entry in SCHEMA[table].items():
        name, raw = dotted(table, key), (given or {}).get(key)
        if raw is None and entry.default is REQUIRED:
            yield fault(name, None, f"missing; must be {entry.kind.allowed()}: {entry.help[0].lower()}{entry.help[1:-1]}")
        elif raw is None and entry.default is None:
            values[name] = None
        elif found := entry.kind.faults(name, entry.default if raw is None else raw):
            yield from found
        else:
            values[name] = entry.kind.convert(entry.default if raw is None else raw)


def _unknown(tables: Tables) -> Iterator[str]:
    for table, keys in SCHEMA.items():
        given = _inner(tables, table)
        inner = [name.rpartition(".")[2] for name in SCHEMA if name and name.rpartition(".")[0] == table]
        for key in given if isinstance(given, Mapping) else ():
            if key not in keys and key not in inner:
                word, value = ("table", None) if isinstance(given[key], Mapping) else ("key", given[key])
                yield fault(dotted(table, name_shown(key)), value, f"no such {word}; {hint(table, key)}")


def hint(table: str, key: str) -> str:
    """The valid name most like an unknown one: of its own table before any other."""
    names = [*SCHEMA, *ALL_KEYS]
    own = {name.rpartition(".")[2]: name for name in names if name and name.rpartition(".")[0] == table}
    rest = {name.rpartition(".")[2]: name for name in names if name}
    close = own.get(nearest(key, own) or "") or rest.get(nearest(key, rest) or "")
    if close:
        return f"did you mean {close}?"
    return f"there are {listed(own.values(), 'and')}" if own else f"the tables are {listed(filter(None, SCHEMA), 'and')}"


def _middle(values: Values) -> float:
    if values["sleeve.fit"] is None:
        raise Unread("sleeve.clearance")
    return clearances(values["sleeve.fit"], values["shaft.diameter"]).middle


def _circle(values: Values) -> float:
    """Diameter [mm] halfway between the ring's bore and its outside at mid-length."""
    size = drawn(values)
    return size.ring_bore(size.ring.start + size.ring.length / 2) + size.ring.radius


# Defaults that depend on other keys; those of a table that may be left out hold where it is there.
DEPENDENT: dict[str, Callable[[Values], Any]] = {
    "shaft.beyond": lambda v: (v["shaft.diameter"] / 2, v["shaft.diameter"] / 2),
    "sleeve.clearance": _middle,
    "ring.taper": lambda v: v["sleeve.taper"],
    "duty.radial_at": lambda v: v["sleeve.length"] / 2,
    "after.ring_tied": lambda v: v["duty.carried_by"] != "ring",
    "screws.circle": _circle,
    "screws.jacking": lambda v: v["screws.count"] // 2,
}


def _resolve(values: Values, stem: str) -> Iterator[str]:
    """Fill in defaults that depend on other keys; a title from the file's name is checked as any other."""
    if values.get("title", stem) is None:
        if ALL_KEYS["title"].kind.holds(stem):
            values["title"] = stem
        else:
            yield fault("title", stem, "the file's name can't serve as a title; give title a line of text, in quotes")
    for key, rule in DEPENDENT.items():
        try:
            if values[key] is None and not values.absent(key):
                values[key] = rule(values)
        except (Unread, ValueError):  # noted already, by the key's kind or by the check of the fit
            values.pop(key, None)


def _found(checks: Iterable[Rule], values: Values, tables: Tables) -> Iterator[str]:
    """Faults that checks find, with values as they were written; a check ends quietly at a value that has a fault of its own."""
    for check in checks:
        try:
            for key, sentence in check(values):
                table, _, name = key.rpartition(".")
                raw = (_inner(tables, table) or {}).get(name)
                yield fault(key, values[key] if raw is None else raw, sentence)
        except Unread:
            continue
