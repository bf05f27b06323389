"""The manifest of a results folder: which files this program wrote there, and sums of some of them.

A folder with a manifest is a results folder. What the manifest does not name belongs to the user and is never
deleted or written over; a file whose sum differs was changed since, or belongs to another run.
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
#: the file of a study that is read again
QUESTION = "sweep.json"
#: what other commands than a run write, and a run lets be: solids and drawing, files of a study
PARTS = re.compile(r"\w+\.(?:step|svg)")
STUDY = re.compile(r"sweep\.(?:json|csv|rows|html)|figures/sweep_\w+\.png")
#: what may be written: nothing else is believed, so that no manifest can name a file outside its folder
_OURS = re.compile(
    rf"{'|'.join(map(re.escape, (*READ, store.REPORT)))}|fields/\w+\.(?:vtu|pvd)|figures/\w+\.png|{PARTS.pattern}|{STUDY.pattern}"
)

#: a file that a killed process was still writing
_SCRAP = re.compile(r"(?:figures/)?\.[\w.]+\.\d+\.part")


@dataclass(frozen=True)
class Manifest:
    """run: identity of the run, empty where there was none. files: path in the folder, with "/", to its SHA-256, or "" where it bears none."""

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
    return Manifest(run, {name: sum_of(folder, name) for name in names(folder)})


def sum_of(folder: Path, name: str) -> str:
    """The sum that a file gets in a manifest, empty where it bears none: what is read again has one, and what a user may work on.

    Lines of a study's journal have sums of their own.
    """
    return file_sum(folder / name) if name in (*READ, QUESTION) or PARTS.fullmatch(name) else ""


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


def beside(name: str) -> bool:
    """True for a file that other commands than a run write: a run lets it be."""
    return bool(PARTS.fullmatch(name) or STUDY.fullmatch(name))


def own(folder: Path, manifest: Manifest, name: str) -> bool:
    """True where a file is still the one that this program wrote."""
    path = folder / name
    if name not in manifest.files or path.is_symlink() or not path.is_file():
        return False
    return manifest.files[name] in ("", file_sum(path))


def file_sum(path: Path) -> str:
    """SHA-256 of a file."""
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()
