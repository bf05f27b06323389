"""Tables of a case as TOML text."""

import json
from collections.abc import Iterator


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
        yield f"{key} = {_text(value)}"
    for key, value in table.items():
        if isinstance(value, dict):
            yield from _lines(value, f"{path}.{key}" if path else key)


def _text(value: object) -> str:
    if isinstance(value, (list, tuple)):
        return f"[{', '.join(map(_text, value))}]"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007F")
    if isinstance(value, int):
        return str(int(value))
    if isinstance(value, float):
        return repr(float(value))
    raise TypeError(f"{value!r} has no place in a case file")
