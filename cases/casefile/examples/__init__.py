"""Bundled example cases."""

from importlib import resources

from colletfea.cases.casefile.faults import CaseError, listed, nearest
from colletfea.cases.casefile.text import name_shown


def names() -> list[str]:
    """Names of the bundled examples, the main one first."""
    return ["sprocket_hub", "closed_hub", "spindle", "stainless_fingers", "bronze_sleeve"]


def text(name: str) -> str:
    """The case file of one of `names()`. Raises CaseError, with the nearest name, for any other."""
    if name not in names():
        close = nearest(name, names())
        hint = f"did you mean {close}?" if close else f"there are {listed(names(), 'and')}"
        raise CaseError([f"{name_shown(name)}: no such example; {hint}"])
    return resources.files(__name__).joinpath(f"{name}.toml").read_text(encoding="utf-8")
