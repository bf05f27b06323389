"""A verdict: a value against its limit, and why nothing can be said where that is so.

The margin is limit over value where the value must stay below, value over limit where it must reach the limit. One rule
makes the word of it: ok from a margin of 1 on. The force that carries a duty is landed on, so a value within REACHED of its
limit counts as reached, and the margin stored is 1.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from typing import Any

#: relative accuracy of the events that a push is landed on
LANDING = 1e-3
#: what a value may be short of its limit by: pushes come to the duty within 2e-4 of it, and what service takes is known to 2e-4
REACHED = 5e-4
#: plastic strain from which the flow stress is told to be off, by twice the strain
FLOW_WARNED = 0.01
#: greatest margin stored: a value of 0 is infinitely far from its limit, and JSON has no infinity
MOST = 1e6

#: begins the reason of a verdict whose numbers are of formulas that are not trusted with the case
BY_HAND = "Not judged by hand: "

#: name: title, and what the verdict is about
NAMES = {
    "slip": ("Bore holds torque and thrust", "grip of the bore"),
    "cone_slip": ("Cone holds torque and thrust", "grip of the cone"),
    "bottoming": ("Way of the ring is enough", "way of the ring"),
    "slots": ("Slots stay open", "room in the slots"),
    "collapse": ("No part collapses", "plastic collapse"),
    "yield_shaft": ("Shaft does not yield away from edges", "yield of the shaft"),
    "yield_sleeve": ("Sleeve does not yield away from edges", "yield of the sleeve"),
    "yield_ring": ("Ring does not yield away from edges", "yield of the ring"),
    "self_locking": ("Ring stays on the cone", "whether the ring stays on its own"),
    "neck": ("Sleeve's neck bears torque and push", "strength of the sleeve's neck"),
    "seat_open": ("Seat stays closed under the radial pull", "radial pull on the seat"),
    "screws": ("Screws are strong enough", "strength of the screws"),
    "screw_room": ("Screws find room in the ring", "room for the screws"),
    "jacking": ("Jacking screws push the ring off", "jacking screws"),
    "release": ("Ring can be taken off again", "release of the ring"),
    "twist": ("Shaft turned until the seat slips", "twist of the shaft"),
    "energy": ("Work of the push and of what follows adds up", "balance of the work"),
    "mesh": ("Mesh and increments are fine enough", "mesh and increments"),
}


@dataclass(frozen=True)
class Verdict:
    """One verdict as stored. ok: True, False, or None: not judged, and because says why. corner: the one it was judged in."""

    name: str
    value: float | None
    limit: float | None
    unit: str
    margin: float | None
    ok: bool | None
    because: str
    corner: str | None = None

    @classmethod
    def at_most(cls, name: str, value: float, limit: float, unit: str, because: str) -> Verdict:
        """The value must stay below the limit."""
        return _judged(name, value, limit, unit, because, _share(limit, value))

    @classmethod
    def at_least(cls, name: str, value: float, limit: float, unit: str, because: str) -> Verdict:
        """The value must reach the limit; one of 0 or less never does."""
        return _judged(name, value, limit, unit, because, _share(value, limit))

    @classmethod
    def unknown(
        cls, name: str, because: str, *, value: float | None = None, limit: float | None = None, unit: str = ""
    ) -> Verdict:
        """Not judged."""
        return cls(name, value, limit, unit, None, None, because)

    def unjudged(self) -> Verdict:
        """The same numbers, not judged."""
        return replace(self, ok=None)

    def reached(self) -> Verdict:
        """Not ok: the push came to rest on this limit, on whichever side of it the landing fell."""
        return replace(self, ok=False, margin=None if self.margin is None else min(self.margin, 1.0))

    def at_best(self, margin: float) -> Verdict:
        """The same with a margin no greater than this, which holds as well: > 1 where the verdict is ok."""
        return self if self.margin is None or not self.ok else replace(self, margin=min(self.margin, max(margin, 1.0)))

    def at(self, corner: str) -> Verdict:
        """The same, judged in a corner."""
        return replace(self, corner=corner)

    def adding(self, more: str) -> Verdict:
        """The same with more said at the end of its because."""
        return replace(self, because=self.because + more)

    def to_dict(self) -> dict[str, Any]:
        """As stored in `summary.json`."""
        return asdict(self)


def title(name: str) -> str:
    """A verdict's name in words; names that are not known here are spelt as they are stored."""
    return NAMES[name][0] if name in NAMES else name.replace("_", " ")


def subject(name: str) -> str:
    """What a verdict is about, to be named within a sentence."""
    return NAMES[name][1] if name in NAMES else name.replace("_", " ")


def untrusted(data: Mapping[str, Any], *names: str) -> bool:
    """Whether one of these verdicts was not judged because formulas alone, which are not trusted with the case, made its numbers."""
    return any(v["ok"] is None and BY_HAND in v["because"] for v in data["verdicts"] if v["name"] in names)


def _share(top: float, bottom: float) -> float:
    """Ratio of two values, 0 where nothing is there, at most MOST; nearly 1 counts as 1, see REACHED."""
    if top <= 0:
        return 0.0
    ratio = top / bottom if bottom * MOST > top else MOST
    return 1.0 if 1 - REACHED <= ratio < 1 else ratio


def _judged(name: str, value: float, limit: float, unit: str, because: str, margin: float) -> Verdict:
    return Verdict(name, value, limit, unit, margin, margin >= 1, because)
