"""A four-sided body with two corners that may be rounded, cut into structured blocks.

A block corner may not lie on a smooth boundary: its element would have a corner of 180 degrees.
A rounded body therefore gets a layer along legs and head, mitred from the middle of each arc
to an inner corner where three blocks meet at about 120 degrees.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from colletfea.meshing.blocks import Block, Side, arc, backwards, four_sided, line, shares
from colletfea.meshing.spacing import GROWTH, Spot, divide, fractions

_BLUR = 12  # passes; enough to even out the ten or so steps of a rounded nose


@dataclass(frozen=True)
class Fillet:
    """A corner between a leg and the head, rounded with tangent points on both, (r, z) [mm]."""

    vertex: np.ndarray
    on_leg: np.ndarray
    middle: np.ndarray
    on_head: np.ndarray
    centre: np.ndarray
    inwards: np.ndarray
    half_angle: float
    tangent: float
    half_arc: float

    @classmethod
    def at(cls, leg_start: np.ndarray, vertex: np.ndarray, head_end: np.ndarray, radius: float) -> Fillet:
        """Round the corner at `vertex` with a radius [mm]; its sides lead to `leg_start` and `head_end`, each (2,), (r, z) [mm]."""
        leg, head = _unit(leg_start - vertex), _unit(head_end - vertex)
        inwards = _unit(leg + head)
        half = float(np.arccos(inwards @ leg))
        tangent, centre = radius / np.tan(half), vertex + inwards * radius / np.sin(half)
        on_leg, on_head = vertex + leg * tangent, vertex + head * tangent
        middle = centre - inwards * radius
        return cls(
            vertex, on_leg, middle, on_head, centre, inwards, half, tangent, radius * (np.pi / 2 - half)
        )

    def inside(self, depth: float) -> np.ndarray:
        """The point (2,), (r, z) [mm], `depth` [mm] away from leg and head, unrounded."""
        return self.vertex + self.inwards * depth / np.sin(self.half_angle)


def _unit(vector: np.ndarray) -> np.ndarray:
    return vector / np.hypot(*vector)


@dataclass(frozen=True)
class Frame:
    """Body a, b, c, d (counter-clockwise, (r, z) [mm]): legs a-b and c-d, head b-c, open side d-a.

    Both legs are divided alike, in the coordinate that runs from the open side along leg d-c [mm];
    head and open side alike, from b along the head [mm]. Spots and stations are given in these.
    `names` are the edges of leg a-b, head, leg c-d and open side; `size` [mm] is that at contacts,
    `least` the fewest elements along the legs of a sharp body. `growth` [-] is how fast elements grow
    away from the arcs along legs and head: faster on faces without contact, whose rows go through the whole body.
    """

    body: str
    corners: tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]
    radius: float
    size: float
    leg_spots: list[Spot]
    head_spots: list[Spot]
    names: tuple[str, str, str, str | None]
    stations: tuple[float, ...] = ()
    least: int = 1
    growth: tuple[float, float] = (GROWTH, GROWTH)

    def blocks(self) -> tuple[list[Block], Side]:
        """The blocks, and the open side walked from d to a."""
        return self._rounded() if self.radius else self._sharp()

    @property
    def leg(self) -> float:
        """Length of leg d-c [mm], unrounded."""
        return float(np.hypot(*(self.corners[3] - self.corners[2])))

    @property
    def head(self) -> float:
        """Length of the head [mm], unrounded."""
        return float(np.hypot(*(self.corners[2] - self.corners[1])))

    def _sharp(self) -> tuple[list[Block], Side]:
        along = divide(0, self.leg, self.leg_spots, self.stations, self.least)
        across = divide(0, self.head, self.head_spots, least=3)
        sides = four_sided(list(self.corners), along, across, self.names)
        return [Block(self.body, sides)], sides[3]

    def _rounded(self) -> tuple[list[Block], Side]:
        a, _, _, d = self.corners
        inner = [fillet.inside(self._depth) for fillet in self._fillets]
        leg_a, leg_d, head = self._leg(0), self._leg(1), self._head()
        evened = self._evened(shares(head))
        open_a, open_d = self._layer_ends(len(evened) - 1)
        inner_a = line(open_a, inner[0], self._facing(leg_a, 0))
        inner_d = line(open_d, inner[1], self._facing(leg_d, 1))
        inner_head = line(*inner, evened)
        mitre_b, mitre_c = (line(f.middle, p, self._layer) for f, p in zip(self._fillets, inner))
        ends = line(a, open_a, self._layer, self.names[3]), line(d, open_d, self._layer, self.names[3])
        between = line(open_a, open_d, self._fanned(evened), self.names[3])
        sides = [
            (leg_a, mitre_b, backwards(inner_a), backwards(ends[0])),
            (head, mitre_c, backwards(inner_head), backwards(mitre_b)),
            (backwards(leg_d), ends[1], inner_d, backwards(mitre_c)),
            (inner_a, inner_head, backwards(inner_d), backwards(between)),
        ]
        return [Block(self.body, s) for s in sides], (*ends[1], *backwards(between), *backwards(ends[0]))

    @cached_property
    def _fillets(self) -> tuple[Fillet, Fillet]:
        a, b, c, d = self.corners
        return Fillet.at(a, b, c, self.radius), Fillet.at(d, c, b, self.radius)

    @property
    def _depth(self) -> float:
        """Distance of the inner corners from legs and head [mm].

        In proportion to the radius, so that lines from the arcs' ends go straight inwards, but not so
        small that the layer's elements become slivers.
        """
        return min(max(0.8 * self.radius, self.size / 8), 0.3 * self.head, 0.3 * self.leg)

    def _layer_ends(self, core_rows: int) -> tuple[np.ndarray, np.ndarray]:
        """Ends of the layers on the open side: as thick there as their share of the rows, within limits."""
        a, _, _, d = self.corners
        rows = len(self._layer) - 1
        share = min((self._depth + self.leg / 4) / self.head, rows / (core_rows + 2 * rows))
        return a + share * (d - a), d + share * (a - d)

    @cached_property
    def _arc(self) -> np.ndarray:
        """Division of every half arc.

        One element at least: push forces of nine couplings are within 0.15 % of those with four, and what an arc's pressure peaks at
        is looked for on finer meshes.
        """
        longest = max(f.half_arc for f in self._fillets)
        return np.linspace(0, 1, 1 + max(1, round(longest / (self.size / 3))))

    @cached_property
    def _fine(self) -> float:
        """Element size on the arcs [mm]."""
        return max(f.half_arc for f in self._fillets) * self._arc[1]

    @cached_property
    def _layer(self) -> np.ndarray:
        """Division across the layer, from the outside inwards."""
        thickness = max(float(np.hypot(*(f.inside(self._depth) - f.middle))) for f in self._fillets)
        return fractions(divide(0, thickness, [Spot(0, 0, self._fine)], least=2))

    @property
    def _cut(self) -> float:
        """Where the legs' nodes stop facing each other squarely, in the legs' coordinate [mm]."""
        straight = self.leg - self._fillets[1].tangent
        return max(straight - 6 * self._depth, straight / 3, *self.stations)

    @cached_property
    def _straight(self) -> np.ndarray:
        """Division of the straight part of leg d-c [mm]."""
        end = self.leg - self._fillets[1].tangent
        return divide(0, end, [*self.leg_spots, Spot(end, end, self._fine, self.growth[0])], (*self.stations, self._cut))

    def _leg(self, which: int) -> Side:
        """Straight part and half arc of leg a-b (0) or d-c (1), from the open side."""
        start, fillet, name = self.corners[-which], self._fillets[which], self.names[2 * which]
        length = float(np.hypot(*(fillet.vertex - start)))
        cut, end = self._cut / self.leg, 1 - fillet.tangent / length
        share = self._straight / self.leg
        straight = np.interp(share, [0, cut, share[-1]], [0, cut, end])
        return (
            *line(start, fillet.on_leg, straight, name),
            *arc(fillet.on_leg, fillet.middle, fillet.centre, self._arc, name),
        )

    def _facing(self, leg: Side, which: int) -> np.ndarray:
        """Positions on the layer's inner line that face a leg's nodes."""
        fillet = self._fillets[which]
        length = float(np.hypot(*(fillet.vertex - self.corners[-which])))
        outer = shares(leg) * (length - fillet.tangent + fillet.half_arc) / length
        cut, end = self._cut / self.leg, 1 - self._depth / (length * np.sin(2 * fillet.half_angle))
        return np.interp(outer, [0, cut, outer[-1]], [0, cut, end])

    def _evened(self, outer: np.ndarray) -> np.ndarray:
        """Positions (n,) inside that face those of the head, their steps blurred over the neighbours.

        The arcs' fine steps need not go on inside; but no node moves by more than half the layer.
        """
        steps = np.diff(outer)
        for _ in range(_BLUR):
            padded = np.pad(steps, 1, mode="edge")
            steps = (padded[:-2] + 2 * steps + padded[2:]) / 4
        even = fractions(np.concatenate([[0.0], np.cumsum(steps)]))
        reach = self._depth / (2 * self.head)
        return np.clip(even, outer - reach, outer + reach)

    def _fanned(self, inner: np.ndarray) -> np.ndarray:
        """Positions (n,) on the open side: as even as the legs' length allows without much slant."""
        reach = self.leg / (4 * self.head)
        return np.clip(np.linspace(0, 1, len(inner)), inner - reach, inner + reach)

    def _head(self) -> Side:
        """The head between the middles of both arcs, from b to c."""
        first, last = self._fillets
        low, high = first.tangent, self.head - last.tangent
        fine = [Spot(x, x, self._fine, self.growth[1]) for x in (low, high)]
        middle = divide(low, high, [*self.head_spots, *fine])
        return (
            *arc(first.middle, first.on_head, first.centre, self._arc, self.names[1]),
            *line(first.on_head, last.on_head, middle, self.names[1]),
            *arc(last.on_head, last.middle, last.centre, self._arc, self.names[1]),
        )
