"""A verdict's numbers as they are shown: value against limit, margin, corner, word."""

from typing import Any, Mapping

from colletfea.cases.report import corner_words
from colletfea.cases.report.wording import NOTHING, number, quantity, verdict_word
from colletfea.cases.stored.verdict import BY_HAND, title

#: verdicts that tell how the coupling behaves; where one is not judged, nothing is missing from the decision
TELLING = ("self_locking",)


def against(verdict: Mapping[str, Any]) -> tuple[str, str]:
    """Value and limit, formatted."""
    return tuple(quantity(verdict[name], verdict["unit"] or "") for name in ("value", "limit"))


def margin(verdict: Mapping[str, Any]) -> str:
    """The margin, with a digit more where it would read as 1.00 beside "not ok"."""
    value = verdict["margin"]
    if value is None:
        return NOTHING
    if value >= 1000:
        return "over 1000"
    short = number(float(value), 3)
    return number(float(value), 4) if verdict["ok"] is False and short == "1.00" else short


def reason(verdict: Mapping[str, Any]) -> str:
    """Why a verdict was not judged: what stands after "Not judged by hand", else the whole text without its last full stop."""
    return verdict["because"].split(BY_HAND)[-1].rstrip(".")


def short_row(data: Mapping[str, Any], verdict: Mapping[str, Any]) -> list[str]:
    """Name, word, value, limit, margin and worst corner."""
    return [
        title(verdict["name"]), verdict_word(verdict["ok"]), *against(verdict), margin(verdict),
        corner_words.name(data, verdict["corner"]) or NOTHING,
    ]  # fmt: skip


def missing(data: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """Verdicts that should have been judged and were not."""
    return [v for v in data["verdicts"] if v["ok"] is None and v["name"] not in TELLING and not _nothing_to_do(data, v)]


def _nothing_to_do(data: Mapping[str, Any], verdict: Mapping[str, Any]) -> bool:
    """No jacking screws are needed where the ring lets go by itself."""
    return verdict["name"] == "jacking" and ((data.get("screws") or {}).get("jacking") or {}).get("force_N") == 0
