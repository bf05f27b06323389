"""Where slits, screws and jacking threads sit round the axis, as angles [rad] in a view on the nose, 0 to the right.

Screws are spread evenly, jacking threads over the gaps between them. The slits are turned to where they keep farthest from
the screws, and where they cut the flange from the jacking screws too, which press on it; the first slit points downward. Derived here; any other arrangement that keeps clear does as well.
"""

import math
from dataclasses import dataclass
from functools import lru_cache

_TRIES = 720
TURN = 2 * math.pi
DOWN, UP = -math.pi / 2, math.pi / 2


@dataclass(frozen=True)
class Places:
    """Directions [rad] of slits (from the nose or right through), slits from the back, screws and jacking threads."""

    slits: tuple[float, ...] = ()
    back_slits: tuple[float, ...] = ()
    screws: tuple[float, ...] = ()
    jacking: tuple[float, ...] = ()

    @property
    def lower(self) -> float:
        """Direction of the lower half of the section: through a slit, else a jacking thread, else straight down."""
        return next(iter(self.slits or self.jacking), DOWN)

    @property
    def upper(self) -> float:
        """Direction of the upper half: through the screw nearest to straight up."""
        return min(self.screws, key=lambda angle: (round(_apart(angle, UP), 6), angle), default=UP)


def places(slits, screws: int, jacking: int) -> Places:
    """Places of the slits of a case and of that many screws and jacking threads."""
    holes = _even(screws), _between(screws, jacking)
    count = slits.count if slits.pattern != "none" else 0
    slots = _even(count)
    met = holes[0] + holes[1] if slits.cuts_flange else holes[0]
    start = _clear(slots, met)
    turn = (DOWN if slots else UP) - start  # without slits a screw stands at the top
    back = tuple(angle + TURN / count / 2 for angle in slots) if slits.pattern == "alternating" else ()
    turned = [tuple(_wrapped(a + turn) for a in group) for group in holes]
    cuts = [tuple(_wrapped(a + start + turn) for a in group) for group in (slots, back)]
    return Places(*cuts, *turned)


def _even(count: int) -> tuple[float, ...]:
    return tuple(TURN * i / count for i in range(count))


def _between(screws: int, count: int) -> tuple[float, ...]:
    """As many directions in the gaps between screws, shared out as evenly as whole numbers allow."""
    if not screws:
        return _even(count)
    shares = [(i + 1) * count // screws - i * count // screws for i in range(screws)]
    return tuple(
        TURN / screws * (gap + (k + 1) / (share + 1)) for gap, share in enumerate(shares) for k in range(share)
    )


@lru_cache(64)  # a page draws the same places again with every key
def _clear(slots: tuple[float, ...], holes: tuple[float, ...]) -> float:
    """Turn of the slots that leaves the greatest angle to the nearest hole; the first such."""
    if not slots or not holes:
        return 0.0
    turns = [TURN * i / _TRIES for i in range(_TRIES)]
    return max(turns, key=lambda turn: round(min(_apart(slot + turn, hole) for slot in slots for hole in holes), 9))


def _apart(a: float, b: float) -> float:
    return abs(_wrapped(a - b))


def _wrapped(angle: float) -> float:
    """The angle from -pi up to pi; a trifle above -pi counts as pi."""
    turned = math.remainder(angle, TURN)
    return math.pi if turned < 1e-9 - math.pi else turned
