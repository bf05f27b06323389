"""The version of this installation."""

from importlib import metadata


def version() -> str:
    """Version of the installed package; "unknown" where it runs from a checkout that is not installed."""
    try:
        return metadata.version("colletfea")
    except metadata.PackageNotFoundError:
        return "unknown"
