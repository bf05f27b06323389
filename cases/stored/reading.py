"""Read a results folder back, and refuse one that is damaged or mixed from several runs."""

from __future__ import annotations

import csv
import io
import json
import math
import shutil
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from colletfea.cases.stored import manifest, names, store
from colletfea.cases.stored.result import Result
from colletfea.cases.stored.store import ResultsError, Row

BLOCKS = {
    "title": str, "version": str, "case": dict, "hand": dict, "clamp": dict, "corners": list, "simulation": dict, "verdicts": list,
}
WORST = "worst_"  # begins the names of a part's arrays from the push that governs its yield verdict


def load(directory: Path | str) -> Result:
    """The result stored in a folder. Raises ResultsError where there is none, a file is damaged, or files of two runs lie there."""
    folder = Path(directory)
    try:
        summary = _summary(folder)
        _check(folder, summary)
        rows = {name: _rows(folder / name) for name in (store.HISTORY, *store.PAIRS.values())}
        text = (folder / store.CASE).read_text(encoding="utf-8")
        lines = _rows(folder / store.LINES) if (folder / store.LINES).is_file() else []
        section = _arrays(folder / store.SECTION)
    except OSError as error:
        raise ResultsError(f"{error.filename or folder}: can't be read: {error.strerror or error}.") from error
    except UnicodeDecodeError as error:
        raise ResultsError(f"{folder / store.CASE}: not readable as text ({error}).") from error
    tables = [rows[store.HISTORY], *(rows[name] for name in store.PAIRS.values())]
    return Result(summary, *tables, text, section, directory=folder, lines=lines, fields=_Copy.of(folder / store.FIELDS))


def run_of(directory: Path | str, case: dict[str, Any]) -> dict[str, Any] | None:
    """Summary of the run whose results lie in a folder; None where there is none of this very case, or its files are damaged.

    case: its tables and keys, as a summary has them; the mesh is not compared, as its size is the level's where none is given.
    """
    try:
        summary = load(directory).summary
    except ResultsError:
        return None
    own = json.loads(store.to_json(case))
    return summary if summary["case"] == own | {"mesh": summary["case"].get("mesh")} else None


@dataclass(frozen=True)
class _Copy:
    """Writes the field files of a stored result into another folder."""

    folder: Path

    @staticmethod
    def of(folder: Path) -> _Copy | None:
        """None where no fields were kept."""
        return _Copy(folder.absolute()) if folder.is_dir() else None

    def __call__(self, folder: Path) -> None:
        folder.mkdir()
        for path in (*self.folder.glob("*.vtu"), *self.folder.glob("*.pvd")):
            shutil.copyfile(path, folder / path.name)


def _summary(folder: Path) -> dict[str, Any]:
    path = folder / store.SUMMARY
    if not path.is_file():
        raise ResultsError(f"{folder}: no results here ({store.SUMMARY} is missing); give the folder a run wrote to.")
    try:
        summary = json.loads(path.read_text(encoding="utf-8"), parse_constant=_no_number)
    except (ValueError, RecursionError) as error:
        raise ResultsError(f"{path}: not readable as JSON ({error}).") from error
    if not isinstance(summary, dict) or summary.get("schema") != store.SCHEMA:
        found = summary.get("schema") if isinstance(summary, dict) else None
        if isinstance(found, int) and found < store.SCHEMA:
            raise ResultsError(
                f"{path}: schema {found} is of an older version, which judged one push and not the corners of fit and friction; "
                f"this version reads schema {store.SCHEMA}, so run the case again."
            )
        raise ResultsError(f"{path}: schema {_short(found)} is not known here; this version reads schema {store.SCHEMA}.")
    wrong = [name for name, kind in BLOCKS.items() if not isinstance(summary.get(name), kind)]
    wrong += [] if wrong or all(isinstance(one, dict) for one in summary["verdicts"] + summary["corners"]) else ["a verdict or corner is"]
    if wrong:
        raise ResultsError(f"{path}: {', '.join(wrong)} missing; it is no complete summary, run the case again.")
    return summary


def _check(folder: Path, summary: dict[str, Any]) -> None:
    """Every file that is read is the one that the run of the summary wrote."""
    listed = manifest.read(folder)
    if listed is None:
        raise ResultsError(f"{folder}: {manifest.NAME}, which says what the run wrote, is missing or damaged; run the case again.")
    if listed.run != summary.get(store.RUN_ID):
        raise ResultsError(f"{folder}: {store.SUMMARY} is of another run than the files beside it; run the case again.")
    for name in manifest.READ:
        if name in manifest.OPTIONAL and name not in listed.files and not (folder / name).exists():
            continue  # not kept
        if not manifest.own(folder, listed, name):
            raise ResultsError(
                f"{folder / name}: is not the file that the run wrote: missing, changed, damaged or of another run; "
                "run the case again."
            )


def _rows(path: Path) -> list[Row]:
    """Rows of a CSV file, numbers as float, empty cells as None."""
    try:
        table = csv.DictReader(io.StringIO(path.read_text(encoding="utf-8")), strict=True)
        rows = list(table)
    except (ValueError, csv.Error) as error:
        raise ResultsError(f"{path}: not readable as a table ({error}).") from error
    if any(None in row or None in row.values() for row in rows):
        raise ResultsError(f"{path}: not readable as a table (its rows are not of one length).")
    return [{name: _value(path, cell) for name, cell in row.items()} for row in rows]


def _value(path: Path, cell: str) -> Any:
    try:
        number = float(cell)
    except ValueError:
        return cell or None
    if not math.isfinite(number):
        raise ResultsError(f"{path}: not readable as a table ({_short(cell)} is no finite number).")
    return number


def _arrays(path: Path) -> dict[str, Any] | None:
    if not path.is_file():
        return None
    import zipfile
    import zlib

    import numpy

    try:
        with numpy.load(path) as stored:
            arrays = {name: stored[name] for name in stored.files}
        _check_arrays(arrays)
        return arrays
    except (ValueError, OSError, EOFError, AttributeError, zlib.error, zipfile.BadZipFile) as error:
        raise ResultsError(f"{path}: not readable as stored fields ({error}).") from error


def _check_arrays(arrays: dict[str, Any]) -> None:
    """Raises ValueError where arrays are not those of a section: see Result."""
    if not {"nodes", "displacement"} <= arrays.keys():
        raise ValueError("nodes and displacement must be there")
    _check_steps({name.removeprefix(names.STEPS): array for name, array in arrays.items() if name.startswith(names.STEPS)}, len(arrays["nodes"]))
    for name, array in arrays.items():
        if name.startswith(names.STEPS):
            continue
        worst, plain = name.startswith(WORST), name.removeprefix(WORST)
        body = plain.rpartition("_")[2]
        points = arrays.get(f"{WORST}nodes_{body}") if worst else arrays["nodes"]
        cells = arrays.get(f"{WORST}cells_{body}" if worst else f"cells_{body}")
        if points is None or (worst and cells is None):
            raise ValueError(f"{_short(name)} stands alone")
        nodal = plain.startswith(("nodes", "displacement"))
        _check_array(name, array, (len(points), 2) if nodal or cells is None else (len(cells), 8))
        if array is cells and (array.dtype.kind != "i" or array.size and not 0 <= array.min() <= array.max() < len(points)):
            raise ValueError(f"{_short(name)} names nodes that do not exist")


def _check_steps(arrays: dict[str, Any], nodes: int) -> None:
    """Raises ValueError where arrays over the increments are not those of `simulation.steps`; older results have none."""
    if not arrays:
        return
    sizes = {name: arrays[name].shape[0] if name in arrays and arrays[name].ndim else 0 for name in ("travel", "nodes", "z_bore", "z_cone")}
    count, rim = sizes["travel"], sizes["nodes"]
    shapes: dict[str, tuple[int, ...]] = {"travel": (count,), "nodes": (rim,), "displacement": (count, rim, 2)}
    for pair in store.PAIRS:
        along = sizes[f"z_{pair}"]
        shapes |= {f"z_{pair}": (along,), f"pressure_{pair}": (count, along), f"state_{pair}": (count, along)}
    if arrays.keys() != shapes.keys():
        raise ValueError("what belongs to the increments of the push is not complete")
    for name, shape in shapes.items():
        _check_array(names.STEPS + name, arrays[name], shape)
    for name, end in (("nodes", nodes), *((f"state_{pair}", len(names.CONTACT_STATES)) for pair in store.PAIRS)):
        if arrays[name].dtype.kind != "i" or arrays[name].size and not 0 <= arrays[name].min() <= arrays[name].max() < end:
            raise ValueError(f"{names.STEPS}{name} counts what does not exist")


def _check_array(name: str, array: Any, shape: tuple[int, ...]) -> None:
    import numpy

    if array.dtype.kind not in "if" or array.shape != shape or not numpy.isfinite(array).all():
        raise ValueError(f"{_short(name)} has not the shape it must have, or is not finite")


def _no_number(word: str) -> None:
    raise ValueError(f"{word} is no number there")


def _short(value: Any) -> str:
    text = " ".join(str(value).split())
    return text if len(text) <= 40 else f"{text[:40]}…"
