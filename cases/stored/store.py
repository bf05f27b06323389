"""Files of the results: their names, and how each is written, whole or not at all."""

import csv
import json
import math
import os
from pathlib import Path
from typing import Any, Callable, Iterable, Mapping

SCHEMA = 2
SUMMARY, HISTORY, CASE, SECTION = "summary.json", "history.csv", "case.toml", "section.npz"
REPORT = "report.html"
LINES = "stress_lines.csv"
PAIRS = {"bore": "bore.csv", "cone": "cone.csv"}
FIELDS, FIGURES = "fields", "figures"
RUN_ID = "run_id"  # key of the summary: every run has its own, repeated in the folder's manifest

Row = dict[str, Any]


class ResultsError(Exception):
    """A folder that can't be read or written as results; the message is one sentence for the user."""


class NotStored(ResultsError):
    """Results were computed and could not be written; what was in the folder before is still there. result: the results."""

    result: Any = None


def write_text(path: Path, text: str) -> None:
    """Write UTF-8 text whole or not at all."""
    write_bytes(path, text.encode("utf-8"))


def write_bytes(path: Path, data: bytes) -> None:
    """Write bytes whole or not at all: a neighbouring temporary file takes the name at the end."""
    whole(path, lambda temporary: temporary.write_bytes(data))


def write_arrays(path: Path, arrays: Mapping[str, Any]) -> None:
    """Write named arrays as one compressed file, whole or not at all."""
    import numpy

    def fill(temporary: Path) -> None:
        with temporary.open("wb") as stream:
            numpy.savez_compressed(stream, **arrays)

    whole(path, fill)


def write_rows(path: Path, rows: list[Row]) -> None:
    """Write rows as CSV; columns in the order of their first appearance, empty cells for None."""
    write_table(path, list(dict.fromkeys(name for row in rows for name in row)), rows)


def write_table(path: Path, columns: list[str], rows: Iterable[Row]) -> None:
    """Write rows as CSV under given columns, one at a time; empty cells for None."""

    def fill(temporary: Path) -> None:
        with temporary.open("w", encoding="utf-8", newline="") as stream:
            table = csv.DictWriter(stream, columns, lineterminator="\n")
            table.writeheader()
            table.writerows({name: _cell(value) for name, value in row.items()} for row in rows)

    whole(path, fill)


def whole(path: Path, fill: Callable[[Path], object]) -> None:
    """Let fill write a neighbouring temporary file, which then takes the name; on a fault nothing is changed."""
    temporary = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        fill(temporary)
        os.replace(temporary, path)
    finally:
        temporary.unlink(missing_ok=True)


def to_json(data: Mapping[str, Any]) -> str:
    """JSON text; arrays and numpy numbers become plain ones. Raises ValueError on NaN or infinity."""
    return json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False, default=_plain) + "\n"


def _cell(value: Any) -> Any:
    """A CSV cell: full double precision, None as an empty cell, never NaN."""
    if hasattr(value, "item"):
        value = value.item()
    if isinstance(value, float) and not math.isfinite(value):
        raise ValueError(f"a table cell must be a finite number, got {value}")
    return value


def _plain(value: Any) -> Any:
    if hasattr(value, "tolist"):
        return value.tolist()
    if isinstance(value, Path):
        return str(value)
    raise TypeError(f"{type(value).__name__} can't be stored as JSON")
