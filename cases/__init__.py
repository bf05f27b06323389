"""The collet as a designer sees it. Public names are loaded when they are asked for."""

from importlib import import_module

_PLACES = {
    "Case": ("casefile.case", "Case"),
    "CaseError": ("casefile.faults", "CaseError"),
    "examples": ("casefile.examples", "names"),
    "by_hand": ("summary", "by_hand"),
    "solve": ("run", "solve"),
    "run_case": ("run", "run_case"),
    "Result": ("stored.result", "Result"),
    "ResultsError": ("stored.store", "ResultsError"),
    "Verdict": ("stored.verdict", "Verdict"),
    "load": ("stored.reading", "load"),
    "make_report": ("report.page", "make"),
    "study": ("study", None),
}
__all__ = [*_PLACES, "__version__"]


def __getattr__(name: str) -> object:
    if name == "__version__":
        return import_module(f"{__name__}.summary").version()
    if name not in _PLACES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    module, member = _PLACES[name]
    found = import_module(f"{__name__}.{module}")
    return found if member is None else getattr(found, member)


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
