"""What a study varies: keys with their values, from words of the command line or from a library call, and the grid they span."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from math import isfinite, prod
from typing import Any

from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.faults import CaseError, fault, nearest
from colletfea.cases.casefile.kinds import Band, Choice, MaterialValue, Number, Whole
from colletfea.cases.casefile.reading import PARTNER, hint
from colletfea.cases.casefile.schema import ALL_KEYS

Axes = dict[str, tuple[Any, ...]]

#: share by which `around` moves a number either way
STEP = 0.05
#: stages after the push leave no column in a study, and are left out
NO_STAGES = {"after.release": False, "after.twist": False}
_COUNT_MOST = 1_000_000
_PATTERN = "sleeve.slits.pattern"
#: keys of the slits that a pattern has no use for
_NO_USE = {
    "none": ("count", "width", "depth", "cuts_flange", "hoop_stiffness"), "through": ("depth",), "fingers": ("cuts_flange",),
    "alternating": ("cuts_flange",),
}


def from_words(words: Sequence[str]) -> Axes:
    """Keys and raw values of `KEY=V1,V2,...` and `KEY=START:STOP:COUNT`. Raises CaseError."""
    axes: Axes = {}
    for word in words:
        key, equals, text = (part.strip() for part in word.partition("="))
        if not equals or not key or not text:
            raise CaseError([fault("--vary", word, "must be KEY=V1,V2,... or KEY=START:STOP:COUNT")])
        if key in axes:
            raise CaseError([fault(key, None, "is varied twice; give all its values in one --vary")])
        _check_key(key)
        kind = ALL_KEYS[key].kind
        if isinstance(kind, (Number, Band)) and ":" in text:
            axes[key] = tuple(_counted(kind, value) for value in _range(key, text))
        else:
            axes[key] = tuple(_table(key, part) if isinstance(kind, MaterialValue) and part.startswith("{") else _value(part, kind) for part in _parts(text))
    return axes


def _parts(text: str) -> list[str]:
    """Values between commas; commas in a list [low, nominal, high] or in a table {...} part nothing."""
    return [part.strip() for part in re.split(r",(?![^\[]*\]|[^{]*\})", text)]


def _value(text: str, kind: object) -> Any:
    """A number or a list of numbers where the key takes one, else the words as they are; what it can't take is refused later."""
    if isinstance(kind, (Number, Band)):
        inner = text[1:-1].split(",") if text.startswith("[") and text.endswith("]") else None
        try:
            return _counted(kind, float(text)) if inner is None else [float(part) for part in inner]
        except ValueError:
            return text
    return text.strip("\"'")


def _table(key: str, text: str) -> dict[str, Any]:
    """A material of one's own as a case file has it; what it can't be is refused later."""
    try:
        return tomllib.loads(f"value = {text}")["value"]
    except tomllib.TOMLDecodeError as error:
        raise CaseError([fault(key, text, "can't be read; a material of your own is written {young=70000, poisson=0.3}")]) from error


def _counted(kind: object, value: float) -> float:
    """A whole number as such where the key takes no other."""
    return int(value) if isinstance(kind, Whole) and value.is_integer() else value


def _range(key: str, text: str) -> tuple[float, ...]:
    said = fault(key, text, f"must be START:STOP:COUNT, two finite numbers and a whole number from 2 to {_COUNT_MOST}")
    try:
        start, stop, count = text.split(":")
        first, last, number = float(start), float(stop), int(count)
    except ValueError as error:
        raise CaseError([said]) from error
    if not 2 <= number <= _COUNT_MOST or not isfinite(last - first):
        raise CaseError([said])
    return spread(first, last, number)


def spread(first: float, last: float, count: int) -> tuple[float, ...]:
    """count values at equal steps, both ends in, without the digits that rounding leaves behind.

    >>> spread(0.02, 0.05, 4)
    (0.02, 0.03, 0.04, 0.05)
    """
    return tuple(float(f"{first + (last - first) * k / (count - 1):.12g}") for k in range(count))


def checked(vary: Mapping[str, Sequence[Any]]) -> Axes:
    """The same with every key and every single value looked at. Raises CaseError with the first fault of each key."""
    if not vary:
        raise CaseError([fault("--vary", None, "a study needs a key to vary, and values for it")])
    faults: list[str] = []
    axes: Axes = {}
    for key, values in vary.items():
        _check_key(key)
        kind = ALL_KEYS[key].kind
        axes[key] = tuple(value.item() if hasattr(value, "item") else value for value in values)
        if not axes[key]:
            faults.append(fault(key, None, "has no value to vary over; give at least one"))
        faults += next((found for value in axes[key] if (found := kind.faults(key, value))), [])
        faults += _twice(key, axes[key])
        partner = PARTNER.get(key)
        if partner in vary and key < partner:
            faults.append(fault(key, None, f"can't be varied together with {partner}: only one of them may stand"))
    if faults:
        raise CaseError(faults)
    return axes


def _twice(key: str, values: Sequence[Any]) -> list[str]:
    seen: set[str] = set()
    for value in values:
        word = repr(in_a_row(value))
        if word in seen:
            what = f"two materials bear the name {in_a_row(value)}; give each table a name of its own" if isinstance(value, dict) else None
            return [fault(key, None, what) if what else fault(key, value, "stands twice among the values to vary over")]
        seen.add(word)
    return []


def in_a_row(value: Any) -> Any:
    """A varied value as its row has it: a material of one's own goes by its name."""
    return value.get("name", "own") if isinstance(value, dict) else value


def _check_key(key: str) -> None:
    if key not in ALL_KEYS:
        close = nearest(key, ALL_KEYS)
        raise CaseError([fault(key, None, f"no such key; did you mean {close}?" if close else f"no such key; {hint(*key.rpartition('.')[::2])}")])
    kind = ALL_KEYS[key].kind
    if not isinstance(kind, (Number, Band, Choice, MaterialValue)) and key != "sleeve.fit":
        raise CaseError([fault(key, None, "can't be varied: a study takes numbers, fits, materials, and keys that name one of a few words")])


def replaced(case: Case, axes: Mapping[str, Sequence[Any]]) -> list[str]:
    """What scatter of the case does not enter, in a sentence each: a band of friction or a fit that varied numbers take the place of."""
    own = {f"friction.{name}": f"scatter {band.low:g} to {band.high:g}"
           for name, band in (("cone", case.friction.cone), ("bore", case.friction.bore)) if band.low < band.high}
    own |= {"sleeve.clearance": f"fit {case.sleeve.fit}"} if case.sleeve.fit else {}
    said = []
    for key in own.keys() & axes.keys():
        single = [not isinstance(value, (list, tuple)) for value in axes[key]]
        where, there = ("here", "") if all(single) else ("in some cases", " there")
        said += [f"{key} is one number {where}; the case's {own[key]} does not enter{there}."] if any(single) else []
    return sorted(said)


def count(axes: Axes) -> int:
    """Number of cases of the grid."""
    return prod(len(values) for values in axes.values())


def changes_at(axes: Axes, index: int) -> dict[str, Any]:
    """The changes of one case of the grid; the last key runs fastest.

    >>> [changes_at({"a": (1, 2), "b": (3, 4, 5)}, k) for k in (0, 1, 3)]
    [{'a': 1, 'b': 3}, {'a': 1, 'b': 4}, {'a': 2, 'b': 3}]
    """
    found = {}
    for key in reversed(axes):
        index, place = divmod(index, len(axes[key]))
        found[key] = axes[key][place]
    return _fitting({key: found[key] for key in axes})


def _fitting(changes: dict[str, Any]) -> dict[str, Any]:
    """Changes without those of the slits that their pattern has no use for, which are taken out of the case as well."""
    return {**changes, **{f"sleeve.slits.{key}": None for key in _NO_USE.get(changes.get(_PATTERN), ())}}


def around(case: Case, keys: Sequence[str]) -> list[dict[str, Any]]:
    """Changes of the case as it is, and of each key moved 5 % down and up; whole numbers by one. Raises CaseError."""
    if not keys or not all(keys):
        raise CaseError([fault("--around", None, "must name keys, with commas between them")])
    moved: list[dict[str, Any]] = [{}]
    for key in dict.fromkeys(keys):
        _check_key(key)
        kind, value = ALL_KEYS[key].kind, case.value(key)
        if not isinstance(kind, (Number, Band)):
            raise CaseError([fault(key, None, "can't be moved by 5 %: it is no number")])
        numbers = [value.low, value.nominal, value.high] if isinstance(kind, Band) else [value]
        if any(number is None for number in numbers):
            raise CaseError([fault(key, None, "can't be moved by 5 %: the case does not give it")])
        if key == "sleeve.clearance" and case.sleeve.fit is not None:  # one clearance beside the fit's two limits is another question
            raise CaseError([fault(key, None, f"can't be moved by 5 %: the case gives a fit, {case.sleeve.fit}; vary sleeve.fit")])
        if not any(numbers):
            raise CaseError([fault(key, 0, "can't be moved by 5 %: it is 0")])
        moved += [{key: _moved(kind, numbers, sign)} for sign in (-1, 1)]
    return moved


def sides(key: str) -> tuple[str, str]:
    """What `around` does to a key either way, in words."""
    return ("one less", "one more") if isinstance(ALL_KEYS[key].kind, Whole) else ("5 % less", "5 % more")


def _moved(kind: object, numbers: list[float], sign: int) -> Any:
    if isinstance(kind, Whole):
        return numbers[0] + sign
    scaled = [float(f"{number * (1 + sign * STEP):.12g}") for number in numbers]
    return scaled[0] if len(scaled) == 1 or scaled[0] == scaled[-1] else scaled
