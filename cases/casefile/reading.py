"""From the raw tables of a case file to checked values under dotted keys."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any

from colletfea.cases.casefile.checks import AS_GIVEN, RESOLVED
from colletfea.cases.casefile.faults import CaseError, fault, listed, nearest
from colletfea.cases.casefile.fits import clearances
from colletfea.cases.casefile.not_yet import NOT_YET, NotYet
from colletfea.cases.casefile.schema import ALL_KEYS, OPTIONAL_TABLES, REQUIRED, SCHEMA, dotted
from colletfea.cases.casefile.values import Check, Unread, Values

Tables = Mapping[str, Any]


def read(tables: Tables, stem: str, not_yet: NotYet = NOT_YET) -> Values:
    """Values of all keys, defaults filled in; of a table that may be absent and is, every value is None.

    stem is the default title. Raises CaseError with all faults found.
    """
    faults = list(_unknown(tables))
    values = Values()
    for table in SCHEMA:
        faults += _read_table(table, _inner(tables, table), values)
    faults += _found(AS_GIVEN, values)
    _resolve(values, stem)
    faults += _found(RESOLVED, values)
    if not faults:
        faults += [fault(key, values[key], why) for key, (applies, why) in not_yet.items() if applies(values)]
    if faults:
        raise CaseError(faults)
    return values


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
            yield fault(name, None, f"missing; must be {entry.kind.allowed()}")
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
                yield fault(dotted(table, key), value, f"no such {word}; {_hint(table, key)}")


def _hint(table: str, key: str) -> str:
    """The valid name most like an unknown one: of its own table before any other."""
    names = [*SCHEMA, *ALL_KEYS]
    own = {name.rpartition(".")[2]: name for name in names if name and name.rpartition(".")[0] == table}
    rest = {name.rpartition(".")[2]: name for name in names if name}
    close = own.get(nearest(key, own) or "") or rest.get(nearest(key, rest) or "")
    return f"did you mean {close}?" if close else f"there are {listed(own.values(), 'and')}"


def _middle(values: Values) -> float:
    if values["sleeve.fit"] is None:
        raise Unread("sleeve.clearance")
    return clearances(values["sleeve.fit"], values["shaft.diameter"]).middle


# Defaults that depend on other keys.
DEPENDENT: dict[str, Callable[[Values], Any]] = {
    "shaft.beyond": lambda v: (v["shaft.diameter"] / 2, v["shaft.diameter"] / 2),
    "sleeve.clearance": _middle,
    "ring.taper": lambda v: v["sleeve.taper"],
    "after.ring_tied": lambda v: v["duty.carried_by"] != "ring",
}


def _resolve(values: Values, stem: str) -> None:
    if values.get("title", stem) is None:
        values["title"] = stem
    for key, rule in DEPENDENT.items():
        try:
            if values[key] is None:
                values[key] = rule(values)
        except (Unread, ValueError):  # noted already, by the key's kind or by the check of the fit
            values.pop(key, None)


def _found(checks: Iterable[Check], values: Values) -> Iterator[str]:
    """Faults that checks find; a check ends quietly at a value that has a fault of its own."""
    for check in checks:
        try:
            yield from (fault(key, values[key], sentence) for key, sentence in check(values))
        except Unread:
            continue
