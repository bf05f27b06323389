"""The manifest of a results folder: which files a run wrote there, and sums of those that are read again.

A folder with a manifest is a results folder. What the manifest does not name belongs to the user and is never
deleted; a file whose sum differs was changed since, or belongs to another run.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
from dataclasses import dataclass, field
from pathlib import Path

from colletfea.cases.stored import plain, store

NAME = ".colletfea.json"
WRITER = "colletfea"
#: files that are read again, and so bear a sum
READ = (store.SUMMARY, store.HISTORY, *store.PAIRS.values(), store.CASE, store.LINES, store.SECTION)
#: those that not every run keeps
OPTIONAL = (store.LINES, store.SECTION)
#: what a run may write: nothing else is believed, so that no manifest can name a file outside its folder
_OURS = re.compile(rf"(?:{'|'.join(map(re.escape, (*READ, store.REPORT)))}|fields/\w+\.(?:vtu|pvd)|figures/\w+\.png)")

#: a file that a killed process was still writing
_SCRAP = re.compile(r"(?:figures/)?\.[\w.]+\.\d+\.part")


@dataclass(frozen=True)
class Manifest:
    """run: identity of the run. files: path in the folder, with "/", to its SHA-256, or "" where it is not read again."""

    run: str
    files: dict[str, str] = field(default_factory=dict)


def read(folder: Path) -> Manifest | None:
    """The manifest of a folder; None where there is none or it is damaged."""
    try:
        data = json.loads(plain.content(folder / NAME))
    except (OSError, ValueError, RecursionError):
        return None
    if not isinstance(data, dict) or data.get("written_by") != WRITER:
        return None
    run, files = data.get("run"), data.get("files")
    if not isinstance(run, str) or not isinstance(files, dict):
        return None
    return Manifest(run, {k: v for k, v in files.items() if isinstance(v, str) and _OURS.fullmatch(k)})


def write(folder: Path, manifest: Manifest) -> None:
    """Write a folder's manifest, whole or not at all."""
    data = {"written_by": WRITER, "run": manifest.run, "files": manifest.files}
    store.write_text(folder / NAME, store.to_json(data))


def of(folder: Path, run: str) -> Manifest:
    """The manifest of what lies in a folder that a run has just filled."""
    return Manifest(run, {name: file_sum(folder / name) if name in READ else "" for name in names(folder)})


def names(folder: Path) -> list[str]:
    """Files and links below a folder, as a manifest names them, without the manifest; links are not followed."""
    found = []
    for place, folders, files in os.walk(folder):
        links = [name for name in folders if os.path.islink(os.path.join(place, name))]
        found += [Path(place, name).relative_to(folder).as_posix() for name in (*files, *links)]
    return sorted(name for name in found if name != NAME)


def scrap(name: str) -> bool:
    """True for the rest of a file that a killed process was still writing."""
    return _SCRAP.fullmatch(name) is not None


def own(folder: Path, manifest: Manifest, name: str) -> bool:
    """True where a file is still the one that the run wrote."""
    path = folder / name
    if name not in manifest.files or path.is_symlink() or not path.is_file():
        return False
    return manifest.files[name] in ("", file_sum(path))


def file_sum(path: Path) -> str:
    """SHA-256 of a file."""
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()
