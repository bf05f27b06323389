"""Blocks drawn in gmsh, one part at a time, with the nodes of every curve already in place."""

from __future__ import annotations

from typing import Any

import numpy as np

from colletfea.meshing.blocks import Block, Piece

_POINT, _LINE = 15, 1  # gmsh's numbers of the 1-node and the 2-node element


class PartDrawing:
    """Points, curves and surfaces of one part; coincident ones are drawn once.

    `surfaces` {body: [tag]} and `curves` {edge name: [tag]} collect what was drawn.
    """

    def __init__(self, model: Any, blocks: tuple[Block, ...]) -> None:
        self.surfaces: dict[str, list[int]] = {}
        self.curves: dict[str, list[int]] = {}
        self._model = model
        self._points: dict[tuple[float, float], int] = {}
        self._pieces: dict[tuple[int, int], tuple[int, Piece]] = {}
        self._blocks: list[tuple[int, list[int]]] = []
        for block in blocks:
            self._add_block(block)

    def divide(self, first_node: int) -> int:
        """Put the nodes on all curves, numbered from `first_node`; returns the next free number.

        To be called once the geometry of every part is synchronized, which forgets all divisions.
        """
        points = list(self._points.values())
        nodes = dict(zip(points, range(first_node, first_node + len(points))))
        for point, node in nodes.items():
            self._place_point(point, node)
        free = first_node + len(points)
        for (start, end), (curve, piece) in self._pieces.items():
            free = self._place_curve(curve, piece, (nodes[start], nodes[end]), free)
        for surface, corners in self._blocks:
            self._model.mesh.setTransfiniteSurface(surface, "Left", corners)
            self._model.mesh.setRecombine(2, surface)
        return free

    def _add_block(self, block: Block) -> None:
        loop = [self._curve(piece) for side in block.sides for piece in side]
        geo = self._model.geo
        surface = geo.addPlaneSurface([geo.addCurveLoop(loop)])
        self._blocks.append((surface, [self._point(side[0].start) for side in block.sides]))
        self.surfaces.setdefault(block.body, []).append(surface)

    def _curve(self, piece: Piece) -> int:
        """Tag of the piece's curve, negative where it was drawn the other way before."""
        start, end = self._point(piece.start), self._point(piece.end)
        if (end, start) in self._pieces:
            return -self._pieces[end, start][0]
        if (start, end) not in self._pieces:
            curve = self._add_curve(piece, start, end)
            self._pieces[start, end] = curve, piece
            if piece.name:
                self.curves.setdefault(piece.name, []).append(curve)
        return self._pieces[start, end][0]

    def _add_curve(self, piece: Piece, start: int, end: int) -> int:
        if piece.centre is None:
            return self._model.geo.addLine(start, end)
        centre = self._model.geo.addPoint(*piece.centre, 0)
        return self._model.geo.addCircleArc(start, centre, end)

    def _point(self, at: np.ndarray) -> int:
        key = (round(float(at[0]), 9), round(float(at[1]), 9))
        if key not in self._points:
            self._points[key] = self._model.geo.addPoint(*at, 0)
        return self._points[key]

    def _place_point(self, point: int, node: int) -> None:
        mesh = self._model.mesh
        mesh.addNodes(0, point, [node], self._model.getValue(0, point, []))
        mesh.addElementsByType(point, _POINT, [], [node])

    def _place_curve(self, curve: int, piece: Piece, ends: tuple[int, int], first: int) -> int:
        """Nodes and line elements of a curve; returns the next free node number."""
        low, high = (bound[0] for bound in self._model.getParametrizationBounds(1, curve))
        at = low + (high - low) * piece.parts[1:-1]
        inner = np.arange(first, first + len(at))
        chain = np.concatenate([ends[:1], inner, ends[1:]])
        if len(at):
            self._model.mesh.addNodes(1, curve, inner, self._model.getValue(1, curve, at), at)
        self._model.mesh.addElementsByType(curve, _LINE, [], np.column_stack([chain[:-1], chain[1:]]).ravel())
        return first + len(at)
