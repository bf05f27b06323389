"""Studies: many cases of one coupling, over keys, around it, or at random between its limits. `sweep` gives their rows."""

from typing import Any

__all__ = ["sweep"]


def __getattr__(name: str) -> Any:
    if name == "sweep":
        from colletfea.cases.study.conduct import sweep

        return sweep
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
