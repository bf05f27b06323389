"""Files that come into a folder of ours beside what it holds: report, parts, a study's files; nothing of the user's is written over."""

import os
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from pathlib import Path

from colletfea.cases.stored import manifest, store

Write = Callable[[Path], object]


def add(folder: Path, made: Mapping[str, Write], older: Iterable[str] = ()) -> list[Path]:
    """Let each of made write its file, whole or not at all, in a folder that is held; it is made and marked where it is missing.

    made: by names as the manifest has them. older: names of files that are deleted where they are ours and not made anew. Returns the
    paths. Raises ResultsError where a file of the user's is in the way, and then nothing is changed; OSError where one can't be written.
    """
    folder.resolve().mkdir(exist_ok=True)
    listed = manifest.read(folder) or manifest.Manifest("")
    with_figures = any(name.startswith(f"{store.FIGURES}/") for name in made)
    if with_figures:
        check_figures(folder)
    check_free(folder, made)
    if with_figures:
        (folder / store.FIGURES).mkdir(exist_ok=True)
    # whatever a process that is killed on the way leaves of them is ours
    manifest.write(folder, replace(listed, files={**listed.files, **dict.fromkeys(made, "")}))
    for name, write in made.items():
        write(folder / name)
    stale = {name for name in older if name not in made}
    for name in stale:
        if manifest.own(folder, listed, name):
            (folder / name).unlink()
    kept = {name: content for name, content in listed.files.items() if name not in stale}
    manifest.write(folder, replace(listed, files={**kept, **{name: manifest.sum_of(folder, name) for name in made}}))
    return [folder / name for name in made]


def check_free(folder: Path, names: Iterable[str]) -> None:
    """Nothing of the user's is written over: no file that is not as it was written. Raises ResultsError."""
    listed = manifest.read(folder) or manifest.Manifest("")
    for name in names:
        if os.path.lexists(folder / name) and not manifest.own(folder, listed, name):
            raise store.ResultsError(f"{folder / name}: is no file as this program left it, and is not written over; move it away.")


def check_figures(folder: Path) -> None:
    """Figures lie in the folder itself, not behind a link. Raises ResultsError."""
    figures = folder / store.FIGURES
    if figures.is_symlink() or (figures.exists() and not figures.is_dir()):
        raise store.ResultsError(f"{figures}: must be a folder of its own for the figures; move it away.")
