"""The results of a study on disk: what was asked, and one table whose rows are stored as their cases end, whole or absent.

Rows come in any order and go into a journal, a line each, which ends with a sum of what stands before; `sweep.csv` is made of it.
A line that a killed process left unfinished is cut off when the study goes on; one whose sum differs is told and not used.
"""

from __future__ import annotations

import json
import os
import zlib
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import Any

from colletfea.cases.stored import manifest, plain, store
from colletfea.cases.stored.adding import add, check_figures, check_free
from colletfea.cases.stored.store import ResultsError, Row

ASKED, TABLE, JOURNAL, PAGE = manifest.QUESTION, "sweep.csv", "sweep.rows", "sweep.html"
#: what is told of a study in the way, by what differs of it
_WORDS = {"asked": "question", "count": "number of cases", "schema": "form of storing"}
#: exit code of a case that ended by a fault of the machine or the program: it is computed again
_AGAIN = 1


class Rows:
    """The rows of a study of so many cases by number; without a folder they are kept in memory.

    damaged: lines of the journal that are not used.
    """

    def __init__(self, folder: Path | None, count: int) -> None:
        self._path = folder / JOURNAL if folder else None
        self._count, self.damaged = count, 0
        self._kept: dict[int, Row] = {}
        self._places: dict[int, int] = {}
        self._codes: dict[int, int] = {}
        if self._path and self._path.exists():
            self._read()

    def __len__(self) -> int:
        return len(self._codes)

    def __contains__(self, index: int) -> bool:
        """Whether the row of a case is there."""
        return index in self._codes

    @property
    def finished(self) -> set[int]:
        """Numbers of the cases that need not be computed again."""
        return {index for index, code in self._codes.items() if code != _AGAIN}

    @property
    def failed(self) -> int:
        """Number of cases that did not come to their end."""
        return sum(code != 0 for code in self._codes.values())

    def add(self, index: int, row: Row) -> None:
        """Store a row at once; a later one of the same number takes its place."""
        self._codes[index] = row["exit_code"]
        if self._path is None:
            self._kept[index] = row
            return
        with self._path.open("ab") as stream:
            self._places[index] = stream.tell()
            stream.write(line_of(index, row))

    def __iter__(self) -> Iterator[Row]:
        """Rows in the order of their numbers, one at a time in memory."""
        if self._path is None:
            yield from (self._kept[index] for index in sorted(self._kept))
        elif self._places:
            with self._path.open("rb") as stream:
                for index in sorted(self._places):
                    stream.seek(self._places[index])
                    yield json.loads(stream.readline())[1]

    def _read(self) -> None:
        good = 0
        with self._path.open("rb") as stream:
            for line in stream:
                if not line.endswith(b"\n"):
                    break
                index, row = found_in(line) or (self._count, {})
                if index < self._count:
                    self._codes[index], self._places[index] = row["exit_code"], good
                else:
                    self.damaged += 1  # or of another study: that case is computed again
                good += len(line)
        os.truncate(self._path, good)


def line_of(index: int, row: Row) -> bytes:
    """A line of the journal: number, row and sum as a list in JSON. Raises ValueError where a value is NaN or infinite."""
    return _summed(json.dumps([index, row], ensure_ascii=False, allow_nan=False).encode("utf-8"))


def found_in(line: bytes) -> tuple[int, Row] | None:
    """Number and row of a line of the journal; None where it is not as it was written."""
    body = line[: -len(_TAIL % 0)] + b"]"
    return tuple(json.loads(body)) if line == _summed(body) else None


#: the end of a line, with the sum of the rest
_TAIL = b', "%08x"]\n'


def _summed(body: bytes) -> bytes:
    return body[:-1] + _TAIL % zlib.crc32(body)


def columns(first: tuple[str, ...], rows: Rows) -> list[str]:
    """Names of all columns: those that are varied first, exit code, seconds and message last, the rest as they first appear."""
    last = ("exit_code", "seconds", "message")
    found: dict[str, None] = dict.fromkeys(first)
    groups: dict[str, dict[str, None]] = {}
    for row in rows:
        for name in row:
            groups.setdefault(name.partition(".")[0], {}).setdefault(name)
    for name in (name for group in groups.values() for name in group):
        if name not in last:
            found.setdefault(name)
    return [*found, *last]


def write_table(folder: Path, first: tuple[str, ...], rows: Rows) -> Path:
    """Write `sweep.csv` whole or not at all, a row at a time."""
    names = columns(first, rows)
    cells = ({name: _cell(row.get(name)) for name in names} for row in rows)
    return add(folder, {TABLE: partial(store.write_table, columns=names, rows=cells)})[0]


def _cell(value: Any) -> Any:
    if isinstance(value, bool):
        return "true" if value else "false"
    return " ".join(part if isinstance(part, str) else f"{part:g}" for part in value) if isinstance(value, (list, tuple)) else value


def take(folder: Path, asked: dict[str, Any]) -> dict[str, Any]:
    """What is stored of a study in a folder that is held: `asked` where it is new there, else what was stored when it began.

    Raises ResultsError where another study's results, or files that no study wrote, are there.
    """
    path = folder / ASKED
    names = manifest.names(folder)
    if not os.path.lexists(path):
        held = [name for name in names if not manifest.scrap(name)]
        if held:
            raise ResultsError(f"{folder}: holds {held[0]} without {ASKED}, and is no results folder of a study; give another folder.")
        return asked
    if not manifest.own(folder, manifest.read(folder) or manifest.Manifest(""), ASKED):
        raise ResultsError(f"{path}: is damaged or changed, so the study there can't go on; give another folder.")
    check_figures(folder)
    check_free(folder, [TABLE, JOURNAL, PAGE, *filter(manifest.STUDY.fullmatch, names)])
    found = json.loads(plain.content(path))
    own = json.loads(store.to_json(asked))
    unlike = [key for key in own if found.get(key) != own[key]]
    if unlike:
        what = f"colletfea {found['version']}" if unlike == ["version"] else "another study"
        other = ", ".join(f"another {_WORDS.get(key, key)}" for key in unlike)
        raise ResultsError(f"{folder}: holds results of {what} ({other}); give another folder, nothing there was changed.")
    return found


def begin(folder: Path, stored: dict[str, Any]) -> None:
    """Store what was asked, whole or not at all, beside the journal."""
    add(folder, {ASKED: partial(store.write_text, text=store.to_json(stored)), JOURNAL: Path.touch})
