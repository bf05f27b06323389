"""A section meshed: outline, gmsh, plain arrays, checked mesh with named edges."""

from __future__ import annotations

from typing import Any

import numpy as np

from colletfea.fea.elements.mesh import Mesh
from colletfea.fea.errors import MeshError
from colletfea.meshing.drawing import PartDrawing
from colletfea.meshing.outlines import Outline, edge_names, outline
from colletfea.meshing.quality import jacobians
from colletfea.meshing.section import Section
from colletfea.meshing.session import session

_QUAD8, _LINE3 = 16, 8  # gmsh's numbers of the 8-node quadrilateral and the 3-node line


def build(section: Section) -> Mesh:
    """Mesh of 8-node quadrilaterals with the named edges of `edge_names`.

    Bodies shaft, sleeve, ring, and flange where there is one (its nodes shared with the sleeve).
    Raises MeshError for a section that can't be drawn, and for a mesh that is not sound.
    """
    parts = outline(section)
    with session("section") as model:
        drawings = _draw(model, parts)
        model.mesh.generate(2)
        model.mesh.setOrder(2)
        mesh = _read(model, drawings)
    mesh.require_edges(*edge_names(section))
    require_sound(mesh, [{block.body for block in part} for part in parts])
    return mesh


def _draw(model: Any, parts: Outline) -> list[PartDrawing]:
    drawings = [PartDrawing(model, blocks) for blocks in parts]
    model.geo.synchronize()
    node = 1
    for drawing in drawings:
        node = drawing.divide(node)
    return drawings


def _read(model: Any, drawings: list[PartDrawing]) -> Mesh:
    """Arrays of the meshed model, renumbered to the nodes that elements use."""
    tags, coordinates, _ = model.mesh.getNodes()
    cells = {
        body: np.concatenate([_elements(model, 2, tag, _QUAD8, 8) for tag in surfaces])
        for drawing in drawings
        for body, surfaces in drawing.surfaces.items()
    }
    edges = {
        name: np.concatenate([_elements(model, 1, tag, _LINE3, 3) for tag in curves])
        for drawing in drawings
        for name, curves in drawing.curves.items()
    }
    used = np.unique(np.concatenate([c.ravel() for c in cells.values()]))
    order = np.argsort(tags)
    nodes = coordinates.reshape(-1, 3)[order[np.searchsorted(tags, used, sorter=order)], :2]
    return Mesh.build(
        nodes,
        {body: np.searchsorted(used, rows) for body, rows in cells.items()},
        {name: np.searchsorted(used, rows) for name, rows in edges.items()},
    )


def _elements(model: Any, dimension: int, tag: int, kind: int, nodes: int) -> np.ndarray:
    """Node tags (e, nodes) of an entity that must hold elements of one kind only."""
    kinds, _, connectivity = model.mesh.getElements(dimension, tag)
    if list(kinds) != [kind]:
        raise MeshError(
            f"meshing failed: block or curve {tag} holds element kinds {list(kinds)}, wanted {kind}"
        )
    return connectivity[0].reshape(-1, nodes).astype(int)


def require_sound(mesh: Mesh, parts: list[set[str]]) -> None:
    """Raise MeshError for an inverted element, and for two nodes of one part at one place."""
    for body, cells in mesh.cells.items():
        inverted = int(np.sum(jacobians(mesh.nodes[cells]).min(axis=1) <= 0))
        if inverted:
            raise MeshError(f"meshing failed: {inverted} elements of the {body} are inverted")
    near = 1e-9 * float(np.ptp(mesh.nodes, axis=0).max())
    for bodies in parts:
        places = np.round(mesh.nodes[mesh.body_nodes(*bodies)] / near)
        doubled = len(places) - len(np.unique(places, axis=0))
        if doubled:
            raise MeshError(
                f"meshing failed: {doubled} pairs of nodes of the {'/'.join(sorted(bodies))} coincide"
            )
