"""Stress peaks at the end of a push, and what each of them is worth."""

from __future__ import annotations

from math import hypot
from typing import Any

from colletfea.cases.casefile.case import Case
from colletfea.cases.simulation import stress
from colletfea.cases.simulation.push import Push
from colletfea.cases.stored.names import PARTS

#: least radius over the nose wall at which peaks were seen to settle. On the bundled example the cone's change from the
#: default to the fine mesh by -1 to -4 % at 0.06 to 0.14, by -4 and -10 % at 0.045
_SETTLES = 0.06


def peaks(case: Case, pushed: Push) -> list[dict[str, Any]]:
    """Raw peaks [MPa] at the end of a push, and the largest values away from where contacts end: rows of `simulation.peaks`."""
    away = stress.CLEAR_OF_EDGE * case.sleeve.nose_wall
    model, state = pushed.model, pushed.states[-1]
    raw, clear = stress.raw(model, state), stress.believable(case, model, state)
    found = []
    for part in PARTS:
        edge = raw[part].value > clear[part].value * (1 + 1e-9)
        word = _edge_word(case, pushed, raw[part]) if edge else "away from edges of contact"
        found.append(_peak(raw[part], "von Mises stress, raw", word))
        found.append(_peak(clear[part], f"von Mises stress {away:.2g} mm and more from edges of contact", "judged in the verdicts"))
    return found


def _edge_word(case: Case, pushed: Push, peak: stress.Peak) -> str:
    """What a peak beside the end of a contact is worth."""
    ends = stress.contact_ends(pushed.model, pushed.states[-1])
    # an end that hangs over faces the same place as the one that presses there: what is resolved tells
    distance = lambda place: hypot(place[0] - peak.r, place[1] - peak.z)
    name, _ = min(ends, key=lambda end: (distance(end[1]), end[0] not in pushed.resolved))
    radius = case.ring.edge_radius if name.startswith("ring") else case.sleeve.nose_radius if name else 0.0
    if name in pushed.resolved and radius < _SETTLES * case.sleeve.nose_wall:
        return f"at a rounded edge of less than {_SETTLES:g} nose walls: not known to settle with the mesh"
    if name in pushed.resolved:
        return "at a rounded edge: settles with the mesh; where it passes yield, a thin strip flows"
    if radius:
        return "at a rounded edge that this mesh does not resolve: not settled"
    return "at a sharp edge or corner: grows with the mesh, not a stress"


def _peak(peak: stress.Peak, quantity: str, verdict: str) -> dict[str, Any]:
    return {"part": peak.part, "quantity": quantity, "value": peak.value, "unit": "MPa",
            "r_mm": peak.r, "z_mm": peak.z, "verdict": verdict}
