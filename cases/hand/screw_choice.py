"""Which screws would do: the smallest size for a count, the least count for a size, in each class; and a set to start from.

A set does where `judge` finds it strong enough and with room. Where the circle is left open and the default one has no room, a
circle that has room is taken and stated.
"""

from colletfea.cases.hand.screw_joint import Joint, Judged, ScrewSet, judge
from colletfea.cases.hand.threads import CLASSES, SIZES

LEAST_COUNT, MOST = 3, 24  # fewer than three tilt the ring; more than 24 are not looked at
#: order of proposing: even counts can be tightened crosswise, so they come first (common practice, no source)
PROPOSED_COUNTS = (4, 6, 8, 10, 12, 3, 5, 7, 9, 11)
PROPOSED_CLASSES = ("8.8", "10.9", "12.9")


def placed(candidate: ScrewSet, joint: Joint) -> Judged:
    """The set judged on the stated or default circle, or, where the circle is open and there is room, in the middle of it."""
    found = judge(candidate, joint)
    space = found.room
    if space.fits or joint.ring.circle is not None or space.least > space.greatest:
        return found
    middle = (space.least + space.greatest) / 2
    rounded = round(middle, 1)
    return judge(candidate, joint.on_circle(rounded if space.least <= rounded <= space.greatest else middle))


def smallest(given: ScrewSet, joint: Joint) -> list[dict]:
    """For each class the smallest size for the given count and the least count for the given size, as far as there is one.

    Each {size, count, property_class, tightening_torque_Nm, circle_mm, for}; `for` is "count", "size" or "count and size".
    """
    joint = joint.to_choose_for()
    entries = []
    for name in CLASSES:
        by_count = _first([ScrewSet(given.count, size, name, given.jacking) for size in SIZES], joint)
        counts = range(max(LEAST_COUNT, given.jacking or 0), MOST + 1)  # no more threads push the ring off than screws pull it on
        by_size = _first([ScrewSet(count, given.size, name, given.jacking) for count in counts], joint)
        if by_count and by_size and by_count.chosen == by_size.chosen:
            entries.append(entry(by_count) | {"for": "count and size"})
            continue
        entries += [entry(found) | {"for": what} for found, what in ((by_count, "count"), (by_size, "size")) if found]
    return entries


def proposed(joint: Joint, jacking: int | None = None) -> Judged | None:
    """A set free in count, size and class, or None where none that is looked at does; jacking as in a ScrewSet.

    Rule: class 8.8 before 10.9 before 12.9; within a class the least even count from 4 to 12, then the least odd one from 3 to
    11; for that count the smallest size.
    """
    joint = joint.to_choose_for()
    counts = [count for count in PROPOSED_COUNTS if count >= (jacking or 0)]
    candidates = (ScrewSet(count, size, name, jacking) for name in PROPOSED_CLASSES for count in counts for size in SIZES)
    return _first(candidates, joint)


def _first(candidates, joint: Joint) -> Judged | None:
    return next((found for found in (placed(candidate, joint) for candidate in candidates) if found.ok), None)


def entry(found: Judged) -> dict:
    """A set as the results name it."""
    return {
        "size": found.chosen.size,
        "count": found.chosen.count,
        "property_class": found.chosen.property_class,
        "tightening_torque_Nm": found.torque,
        "circle_mm": found.room.circle,
    }
