"""The case of stored results built again, to be drawn."""

from collections.abc import Mapping
from typing import Any

from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.faults import CaseError


def case_of(summary: Mapping[str, Any]) -> Case | None:
    """The case of a summary without its mesh; None where this version can't build it.

    No drawing shows elements, and the default size beside a thin nose is larger than a case file may ask for.
    """
    try:
        return Case.from_tables({**summary["case"], "mesh": {}}, summary["title"])
    except (CaseError, KeyError, TypeError):
        return None
