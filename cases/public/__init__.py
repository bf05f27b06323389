"""Tapered clamping sleeves: hand calculation and axisymmetric contact simulation side by side.

The public names are those of `colletfea.cases`, loaded when they are asked for.
"""

from importlib import import_module

__all__ = [
    "Case", "CaseError", "Result", "ResultsError", "Verdict", "by_hand", "examples", "load", "make_report", "run_case",
    "solve", "study", "__version__",
]  # fmt: skip


def __getattr__(name: str) -> object:
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module("colletfea.cases"), name)


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
