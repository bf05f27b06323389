"""One writer at a time for a results folder."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from colletfea.cases.stored import plain
from colletfea.cases.stored.store import ResultsError


@contextmanager
def locked(directory: Path, shown: Path) -> Iterator[None]:
    """Hold the lock of a folder, a hidden file beside it with the number of the process that holds it.

    The system drops the lock with the process, so one of a killed run is simply taken over. Raises ResultsError where
    another run holds it, the file can't be written, or what stands in its place is no file.
    """
    path = directory.with_name(f".{directory.name}.lock")
    try:
        said = _odd(path)
        if said:
            raise ResultsError(f"{shown}: {path} must be the lock that a run keeps there, and is {said}; move it away.")
        stream = _taken(path)
    except OSError as error:
        raise ResultsError(f"{shown}: must be a folder that can be written: {error.strerror or error}.") from error
    if stream is None:
        raise ResultsError(f"{shown}: {_holder(path)} is writing results there; wait for it, or give another folder.")
    try:
        yield
    finally:
        path.unlink(missing_ok=True)
        stream.close()


def _odd(path: Path) -> str | None:
    """What stands in the place of the lock where it is no file; None for a file, or nothing."""
    try:
        return plain.odd(path, follow=False)
    except FileNotFoundError:
        return None


def _taken(path: Path) -> IO[str] | None:
    """The open file that holds the lock, None where another one has it."""
    while True:
        stream = path.open("a+", encoding="utf-8")
        if not _lock(stream):
            stream.close()
            return None
        if path.exists() and os.path.samestat(os.fstat(stream.fileno()), path.stat()):
            stream.truncate(0)
            stream.write(f"{os.getpid()}\n")
            stream.flush()
            return stream
        stream.close()  # whoever held it has just removed the file: this one is nobody's lock any more


def _lock(stream: IO[str]) -> bool:
    """False where another one holds it. Where files can't be locked at all, runs have to look after themselves."""
    try:
        import fcntl

        fcntl.flock(stream, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    except (ImportError, OSError):
        pass
    return True


def _holder(path: Path) -> str:
    try:
        number = path.read_text(encoding="utf-8").strip()
    except (OSError, ValueError):
        number = ""
    return f"another run (process {number})" if number.isdecimal() else "another run"
