"""Values and tables as a case file has them."""

import json
import re
from collections.abc import Iterator

#: more than this of a value or a name is cut where it is shown
LONGEST = 60
_DEEPEST = 4  # lists in lists that are still shown


def dump(tables: dict[str, object]) -> str:
    """TOML text of nested tables of numbers, truth values, text and lists of these; None is left out.

    Raises TypeError for any other value. Reading the text again gives the same tables without their Nones.
    """
    return "\n".join(_lines(tables, "")).lstrip("\n") + "\n"


def _lines(table: dict[str, object], path: str) -> Iterator[str]:
    plain = {key: v for key, v in table.items() if not isinstance(v, dict) and v is not None}
    if path and plain:
        yield f"\n[{path}]"
    for key, value in plain.items():
        yield f"{key} = {written(value)}"
    for key, value in table.items():
        if isinstance(value, dict):
            yield from _lines(value, f"{path}.{key}" if path else key)


def written(value: object, digits: int | None = None) -> str:
    """TOML text of a number, truth value, text or list of these; digits: significant ones of a number, None for all.

    Raises TypeError for any other value.
    """
    if isinstance(value, (list, tuple)):
        return f"[{', '.join(written(part, digits) for part in value)}]"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return quoted(value)
    if isinstance(value, (int, float)):
        return f"{value:.{digits}g}" if digits else str(int(value)) if isinstance(value, int) else repr(float(value))
    raise TypeError(f"{value!r} has no place in a case file")


def shown(value: object) -> str:
    """Any raw value in one short printable line, whatever its size: for sentences on what is wrong."""
    return cut("".join(_pieces(value, _DEEPEST)))


def plain(value: float, digits: int) -> str:
    """A result to so many digits, without a power of ten where its size allows: 110, not 1.1e+02."""
    return f"{float(f'{value:.{digits}g}'):g}"


def name_shown(name: str) -> str:
    """A name that a user wrote, as short printable text: bare where a key may be bare."""
    return name if re.fullmatch(r"[\w-]+", name) and len(name) <= LONGEST and name.isprintable() else cut(quoted(name))


def quoted(text: str) -> str:
    """A TOML string; what can't be printed is escaped."""
    return printable(json.dumps(text, ensure_ascii=False))


def printable(text: str) -> str:
    """Text in one line; what can't be printed is escaped."""
    return "".join(c if c.isprintable() else _escape(c) for c in text)


def cut(text: str) -> str:
    """Text cut short where it is long."""
    return text if len(text) <= LONGEST else f"{text[: LONGEST - 3]}..."


def _escape(character: str) -> str:
    short = json.dumps(character, ensure_ascii=False)[1:-1]
    if short.isprintable():
        return short
    code = ord(character)
    return f"\\u{code:04X}" if code < 0x10000 else f"\\U{code:08X}"


def _pieces(value: object, depth: int) -> Iterator[str]:
    """Stretches of the text of a value; ends early where enough has come for what is shown."""
    if isinstance(value, (list, tuple, dict)) and value and not depth:
        yield "..."
    elif isinstance(value, dict):
        parts = (f"{name_shown(str(key))} = {''.join(_pieces(v, depth - 1))}" for key, v in value.items())
        yield from _listed(parts, "{ ", " }")
    elif isinstance(value, (list, tuple)):
        yield from _listed(("".join(_pieces(part, depth - 1)) for part in value), "[", "]")
    elif isinstance(value, int) and not isinstance(value, bool) and value.bit_length() > 200:
        yield f"a whole number of some {value.bit_length() * 30103 // 100000} digits"
    elif isinstance(value, (str, bool, int, float)):
        yield written(value[: 2 * LONGEST] if isinstance(value, str) else value, 12 if isinstance(value, float) else None)
    else:
        yield quoted(str(value))  # dates and times


def _listed(parts: Iterator[str], first: str, last: str) -> Iterator[str]:
    yield first
    length = 0
    for k, part in enumerate(parts):
        yield f"{', ' if k else ''}{part}"
        length += len(part)
        if length > LONGEST:
            return
    yield last
