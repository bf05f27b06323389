"""Bundled example cases."""

from importlib import resources


def names() -> list[str]:
    """Names of the bundled examples, the main one first."""
    return ["sprocket_hub", "closed_hub", "spindle", "stainless_fingers", "bronze_sleeve"]


def text(name: str) -> str:
    """The case file of one of `names()`. Raises KeyError for any other name."""
    if name not in names():
        raise KeyError(name)
    return resources.files(__name__).joinpath(f"{name}.toml").read_text(encoding="utf-8")
