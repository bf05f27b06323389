"""The corner that governs each part, looked at on finer meshes: what its yield verdict then rests on."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from colletfea.cases.casefile.case import Case
from colletfea.cases.hand.corners import Believed, Reached, Stress
from colletfea.cases.hand.shaft import duty_load
from colletfea.cases.judgement.corner import worst
from colletfea.cases.judgement.peaks import Looked, Tell, look
from colletfea.cases.judgement.strength import Added, yields
from colletfea.cases.simulation import corners, stress
from colletfea.cases.simulation.ladder import End
from colletfea.cases.stored.names import PARTS


#: gives (number, result) of function(*task) for every task; only the first need be done in this process
Each = Callable[[Callable[..., Any], Sequence[tuple]], Iterable[tuple[int, Any]]]


@dataclass(frozen=True)
class Judged:
    """Corners with what is believed in them, rows of `peaks`, and whether an interrupt cut the looking short."""

    reached: tuple[Reached, ...]
    peaks: list[dict[str, Any]]
    interrupted: bool = False


def judged(
    case: Case, hand: dict[str, Any], runs: Sequence[tuple[Reached, End | None]], added: Added, level: str, tell: Tell,
    each: Each | None = None,
) -> Judged:
    """Look at the peaks of each part in the corner that governs its yield verdict; a corner serves all its parts at once.

    each: who shares the corners out; only the first one is told of then.
    """
    ends = {reached.corner.name: end for reached, end in runs if end is not None and reached.travel > 0}
    begun = [reached for reached, _ in runs if reached.corner.name in ends]
    governs = {part: worst(yields(case, hand, reached, part, added) for reached in begun) for part in PARTS}
    found, rows = {reached.corner.name: reached for reached, _ in runs}, {}
    governing = list(dict.fromkeys(verdict.corner for verdict in governs.values() if verdict is not None))
    tasks = [
        (case, found[name], ends[name], [part for part, v in governs.items() if v is not None and v.corner == name], level,
         tell if each is None or not k else _untold)
        for k, name in enumerate(governing)
    ]  # fmt: skip
    try:
        for k, seen in (each or _one_by_one)(look_at, tasks):
            name = governing[k]
            rows |= seen.rows
            found[name] = replace(found[name], believed=_with_mouth(case, seen.believed))
    except KeyboardInterrupt:
        return Judged(tuple(reached for reached, _ in runs), [], interrupted=True)
    return Judged(tuple(found.values()), [row for part in PARTS for row in rows.get(part, [])])


def look_at(case: Case, reached: Reached, end: End, parts: Sequence[str], level: str, tell: Tell) -> Looked:
    """What is seen of some parts in one corner, in whatever process; case is that of all corners."""
    return look(corners.at_corner(case, reached.corner, case.push), end, parts, level, _equivalents(case), tell)


def _one_by_one(function: Callable[..., Any], tasks: Sequence[tuple]) -> Iterable[tuple[int, Any]]:
    return ((k, function(*task)) for k, task in enumerate(tasks))


def _untold(text: str) -> None:
    """Nothing is told of what another process looks at."""


def _equivalents(case: Case) -> dict:
    load = duty_load(case)
    return {} if load is None else {"shaft": stress.under_duty(case, *load)}


def _with_mouth(case: Case, believed: dict[str, Believed]) -> dict[str, Believed]:
    """The shaft's with what torque and bending alone make at the seat's mouth where that is more."""
    load, one = duty_load(case), believed.get("shaft")
    if load is None or one is None:
        return believed
    peak = stress.at_mouth(case, stress.Peak("shaft", one.stress.value, one.stress.r, one.stress.z), *load)
    return believed | {"shaft": replace(one, stress=Stress(peak.value, peak.r, peak.z))}
