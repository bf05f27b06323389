"""The head of the results, which the hand calculation alone can fill, and the version of this installation."""

from __future__ import annotations

import platform
from importlib import metadata
from pathlib import Path
from typing import Any

from colletfea.cases.casefile import fits
from colletfea.cases.casefile.case import Case

from colletfea.cases.hand.calculation import hand
from colletfea.cases.judgement.by_hand import decision
from colletfea.cases.stored.reading import run_of
from colletfea.cases.stored.store import SCHEMA


def version() -> str:
    """Version of the installed package; "unknown" where it runs from a checkout that is not installed."""
    try:
        return metadata.version("colletfea")
    except metadata.PackageNotFoundError:
        return "unknown"


def versions_of(*names: str) -> dict[str, str]:
    """Versions of installed packages by name, "none" for what is not installed; "python" gives that of Python."""
    found = {}
    for name in names:
        try:
            found[name] = platform.python_version() if name == "python" else metadata.version(name)
        except metadata.PackageNotFoundError:
            found[name] = "none"
    return found


def head(case: Case) -> dict[str, Any]:
    """What every result of a case begins with: schema, title, version, case with every default, hand calculation."""
    by_formulas = hand(case, fits.of(case))
    return {"schema": SCHEMA, "title": case.title, "version": version(), "case": case.tables(), "hand": by_formulas}


def by_hand(case: Case) -> dict[str, Any]:
    """The hand calculation of a case and what formulas decide, without any simulation: what `colletfea hand --json` prints."""
    top = head(case)
    return {**top, **decision(case, top["hand"], fits.of(case))}


def known(case: Case, directory: Path | str) -> dict[str, Any]:
    """What a run of this case found, where its results lie in a folder, else its hand calculation."""
    return run_of(directory, case.tables()) or by_hand(case)
