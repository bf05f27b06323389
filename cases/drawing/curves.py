"""Outlines as points: rounded corners as short straight pieces, what lies between two heights, and hatching. Lengths in mm."""

import math

Point = tuple[float, float]
_PIECES = 12  # straight pieces of a rounded corner: off by 0.3 % of its radius at most


def points(corners) -> list[Point]:
    """Points (r, z) of a closed outline of corners (r, z, radius)."""
    found: list[Point] = []
    for i, corner in enumerate(corners):
        found += _corner(corners[i - 1], corner, corners[(i + 1) % len(corners)])
    return found


def _corner(before, corner, after) -> list[Point]:
    here, radius = complex(*corner[:2]), corner[2]
    if not radius:
        return [corner[:2]]
    back, on = (complex(*end[:2]) - here for end in (before, after))
    back, on = back / abs(back), on / abs(on)
    inwards = (back + on) / abs(back + on)
    half = math.acos(min(1.0, (inwards * back.conjugate()).real))
    centre = here + inwards * radius / math.sin(half)
    start, end = here + back * radius / math.tan(half) - centre, here + on * radius / math.tan(half) - centre
    turn = math.remainder(math.atan2(end.imag, end.real) - math.atan2(start.imag, start.real), 2 * math.pi)
    steps = [turn * i / _PIECES for i in range(_PIECES + 1)]
    arc = [centre + start * complex(math.cos(a), math.sin(a)) for a in steps]
    return [(p.real, p.imag) for p in arc]


def between(outline: list[Point], low: float, high: float) -> list[Point]:
    """What of a closed outline lies between two z; pieces that part there hang together along z = low or high."""
    return _above([(r, -z) for r, z in _above(outline, low)], -high, back=True)


def _above(outline: list[Point], level: float, back: bool = False) -> list[Point]:
    kept: list[Point] = []
    for i, (r, z) in enumerate(outline):
        r0, z0 = outline[i - 1]
        if (z0 < level) != (z < level):
            kept.append((r0 + (r - r0) * (level - z0) / (z - z0), level))
        if z >= level:
            kept.append((r, z))
    return [(r, -z) for r, z in kept] if back else kept


def hatch(outlines: list[list[Point]], pitch: float, rising: bool) -> list[tuple[Point, Point]]:
    """Lines at 45 degrees over what lies inside an odd number of closed outlines, in the outlines' own coordinates."""
    way = 1.0 if rising else -1.0
    turned = [[(x + way * y, x - way * y) for x, y in outline] for outline in outlines]  # hatch lines: second constant
    levels = [v for outline in turned for _, v in outline]
    if not levels:
        return []
    step = pitch * math.sqrt(2)
    first, last = math.ceil(min(levels) / step), math.floor(max(levels) / step)
    lines = []
    for i in range(first, last + 1):
        level = (i + 1e-6) * step
        met = sorted(u for outline in turned for u in _met(outline, level))
        for a, b in zip(met[::2], met[1::2]):
            if b - a > 1e-3 * step:
                lines.append(tuple(((u + level) / 2, way * (u - level) / 2) for u in (a, b)))
    return lines


def _met(outline: list[Point], level: float) -> list[float]:
    found = []
    for i, (u, v) in enumerate(outline):
        u0, v0 = outline[i - 1]
        if (v0 < level) != (v < level):
            found.append(u0 + (u - u0) * (level - v0) / (v - v0))
    return found
