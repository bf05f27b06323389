"""Which keys of a stored case stand at their default: what a designer may not have thought of."""

from typing import Any, Mapping

from colletfea.cases.casefile.reading import DEPENDENT
from colletfea.cases.casefile.schema import ALL_KEYS, REQUIRED, Unread, Values
from colletfea.cases.casefile.text import written
from colletfea.cases.stored.names import dig


def at_default(case: Mapping[str, Any]) -> dict[str, Any]:
    """Dotted key to value, for every key whose stored value is its default, given or filled in.

    `case` holds the tables of `summary.json`. Keys of tables that do not exist are not listed.
    """
    values = Values({key: dig(case, key) for key in ALL_KEYS})
    fixed = {
        key: values[key]
        for key, entry in ALL_KEYS.items()
        if entry.default is not None and entry.default is not REQUIRED and _name(values[key]) == entry.default
    }
    return {**fixed, **_dependent(values)}


def shown(key: str, value: Any) -> str:
    """A value as the case file has it, to six digits, with its unit; a material by its name."""
    kind = ALL_KEYS[key].kind
    unit = getattr(getattr(kind, "each", kind), "unit", "")
    plain = _name(value) or "own material" if isinstance(value, dict) else value
    return f"{plain if isinstance(plain, str) else written(plain, 6)} {unit}".rstrip()


def _dependent(values: Values) -> dict[str, Any]:
    """Keys whose default depends on other keys, where it was taken."""
    found = {}
    for key, rule in DEPENDENT.items():
        if values.absent(key):
            continue
        try:
            value = rule(values)
        except (Unread, ValueError, TypeError):  # nothing to derive it from
            continue
        value = list(value) if isinstance(value, tuple) else value
        if values[key] in (None, value):
            values[key] = found[key] = value
    return found


def _name(value: Any) -> Any:
    """A material by its name, anything else as it is."""
    return value.get("name") if isinstance(value, dict) else value
