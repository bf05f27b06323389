"""Four-sided blocks of quadrilaterals with all boundary nodes given."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from colletfea.meshing.spacing import fractions


class Piece(NamedTuple):
    """A line, or an arc about `centre`, from `start` to `end`, (r, z) [mm].

    `parts` (n,) from 0 to 1 says where the nodes lie, as a share of the length, both ends
    included. `name` is the edge that the piece belongs to, None inside a body.
    """

    start: np.ndarray
    end: np.ndarray
    parts: np.ndarray
    name: str | None = None
    centre: np.ndarray | None = None

    def reversed(self) -> Piece:
        """The same piece walked the other way."""
        return self._replace(start=self.end, end=self.start, parts=1 - self.parts[::-1])


Side = tuple[Piece, ...]


class Block(NamedTuple):
    """A structured block of one body: four sides walked counter-clockwise in the (r, z) plane."""

    body: str
    sides: tuple[Side, Side, Side, Side]


def backwards(side: Side) -> Side:
    """A side walked the other way."""
    return tuple(piece.reversed() for piece in reversed(side))


def line(start: np.ndarray, end: np.ndarray, positions: np.ndarray, name: str | None = None) -> Side:
    """A side of one straight line between (r, z) [mm], divided in the proportions of `positions` (n,), of any unit."""
    return (Piece(np.asarray(start, float), np.asarray(end, float), fractions(positions), name),)


def arc(
    start: np.ndarray, end: np.ndarray, centre: np.ndarray, positions: np.ndarray, name: str | None
) -> Side:
    """A side of one arc of less than half a turn, divided like `line`."""
    return (Piece(start, end, fractions(positions), name, centre),)


def four_sided(
    corners: list, along: np.ndarray, across: np.ndarray, names: tuple
) -> tuple[Side, Side, Side, Side]:
    """Sides of a straight block: `along` divides sides 1 and 3 as side 1 runs, `across` 2 and 4 as 2 runs."""
    a, b, c, d = (np.asarray(corner, float) for corner in corners)
    return (
        line(a, b, along, names[0]),
        line(b, c, across, names[1]),
        backwards(line(d, c, along, names[2])),
        backwards(line(a, d, across, names[3])),
    )


def shares(side: Side) -> np.ndarray:
    """Positions (n,) of a side's nodes along it, as shares of the whole side from 0 to 1."""
    lengths = [piece_length(piece) for piece in side]
    starts = np.cumsum([0.0, *lengths])
    inner = [at + length * piece.parts[1:] for at, length, piece in zip(starts, lengths, side)]
    return fractions(np.concatenate([[0.0], *inner]))


def piece_length(piece: Piece) -> float:
    """Length of a line or an arc [mm]."""
    chord = float(np.hypot(*(piece.end - piece.start)))
    if piece.centre is None:
        return chord
    radius = float(np.hypot(*(piece.start - piece.centre)))
    return 2 * radius * float(np.arcsin(min(1.0, chord / (2 * radius))))
