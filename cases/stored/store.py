"""Stored results of a run: write each file whole or not at all, read them back.

A results folder holds `summary.json`, `history.csv`, `bore.csv`, `cone.csv`, `case.toml` and, where
the fields were kept, `section.npz`. `summary.json` is written last and removed first, so a folder that
has one belongs together.
"""

import csv
import json
import math
import os
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Callable, Iterable, Mapping

SCHEMA = 1
SUMMARY, HISTORY, CASE, SECTION = "summary.json", "history.csv", "case.toml", "section.npz"
REPORT = "report.html"
PAIRS = ("bore", "cone")
BLOCKS = ("title", "version", "case", "hand", "simulation", "verdicts")  # without these there is nothing to report

Row = dict[str, Any]


class ResultsError(Exception):
    """A folder without usable results; the message is one sentence for the user."""


@dataclass(frozen=True)
class StoredResult:
    """What one run left behind; units stand in the names of the keys and columns.

    `section` maps array names to arrays: nodes (n, 2) r, z [mm]; displacement (n, 2) [mm];
    cells_<body> (e, 8); von_mises_<body>, hoop_<body> (e, 8) [MPa] at the elements' nodes. None where
    the fields were not kept.
    """

    directory: Path
    summary: dict[str, Any]
    history: list[Row]
    bore: list[Row]
    cone: list[Row]
    case_text: str
    section: dict[str, Any] | None

    def stage(self, name: str) -> list[Row]:
        """Rows of the history that belong to one stage: push, release or twist."""
        return [row for row in self.history if row.get("stage") == name]


def save(
    directory: Path | str,
    *,
    summary: Mapping[str, Any],
    history: Iterable[Row],
    bore: Iterable[Row],
    cone: Iterable[Row],
    case_text: str,
    section: Mapping[str, Any] | None = None,
) -> None:
    """Write one run into `directory` (made if missing); raises ValueError on NaN or infinite values."""
    folder = Path(directory)
    folder.mkdir(parents=True, exist_ok=True)
    text = to_json(summary)
    for name in (SUMMARY, SECTION, REPORT):  # none may stay beside results of another run
        (folder / name).unlink(missing_ok=True)
    write_rows(folder / HISTORY, list(history))
    write_rows(folder / "bore.csv", list(bore))
    write_rows(folder / "cone.csv", list(cone))
    write_text(folder / CASE, case_text)
    if section is not None:
        write_arrays(folder / SECTION, section)
    write_text(folder / SUMMARY, text)


def load(directory: Path | str) -> StoredResult:
    """Read a results folder. Raises ResultsError where there is none or a file can't be read."""
    folder = Path(directory)
    summary = _read_summary(folder)
    return StoredResult(
        folder,
        summary,
        read_rows(folder / HISTORY),
        read_rows(folder / "bore.csv"),
        read_rows(folder / "cone.csv"),
        _read_text(folder / CASE),
        _read_arrays(folder / SECTION),
    )


def write_text(path: Path, text: str) -> None:
    """Write UTF-8 text whole or not at all."""
    write_bytes(path, text.encode("utf-8"))


def write_bytes(path: Path, data: bytes) -> None:
    """Write bytes whole or not at all: a neighbouring temporary file takes the name at the end."""
    _replace(path, lambda temporary: temporary.write_bytes(data))


def write_arrays(path: Path, arrays: Mapping[str, Any]) -> None:
    """Write named arrays as one compressed file, whole or not at all."""
    import numpy

    def fill(temporary: Path) -> None:
        with temporary.open("wb") as stream:
            numpy.savez_compressed(stream, **arrays)

    _replace(path, fill)


def write_rows(path: Path, rows: list[Row]) -> None:
    """Write rows as CSV; columns in the order of their first appearance, empty cells for None."""
    columns = list(dict.fromkeys(name for row in rows for name in row))

    def fill(temporary: Path) -> None:
        with temporary.open("w", encoding="utf-8", newline="") as stream:
            table = csv.DictWriter(stream, columns, lineterminator="\n")
            table.writeheader()
            table.writerows({name: _cell(value) for name, value in row.items()} for row in rows)

    _replace(path, fill)


def read_rows(path: Path) -> list[Row]:
    """Rows of a CSV file, numbers as float, empty cells as None; no file: no rows."""
    if not path.is_file():
        return []
    with path.open(encoding="utf-8", newline="") as stream:
        return [{name: _value(cell) for name, cell in row.items()} for row in csv.DictReader(stream)]


def to_json(data: Mapping[str, Any]) -> str:
    """JSON text; arrays and numpy numbers become plain ones. Raises ValueError on NaN or infinity."""
    return json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False, default=_plain) + "\n"


def _replace(path: Path, fill: Callable[[Path], object]) -> None:
    temporary = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        fill(temporary)
        os.replace(temporary, path)
    finally:
        temporary.unlink(missing_ok=True)


def _read_summary(folder: Path) -> dict[str, Any]:
    path = folder / SUMMARY
    if not path.is_file():
        raise ResultsError(
            f"{folder}: no results here ({SUMMARY} is missing); give the folder a run wrote to."
        )
    try:
        summary = json.loads(path.read_text(encoding="utf-8"))
    except ValueError as error:
        raise ResultsError(f"{path}: not readable as JSON ({error}).") from error
    if not isinstance(summary, dict) or summary.get("schema") != SCHEMA:
        found = summary.get("schema") if isinstance(summary, dict) else None
        raise ResultsError(f"{path}: schema {found} is not known here; this version reads schema {SCHEMA}.")
    absent = [name for name in BLOCKS if name not in summary]
    if absent:
        raise ResultsError(f"{path}: {', '.join(absent)} missing; it is no complete summary, run the case again.")
    return summary


def _read_arrays(path: Path) -> dict[str, Any] | None:
    if not path.is_file():
        return None
    import zipfile

    import numpy

    try:
        with numpy.load(path) as arrays:
            return {name: arrays[name] for name in arrays.files}
    except (ValueError, OSError, zipfile.BadZipFile) as error:
        raise ResultsError(f"{path}: not readable as stored fields ({error}).") from error


def _read_text(path: Path) -> str:
    return path.read_text(encoding="utf-8") if path.is_file() else ""


def _cell(value: Any) -> Any:
    """A CSV cell: full double precision, None as an empty cell, never NaN."""
    if hasattr(value, "item"):
        value = value.item()
    if isinstance(value, float) and not math.isfinite(value):
        raise ValueError(f"a table cell must be a finite number, got {value}")
    return value


def _value(cell: str | None) -> Any:
    if cell is None or cell == "":
        return None
    try:
        return float(cell)
    except ValueError:
        return cell


def _plain(value: Any) -> Any:
    if hasattr(value, "tolist"):
        return value.tolist()
    if isinstance(value, Path):
        return str(value)
    raise TypeError(f"{type(value).__name__} can't be stored as JSON")
