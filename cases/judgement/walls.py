"""Which wall would bring the stress of a part down to what is permitted: simulated value times the ratio of the hand calculation's.

Fit, friction and clamp forces stay as they are. It is advice: what is to be relied on is run again.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from colletfea.cases.casefile import fits
from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.faults import CaseError
from colletfea.cases.hand.calculation import hand
from colletfea.cases.hand.corners import Clamp, Reached
from colletfea.cases.hand.geometry import sizes
from colletfea.cases.judgement import by_hand
from colletfea.cases.judgement.strength import Added, yields
from colletfea.cases.stored.names import PARTS, YIELD
from colletfea.cases.stored.verdict import Verdict

#: walls that are tried over the one there is, thicker and thinner; and halvings between the first that does and the one before
_TRIED, _HALVINGS = ((1.1, 1.25, 1.5, 2.0), (0.9, 0.8, 0.65, 0.5)), 4


def walls(case: Case, corners: Sequence[Reached], verdicts: Sequence[Verdict], added: Added, clamp: Clamp) -> list[dict[str, Any]]:
    """Rows {part, key, value, changed_to, wall_mm, unit, stress_MPa} for the parts that yield; the least change that does.

    wall_mm is the nose wall, the ring's thinnest wall or the shaft's; a part that no wall from half to twice its own brings below
    its limit has changed_to, wall_mm and stress_MPa None. Nothing is said of a push that flows or ended where a part yields, as its
    stress does not go with that of an elastic formula; nor where by hand there is no stress, or the shaft is solid. On a ring
    that had to lose a fifth of its stress, the run of the wall advised came out 6 % above what is told here.
    """
    if case.solver.plastic or not clamp.least:
        return []
    found = []
    for part in PARTS:
        verdict = next((v for v in verdicts if v.name == f"yield_{part}" and v.ok is False), None)
        reached = next((one for one in corners if verdict and one.corner.name == verdict.corner and one.reason != YIELD), None)
        if reached is not None and not (part == "shaft" and case.shaft.bore == 0):
            found += _advice(case, reached, part, added, clamp)
    return found


def _advice(case: Case, reached: Reached, part: str, added: Added, clamp: Clamp) -> list[dict[str, Any]]:
    base = _by_hand(case, part, reached, clamp)
    if not base:
        return []
    key, now = _key(case, part)
    row = {"part": part, "key": key, "value": now, "unit": "mm", "changed_to": None, "wall_mm": None, "stress_MPa": None}

    def tried(share: float) -> dict[str, Any] | None:
        """The row of a wall over the one there is, None where it does not do."""
        other = _changed(case, part, share)
        changed = other and _by_hand(other, part, reached, clamp)
        if not changed:
            return None
        found = yields(other, hand(other), _scaled(reached, part, changed / base), part, added)
        told = {"changed_to": _key(other, part)[1], "wall_mm": _wall(other, part), "stress_MPa": found.value}
        return row | told if found.ok else None

    nearest = [one for one in (_first(tried, shares) for shares in _TRIED) if one is not None]
    return [min(nearest, key=lambda one: abs(one["changed_to"] - now), default=row)]


def _first(tried: Callable[[float], dict[str, Any] | None], shares: Sequence[float]) -> dict[str, Any] | None:
    """What comes of the least change in one direction that does, None where none does."""
    fails = 1.0
    for does in shares:
        found = tried(does)
        if found is not None:
            break
        fails = does
    else:
        return None
    for _ in range(_HALVINGS):
        middle = (does + fails) / 2
        nearer = tried(middle)
        does, fails, found = (does, middle, found) if nearer is None else (middle, fails, nearer)
    return found


def _changed(case: Case, part: str, share: float) -> Case | None:
    """The case with another wall, None where it can't be drawn."""
    key, now = _key(case, part)
    grown = (share - 1) * _wall(case, part)
    to = {"sleeve": now + grown, "ring": now + 2 * grown, "shaft": now - 2 * grown}[part]
    try:
        return case.changed({key: float(f"{to:.3g}" if to < 100 else f"{to:.4g}")})
    except CaseError:
        return None


def _key(case: Case, part: str) -> tuple[str, float]:
    """The key that sets a part's wall, and its value [mm]."""
    return {
        "shaft": ("shaft.bore", case.shaft.bore), "sleeve": ("sleeve.nose_wall", case.sleeve.nose_wall), "ring": ("ring.outer_diameter", case.ring.outer_diameter),
    }[part]  # fmt: skip


def _wall(case: Case, part: str) -> float:
    drawn = sizes(case)
    walls: Mapping[str, float] = {
        "shaft": drawn.shaft_radius - drawn.shaft_bore, "sleeve": drawn.wall.nose_wall, "ring": drawn.ring.radius - drawn.ring_bore(drawn.ring.start),
    }
    return walls[part]


def _by_hand(case: Case, part: str, reached: Reached, clamp: Clamp) -> float | None:
    """Stress [MPa] of a part in the same corner by hand, None where there is none."""
    found = by_hand.in_corner(case, fits.of(case), reached.corner.name, clamp)
    stress = found and found.stress(part)
    return stress.value if stress else None


def _scaled(reached: Reached, part: str, ratio: float) -> Reached:
    """The corner with the stress of a part times a ratio."""
    times = lambda stress: stress and replace(stress, value=ratio * stress.value)  # noqa: E731
    believed = {name: replace(one, stress=times(one.stress)) for name, one in reached.believed.items() if name == part}
    return replace(
        reached, stresses={part: times(reached.stresses.get(part))}, believed=believed,
        shaft_under_duty=times(reached.shaft_under_duty),
    )
