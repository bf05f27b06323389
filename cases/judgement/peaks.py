"""What the stress peaks at the end of a push are worth: settled, growing with the mesh, or clear of all edges."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import log2
from typing import Any

import numpy as np

from colletfea.cases.casefile.case import Case
from colletfea.cases.hand.corners import Believed, Stress
from colletfea.cases.judgement.strength import UNREFINED
from colletfea.cases.simulation import ladder as ladders
from colletfea.cases.simulation import stress
from colletfea.cases.simulation.belief import Belief, Equivalent, believe
from colletfea.cases.simulation.ladder import HOOP, PRESSURE, VON_MISES, Change, End, Ladder, Spot
from colletfea.cases.simulation.model import BORE, CONE
from colletfea.cases.simulation.stress import PARTS
from colletfea.cases.simulation.zoom import Level

#: a peak has settled where the last halving changes it by no more than SETTLED, and by less than FALLS times the one before or by
#: no more than SMALL; it grows where both halvings raise it by more than SETTLED and the last one by more than LASTS times the first
SETTLED, SMALL, FALLS, LASTS = 0.05, 0.02, 0.75, 0.5
#: part that a pair's pressure is told with
_TOLD = {CONE: "ring", BORE: "shaft"}

Tell = Callable[[str], None]


@dataclass(frozen=True)
class Growth:
    """What halving the elements does to a peak: its values, one a mesh; settled, grows or neither; last, the relative change by the
    last halving, in the neighbourhood that was halved."""

    values: tuple[float, ...]
    settled: bool
    grows: bool
    last: float

    @property
    def exponent(self) -> float | None:
        """s where the peak goes with size^-s from the last halving; None where it falls."""
        return log2(1 + self.last) if self.last > 0 else None

    @property
    def words(self) -> str:
        """The verdict."""
        if self.settled:
            return f"settled to {100 * abs(self.last):.1g} %"
        if self.grows:
            return f"grows with the mesh: not a stress ({100 * self.last:+.2g} % by halving the elements)"
        return f"not settled: {100 * self.last:+.2g} % by the last halving of the elements"


def growth(changes: Sequence[Change]) -> Growth | None:
    """What a ladder of at least two halvings shows of a peak; None where there are fewer or it vanishes."""
    if len(changes) < 2 or min(min(c.before, c.after) for c in changes[-2:]) <= 0:
        return None
    first, last = (c.after / c.before - 1 for c in changes[-2:])
    settled = abs(last) <= SETTLED and (abs(last) <= SMALL or abs(last) < FALLS * abs(first))
    grows = not settled and min(first, last) > SETTLED and last > LASTS * first
    return Growth((changes[0].before, *(c.after for c in changes)), settled, grows, last)


@dataclass(frozen=True)
class Looked:
    """What was seen of one corner: rows of `peaks` by part, and what is believed of each."""

    rows: dict[str, list[dict[str, Any]]]
    believed: dict[str, Believed]


def look(
    case: Case, end: End, parts: Iterable[str], level: str, equivalents: Mapping[str, Equivalent], tell: Tell = lambda text: None
) -> Looked:
    """Judge the peaks of parts at the end of a corner's push; case is the corner's.

    equivalents: what the verdict of a part compares, where that is not von Mises' stress alone. Without halvings (quick) and
    where metal has flowed there is no ladder, and nothing is believed.
    """
    if not end.flowed:
        case, end = end.unflowed(case)
    whole, parts = end.whole(case), tuple(parts)
    spots = ladders.spots(case, whole, end.size)
    halvings = 0 if end.flowed else ladders.HALVINGS[level]
    climbed = _climb(case, end, whole, spots, parts, level, halvings, tell) if halvings else []
    rows, believed, clear = {}, {}, stress.believable(case, whole.model, whole.state)
    for part in parts:
        raw = [_raw_row(case, whole, spots, climbed, part, *peak) for peak in _raw_peaks(whole, part)]
        judged = f"judged in the verdicts; {UNREFINED}" if end.flowed else "judged in the verdicts"
        rows[part] = [*raw, _row(part, _clear_name(case), clear[part].value, (clear[part].r, clear[part].z), judged)]
        if climbed:
            found = believe(case, climbed, whole, part)
            loaded = believe(case, climbed, whole, part, equivalents[part]) if part in equivalents else found
            rows[part] = [*raw, *_believed_rows(case, whole, spots, part, found, climbed)]
            edge = max(_settled(climbed, part), default=(0.0, ""))
            believed[part] = Believed(Stress(loaded.clear.value, loaded.clear.r, loaded.clear.z), found.share, *edge)
    return Looked(rows, believed)


def _settled(climbed: Sequence[Ladder], part: str) -> list[tuple[float, str]]:
    """Von Mises stresses [MPa] of a part that have settled at rounded edges, and those edges in words."""
    seen = [(one.spot, growth(one.changes.get((body, VON_MISES), []))) for one in climbed if one.spot.radius for body in PARTS[part]]
    return [(found.values[-1], spot.words) for spot, found in seen if found and found.settled]


def _climb(
    case: Case, end: End, whole: Level, spots: Sequence[Spot], parts: Sequence[str], level: str, halvings: int, tell: Tell
) -> list[Ladder]:
    """Ladders at the spots that hold a raw peak of the parts; at all of them on the fine level."""
    if level != "fine":
        nearest = [_nearest(case, whole, spots, place) for part in parts for *_, place in _raw_peaks(whole, part)]
        spots = [spot for spot in spots if any(spot is one for one in nearest)]
    remake, found = ladders.remake_of(case, whole.model, end.size), []
    for spot in spots:
        tell(f"finer meshes at the {spot.words}")
        found.append(ladders.climb(remake, whole, spot, halvings))
    return found


def _nearest(case: Case, whole: Level, spots: Sequence[Spot], place: np.ndarray) -> Spot | None:
    """The spot beside which a peak lies, None where it is clear of all."""
    away = [min(float(np.hypot(*(place - at))) for at in spot.focus(whole).values()) - spot.radius for spot in spots]
    k = int(np.argmin(away)) if away else -1
    return spots[k] if away and away[k] <= stress.edge_distance(case) else None


def _raw_peaks(whole: Level, part: str) -> list[tuple[str, str, float, np.ndarray]]:
    """Largest values of a part on the whole mesh: (key in a ladder's changes, quantity, value, undeformed (r, z))."""
    found = ladders.largest(whole)
    own = [[(key, body, *found[body, key]) for body in PARTS[part] if (body, key) in found] for key in (VON_MISES, HOOP)]
    rows = [(body, key, value, place) for some in own for key, body, value, place in [max(some, key=lambda one: one[2])] if value > 0]
    return rows + [(pair, PRESSURE, *found[pair, PRESSURE]) for pair, told in _TOLD.items() if told == part and found[pair, PRESSURE][0] > 0]


def _raw_row(
    case: Case, whole: Level, spots: Sequence[Spot], climbed: Sequence[Ladder], part: str, key: str, quantity: str, value: float, place: np.ndarray
) -> dict[str, Any]:
    named = f"{quantity} on the {key}, raw" if quantity == PRESSURE else f"{quantity}, raw"
    spot = _nearest(case, whole, spots, place)
    if whole.state.flow is not None:
        return _row(part, named, value, place, f"{_where_it_flows(spot)}; {UNREFINED}", **({"spot": spot.words} if spot else {}))
    if spot is None:
        return _row(part, named, value, place, "away from edges of contact")
    found = next((one for one in climbed if one.spot.words == spot.words), None)
    changes = found.changes.get((key, quantity), []) if found else []
    seen = growth(changes)
    if seen is None:
        return _row(part, named, value, place, _unseen(spot, found), spot=spot.words)
    return _row(part, named, seen.values[-1], changes[-1].place, f"at the {spot.words}: {seen.words}", spot=spot.words, seen=seen)


def _where_it_flows(spot: Spot | None) -> str:
    """What can be said of a peak in a push in which metal flows."""
    if spot is None:
        return "away from edges of contact"
    return f"at the {spot.words}, {'rounded: this mesh does not resolve it' if spot.radius else 'sharp: grows with the mesh until metal flows there'}"


def _unseen(spot: Spot, found: Ladder | None) -> str:
    """What can be said of a peak without a ladder."""
    if found is not None and found.failed:
        return f"at the {spot.words}: not known, the finer mesh found no equilibrium ({found.failed})"
    if spot.radius:
        return f"at the {spot.words}, rounded: this mesh does not resolve it, not settled"
    return f"at the {spot.words}, sharp: grows with the mesh, not a stress"


def _believed_rows(
    case: Case, whole: Level, at: Sequence[Spot], part: str, found: Belief, climbed: Sequence[Ladder]
) -> list[dict[str, Any]]:
    """The largest value that two meshes agree on, anywhere and clear of the ends of contacts."""
    spots = [_doubted(one, part, doubt) for one, doubt in zip(climbed, found.doubts) if doubt > 0]
    share = f"two meshes agree within 5 % in {100 * found.share:.4g} % of the part"
    beside = _nearest(case, whole, at, np.array([found.anywhere.r, found.anywhere.z]))
    sharp = f"; beside the {beside.words}, sharp, such a value still grows with finer meshes: nothing to judge by" if beside and not beside.radius else ""
    rows = (
        ("von Mises stress, largest where two meshes agree", found.anywhere, share + sharp),
        (_clear_name(case), found.clear, f"judged in the verdicts; {share}"),
    )
    return [_row(part, name, peak.value, (peak.r, peak.z), words, believed_share=found.share, doubted=spots) for name, peak, words in rows]


def _doubted(climbed: Ladder, part: str, radius: float) -> dict[str, Any]:
    """A place of a part at which two meshes differ, as far as radius [mm] from it."""
    focus = climbed.spot.focus(climbed.levels[0])
    place = next(at for body, at in focus.items() if body in PARTS[part])
    return {"at": climbed.spot.words, "r_mm": float(place[0]), "z_mm": float(place[1]), "radius_mm": radius}


def _clear_name(case: Case) -> str:
    return f"von Mises stress {stress.edge_distance(case):.2g} mm and more from edges of contact"


def _row(part: str, quantity: str, value: float, place, verdict: str, seen: Growth | None = None, **more: Any) -> dict[str, Any]:
    return {
        "part": part, "quantity": quantity, "value": float(value), "unit": "MPa", "r_mm": float(place[0]), "z_mm": float(place[1]),
        "verdict": verdict, "meshes": list(seen.values) if seen else None, "exponent": seen.exponent if seen else None, **more,
    }
