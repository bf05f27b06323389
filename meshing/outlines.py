"""From a section's numbers to structured blocks: pure geometry, no mesh generator."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from colletfea.meshing.blocks import Block, Side, backwards, four_sided, line, shares
from colletfea.meshing.frame import Frame
from colletfea.meshing.section import Section, default_size, require_drawable
from colletfea.meshing.spacing import GROWTH, Spot, clip, divide

#: length of the shaft's seat past either end of the sleeve, over the sleeve's. Metal sleeves stretch by a thousandth, one
#: of 500 MPa by 0.07 before its push has no end (two such designs): points that went past the seat would be lost
_SEAT_BEYOND = 0.15

#: growth of elements away from an arc on faces that nothing presses on, see spacing.GROWTH: their rows go through the whole body, and
#: with radii of 0.02 nose walls a rounded part has half the elements; the ladders at its edges need as many iterations
_OFF_CONTACT = 1.0

#: blocks of each part; blocks of one part share the nodes on which they meet, parts share none
Outline = tuple[tuple[Block, ...], ...]


def outline(section: Section) -> Outline:
    """Blocks of shaft, sleeve (with its flange) and ring, at travel 0.

    Raises MeshError, one sentence a fault, for a section that can't be drawn.
    """
    require_drawable(section)
    sized = replace(section, size=section.size or default_size(section))
    return _shaft(sized), _sleeve(sized), _ring(sized)


def elements(section: Section) -> int:
    """How many elements the mesh of this section will have, without making it. Raises MeshError as `outline` does."""
    divisions = lambda side: len(shares(side)) - 1
    return sum(divisions(block.sides[0]) * divisions(block.sides[1]) for part in outline(section) for block in part)


def edge_names(section: Section) -> tuple[str, ...]:
    """Names of all edges that the mesh of this section must have."""
    flange = ("flange.front",) if section.flange_thickness else ()
    shaft = ("shaft.seat", "shaft.back", "shaft.front")
    sleeve = ("sleeve.bore", "sleeve.cone", "sleeve.nose", "sleeve.back")
    return (*shaft, *sleeve, *flange, "ring.cone", "ring.leading", "ring.trailing", "ring.outside")


def _shaft(s: Section) -> tuple[Block, ...]:
    low, high = -s.flange_thickness - s.beyond_back, s.length + s.beyond_front
    drift = max(s.size / 4, 0.002 * s.length)  # the nose moves by about the sleeve's axial strain
    spots = [
        *_sleeve_spots(s),  # under a sleeve's finer elements pressures would turn noisy
        Spot(-s.size / 4, s.size / 4, s.size / 4),
        Spot(s.length - drift, s.length + s.size / 4, s.size / 4),
    ]
    along = divide(low, high, clip(spots, low, high))
    surface = Spot(s.shaft_radius, s.shaft_radius, s.size / 2)
    across = divide(s.shaft_bore, s.shaft_radius, [surface], least=3)
    corners = [(s.shaft_bore, low), (s.shaft_radius, low), (s.shaft_radius, high), (s.shaft_bore, high)]
    back, _, front, inside = four_sided(corners, across, along, ("shaft.back", None, "shaft.front", None))
    return (Block("shaft", (back, _seat(s, along), front, inside)),)


def _seat(s: Section, along: np.ndarray) -> Side:
    """The shaft's outside, divided at z = along (n,): what the sleeve can come to lie on is named, contact sees no more."""
    beyond = _SEAT_BEYOND * s.length
    first = max(0, int(np.searchsorted(along, -beyond, side="right")) - 1)
    last = min(len(along) - 1, int(np.searchsorted(along, s.length + beyond)))
    cuts = ((0, first, None), (first, last, "shaft.seat"), (last, len(along) - 1, None))
    places = [(s.shaft_radius, z) for z in along]
    pieces = [line(places[a], places[b], along[a : b + 1], name) for a, b, name in cuts if a < b]
    return tuple(piece for side in pieces for piece in side)


def _sleeve(s: Section) -> tuple[Block, ...]:
    corners = [
        (s.root_radius, 0),
        (s.nose_cone_radius, s.length),
        (s.bore_radius, s.length),
        (s.bore_radius, 0),
    ]
    wall = s.length * np.tan(s.taper) / 2 + s.nose_wall
    surface = s.size * min(1.0, s.nose_wall / wall)
    frame = Frame(
        body="sleeve",
        corners=tuple(np.array(c, float) for c in corners),
        radius=s.nose_radius,
        size=s.size,
        leg_spots=_sleeve_spots(s),
        head_spots=[Spot(x, x, surface) for x in (0.0, s.nose_wall)],
        names=("sleeve.cone", "sleeve.nose", "sleeve.bore", None if s.flange_thickness else "sleeve.back"),
        stations=s.stations,
        growth=(GROWTH, _OFF_CONTACT),
    )
    blocks, root = frame.blocks()
    return (*blocks, *_flange(s, root)) if s.flange_thickness else tuple(blocks)


def _flange(s: Section, root: Side) -> tuple[Block, ...]:
    """Flange under the sleeve's root (walked outwards) and outside it."""
    back, bore, cone, rim = -s.flange_thickness, s.bore_radius, s.root_radius, s.flange_radius
    rows = shares(root)
    along = divide(back, 0, [Spot(0, 0, s.size / 4)], least=3)
    shared = line((cone, back), (cone, 0), along)
    inner = (
        line((bore, back), (cone, back), rows, "sleeve.back"),
        shared,
        backwards(root),
        backwards(line((bore, back), (bore, 0), along)),
    )
    first = (cone - bore) * (rows[-1] - rows[-2])
    across = divide(cone, rim, [Spot(cone, cone, first)], least=3)
    corners = [(cone, back), (rim, back), (rim, 0), (cone, 0)]
    outer = four_sided(corners, across, along, ("sleeve.back", None, "flange.front", None))
    return Block("flange", inner), Block("flange", outer)


def _ring(s: Section) -> tuple[Block, ...]:
    leading, trailing = s.ring_bore()
    low, high = s.ring_start, s.ring_end
    corners = [(s.ring_radius, high), (trailing, high), (leading, low), (s.ring_radius, low)]
    slant = float(np.hypot(s.ring_length, leading - trailing)) / s.ring_length
    along_bore = [
        Spot(slant * (high - x.high), slant * (high - x.low), slant * x.size) for x in _ring_spots(s)
    ]
    frame = Frame(
        body="ring",
        corners=tuple(np.array(c, float) for c in corners),
        radius=s.edge_radius,
        size=s.size,
        leg_spots=_ring_wall(s),
        head_spots=along_bore,
        names=("ring.trailing", "ring.cone", "ring.leading", "ring.outside"),
        least=s.least,
        growth=(_OFF_CONTACT, GROWTH),
    )
    return tuple(frame.blocks()[0])


def across_ring(section: Section) -> int:
    """Elements across the ring's wall that its size alone asks for; `Section.least` is not counted."""
    sized = replace(section, size=section.size or default_size(section))
    if sized.edge_radius:
        return 3  # a rounded edge has a layer of its own, of two at least
    leading = sized.ring_bore()[0]
    return len(divide(0, sized.ring_radius - leading, _ring_wall(sized))) - 1


def _ring_wall(s: Section) -> list[Spot]:
    """Sizes across the ring, from its outside."""
    thickness = s.ring_radius - s.ring_bore()[0]
    return [Spot(thickness, thickness, s.size / 2)]


def _cone_size(s: Section) -> float:
    """Element size along the cone [mm]: a short overlap still gets ten elements."""
    return min(s.size, s.overlap / 10)


def _sweep_size(s: Section) -> float:
    """Element size [mm] where an end of the other part sweeps."""
    return min(max(s.travel / 12, s.size / 4), s.size / 2)


def _sleeve_spots(s: Section) -> list[Spot]:
    """Sizes along the sleeve, in z: seat, cone, both ends, and what the ring's faces sweep."""
    spots = [
        Spot(0, s.length, s.size),
        Spot(max(0, s.ring_start), min(s.length, s.ring_end), _cone_size(s)),
        Spot(0, 0, s.size / 4),
        Spot(s.length, s.length, s.size / 4),
        *(Spot(z - s.travel, z, _sweep_size(s)) for z in (s.ring_start, s.ring_end)),
    ]
    return clip(spots, 0, s.length)


def _ring_spots(s: Section) -> list[Spot]:
    """Sizes along the ring's bore, in z at travel 0: cone, both ends, and what the sleeve's ends sweep."""
    spots = [
        Spot(0, s.length + s.travel, _cone_size(s)),
        *(Spot(z, z, s.size / 4) for z in (s.ring_start, s.ring_end)),
        *(Spot(z, z + s.travel, _sweep_size(s)) for z in (0, s.length)),
    ]
    return clip(spots, s.ring_start, s.ring_end)
