"""The place of a results folder: whose it is, who is writing there, and how new results come to stand in it.

A run locks its folder before it solves. Its files are written into a folder beside (same parent, hidden name), which
takes the place of the old one whole. So a run that is killed leaves the old results or the new ones, and a hidden folder
that the next run removes. Files of the user in the old folder are carried over.
"""

from __future__ import annotations

import os
import re
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from pathlib import Path
from uuid import uuid4

from colletfea.cases.stored import manifest
from colletfea.cases.stored.lock import locked
from colletfea.cases.stored.store import NotStored, ResultsError

NEW, OLD = "part", "old"  # endings of the hidden folders beside
KEPT = ".kept"  # goes into the name of a user's file where a new result has its name


@contextmanager
def claimed(directory: Path | str) -> Iterator[Place]:
    """Hold a results folder for one run; it need not exist yet.

    Raises ResultsError where it can't be written or replaced whole, is not empty and no results folder, or another run holds it.
    """
    shown = Path(directory)
    with _held(_target(shown, replaced=True), shown) as place:
        yield place


@contextmanager
def opened(directory: Path | str) -> Iterator[Path]:
    """Hold a folder for other files than a run's, which `adding.add` makes, marks and writes; it need not exist yet.

    Raises ResultsError as `claimed` does; a folder that can't be replaced whole is taken.
    """
    shown = Path(directory)
    with _held(_target(shown), shown) as place:
        for name in filter(manifest.scrap, manifest.names(place.directory)):
            (place.directory / name).unlink(missing_ok=True)
        yield shown


@contextmanager
def _held(target: Path, shown: Path) -> Iterator[Place]:
    with locked(target, shown):
        place = Place(target, shown)
        try:
            place.clear()
        except OSError as error:
            raise ResultsError(f"{shown}: must be a folder that can be written: {_why(error)}.") from error
        _check_ours(target, shown)
        yield place


@dataclass(frozen=True)
class Place:
    """A claimed folder: directory is its full path, shown the user's own words for it."""

    directory: Path
    shown: Path

    def put(self, run: str, fill: Callable[[Path], object]) -> None:
        """Let fill write the files of a run, and put them in place together. Raises NotStored; then nothing is changed."""
        new = self._beside(NEW)
        try:
            new.mkdir(parents=True)
            manifest.write(new, manifest.Manifest(run))
            fill(new)
            listed = manifest.of(new, run)
            manifest.write(new, replace(listed, files={**listed.files, **self._beside_a_run()}))
            _check_ours(self.directory, self.shown)
            self._take_place(new)
        except OSError as error:
            said = f"{self.shown}: the results could not be written: {_why(error)}; what was there before is kept."
            raise NotStored(said) from error
        except ResultsError as error:
            raise NotStored(f"{error} The results of this run were not written.") from error
        finally:
            shutil.rmtree(new, ignore_errors=True)

    def clear(self) -> None:
        """Remove what killed runs left beside the folder, and put back what they had moved away."""
        for path in self._left(OLD):
            if os.path.lexists(self.directory):
                _empty(path, self.directory)
            else:
                path.rename(self.directory)
        for path in self._left(NEW):
            shutil.rmtree(path)

    def _beside_a_run(self) -> dict[str, str]:
        """What the manifest says of files that are no run's: they are carried over, and stay ours."""
        listed = manifest.read(self.directory) or manifest.Manifest("")
        return {name: content for name, content in listed.files.items() if manifest.beside(name)}

    def _take_place(self, new: Path) -> None:
        old = self._beside(OLD)
        if not self.directory.is_dir():
            new.rename(self.directory)
            return
        shutil.copymode(self.directory, new)
        self.directory.rename(old)
        try:
            new.rename(self.directory)
        except BaseException:
            old.rename(self.directory)
            raise
        _empty(old, self.directory)

    def _beside(self, ending: str) -> Path:
        return self.directory.with_name(f".{self.directory.name}.{uuid4().hex[:16]}.{ending}")

    def _left(self, ending: str) -> list[Path]:
        """Hidden folders beside, of runs that are gone: who holds the lock is the only one."""
        pattern = re.compile(rf"\.{re.escape(self.directory.name)}\.[0-9a-f]{{16}}\.{ending}")
        found = [p for p in self.directory.parent.iterdir() if pattern.fullmatch(p.name)]
        return [p for p in found if p.is_dir() and not p.is_symlink()]


def _target(shown: Path, replaced: bool = False) -> Path:
    """The folder's full path, its parent made; refused where it can't be written, or replaced whole where it must be."""
    try:
        target = shown.resolve()
        if target.exists() and not target.is_dir():
            raise ResultsError(f"{shown}: must be a folder that can be written; it is a file.")
        if replaced:
            _check_replaceable(target, shown)
        elif target == target.parent:
            raise ResultsError(f"{shown}: lies above all folders; give a folder inside it.")
        target.parent.mkdir(parents=True, exist_ok=True)
    except (OSError, RuntimeError) as error:
        raise ResultsError(f"{shown}: must be a folder that can be written: {_why(error)}.") from error
    closed = [p for p in (target, target.parent) if p.exists() and not os.access(p, os.W_OK | os.X_OK)]
    if closed:
        raise ResultsError(f"{shown}: must be a folder that can be written; there is no permission to change {closed[0]}.")
    return target


def _check_replaceable(target: Path, shown: Path) -> None:
    here = Path.cwd()
    if target == here or target in here.parents:
        where = "is the folder you are in" if target == here else "lies above the folder you are in"
        raise ResultsError(f"{shown}: {where}; results need one of their own, give another name.")
    if target.is_mount():
        raise ResultsError(f"{shown}: is a file system of its own and can't be replaced; give a folder inside it.")


def _check_ours(target: Path, shown: Path) -> None:
    """Refuse a folder with files in it that is none of ours; the rest of one that a killed process was writing is none."""
    if not target.is_dir() or manifest.read(target) is not None:
        return
    held = sorted(path.name for path in target.iterdir() if not manifest.scrap(path.name))
    if held:
        raise ResultsError(
            f"{shown}: holds {_few(held)} and is no results folder of this program; give an empty folder or a new one."
        )


def _few(names: list[str]) -> str:
    shown = ", ".join(names[:3])
    return shown if len(names) <= 3 else f"{shown} and {len(names) - 3} more"


def _empty(old: Path, new: Path) -> None:
    """Delete an old results folder, the user's files carried over into the new one.

    What can't be moved now stays where it is, hidden, until the next run tries again.
    """
    listed = manifest.read(old) or manifest.Manifest("")
    with suppress(OSError):
        for name in manifest.names(old):
            if manifest.scrap(name) or (manifest.own(old, listed, name) and not manifest.beside(name)):
                (old / name).unlink()
            else:
                _carry(old / name, new / name)
        (old / manifest.NAME).unlink(missing_ok=True)
        for place, _, _ in os.walk(old, topdown=False):
            os.rmdir(place)


def _carry(path: Path, target: Path) -> None:
    while os.path.lexists(target):
        target = target.with_name(f"{target.stem}{KEPT}{target.suffix}")
    target.parent.mkdir(parents=True, exist_ok=True)
    path.rename(target)


def _why(error: Exception) -> str:
    return getattr(error, "strerror", None) or str(error)
