"""Parts as solids by gmsh's OpenCASCADE kernel: turned from an outline, then slit and drilled. Lengths in mm, angles in rad."""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import combinations
from math import cos, pi, sin
from pathlib import Path
from typing import Any, Iterable, NamedTuple

import numpy as np

from colletfea.fea.elements.mesh import MeshError
from colletfea.meshing.frame import Fillet
from colletfea.meshing.session import session, step_text


_Point = tuple[float, float]


class Corner(NamedTuple):
    """A corner of an outline at (r, z) [mm], rounded with a radius [mm] or sharp (0)."""

    r: float
    z: float
    radius: float = 0.0


class Slit(NamedTuple):
    """A cut with parallel flanks from the axis outwards: direction [rad], width, and the z between which it runs [mm]."""

    angle: float
    width: float
    low: float
    high: float


class Hole(NamedTuple):
    """A round hole along the axis: direction [rad], radius of the circle its centre lies on, diameter, and its z [mm]."""

    angle: float
    circle: float
    diameter: float
    low: float
    high: float


@dataclass(frozen=True)
class Part:
    """A turned part: corners of its closed outline in order, r >= 0, and what is cut from it afterwards.

    pieces: how many it comes out in; two through slits leave halves.
    """

    name: str
    corners: tuple[Corner, ...]
    slits: tuple[Slit, ...] = ()
    holes: tuple[Hole, ...] = ()
    pieces: int = 1


@dataclass(frozen=True)
class Measures:
    """What a solid measures: volume [mm3], inertia about the z axis per density [mm5], centre of mass (x, y, z) [mm], faces."""

    volume: float
    inertia: float
    centre: tuple[float, float, float]
    faces: int


@dataclass(frozen=True)
class Solids:
    """Text of a STEP file and measures by part's name, and text of the file of all."""

    texts: dict[str, str]
    together: str
    measures: dict[str, Measures]


def make(parts: Iterable[Part], name: str) -> Solids:
    """Solids of all parts as they stand, each alone and all together under `name`.

    Raises MeshError where a part comes out in other pieces than it names, is not closed, or can't be made.
    """
    with session(name) as model:
        tags = _solids(model, parts)
        for part, pieces in tags.items():
            for tag in pieces:
                require_closed(model, part, tag)
        measures = {part: _sum([_measures(model, tag) for tag in pieces]) for part, pieces in tags.items()}
        texts = {part: _named(step_text(pieces), part, _names(part, pieces)) for part, pieces in tags.items()}
        every = [name for part, pieces in tags.items() for name in _names(part, pieces)]
        together = _named(step_text(sum(tags.values(), [])), name, every)
    return Solids(texts, together, measures)


def shared(parts: Iterable[Part]) -> dict[tuple[str, str], float]:
    """Volume [mm3] that two parts both fill, by pair of names: 0 where they only touch. Raises MeshError as `make`."""
    found = {}
    with session("shared") as model:
        tags = _solids(model, parts)
        for pair in combinations(tags, 2):
            both = [[(3, tag) for tag in tags[name]] for name in pair]
            common, _ = model.occ.intersect(*both, removeObject=False, removeTool=False)
            found[pair] = float(sum(model.occ.getMass(*entity) for entity in common if entity[0] == 3))
    return found


def read_back(path: str | Path) -> list[Measures]:
    """What the solids of a STEP file measure, in the order of the file. Raises MeshError where one is not closed."""
    with session("file") as model:
        tags = [tag for dimension, tag in model.occ.importShapes(str(path)) if dimension == 3]
        model.occ.synchronize()
        for number, tag in enumerate(tags, 1):
            require_closed(model, f"solid {number}", tag)
        return [_measures(model, tag) for tag in tags]


def _solids(model: Any, parts: Iterable[Part]) -> dict[str, list[int]]:
    """Tags of each part's solids by its name; the model is synchronized."""
    tags = {part.name: _pieces(model, part) for part in parts}
    model.occ.synchronize()
    return tags


def _names(part: str, pieces: list[int]) -> list[str]:
    return [part] if len(pieces) == 1 else [f"{part} {number}" for number in range(1, len(pieces) + 1)]


def _pieces(model: Any, part: Part) -> list[int]:
    """Tags of the part's solids, as many as it names."""
    body = [(3, _turned(model, part.corners))]
    tools = [_slit_box(model, part, slit) for slit in part.slits] + [_drill(model, hole) for hole in part.holes]
    if tools:
        body, _ = model.occ.cut(body, tools)
    if len(body) != part.pieces:
        raise MeshError(f"{part.name}: pieces = {part.pieces}, but it comes out in {len(body)}")
    return [tag for _, tag in body]


def _turned(model: Any, corners: tuple[Corner, ...]) -> int:
    """Tag of the solid of revolution about z."""
    occ = model.occ
    after = [*corners[1:], corners[0]]
    stretches = [_stretch(corners[i - 1], corner, after[i]) for i, corner in enumerate(corners)]
    points = [[occ.addPoint(r, 0, z) for r, z in dict.fromkeys(stretch[:2])] for stretch in stretches]
    curves = []
    for i, (_, _, centre) in enumerate(stretches):
        if centre:
            curves.append(occ.addCircleArc(points[i][0], occ.addPoint(centre[0], 0, centre[1]), points[i][-1]))
        curves.append(occ.addLine(points[i][-1], points[(i + 1) % len(points)][0]))
    surface = occ.addPlaneSurface([occ.addCurveLoop(curves)])
    turned = occ.revolve([(2, surface)], 0, 0, 0, 0, 0, 1, 2 * pi)
    occ.remove([(2, surface)], recursive=True)
    return next(tag for dimension, tag in turned if dimension == 3)


def _stretch(before: Corner, corner: Corner, after: Corner) -> tuple[_Point, _Point, _Point | None]:
    """Where the arc of a rounded corner begins and ends, and its centre; the corner itself twice where it is sharp."""
    if not corner.radius:
        return corner[:2], corner[:2], None
    fillet = Fillet.at(*(np.array(c[:2]) for c in (before, corner, after)), corner.radius)
    return tuple(fillet.on_leg), tuple(fillet.on_head), tuple(fillet.centre)


def _slit_box(model: Any, part: Part, slit: Slit) -> tuple[int, int]:
    reach = 1.5 * max(corner.r for corner in part.corners)
    box = model.occ.addBox(0, -slit.width / 2, slit.low, reach, slit.width, slit.high - slit.low)
    model.occ.rotate([(3, box)], 0, 0, 0, 0, 0, 1, slit.angle)
    return 3, box


def _drill(model: Any, hole: Hole) -> tuple[int, int]:
    x, y = hole.circle * cos(hole.angle), hole.circle * sin(hole.angle)
    return 3, model.occ.addCylinder(x, y, hole.low, 0, 0, hole.high - hole.low, hole.diameter / 2)


def _measures(model: Any, tag: int) -> Measures:
    volume = model.occ.getMass(3, tag)
    x, y, z = model.occ.getCenterOfMass(3, tag)
    about_centre = float(model.occ.getMatrixOfInertia(3, tag)[8])
    faces = len(model.getBoundary([(3, tag)], oriented=False))
    return Measures(volume, about_centre + volume * (x * x + y * y), (x, y, z), faces)


def _sum(pieces: list[Measures]) -> Measures:
    volume = sum(piece.volume for piece in pieces)
    centre = [sum(piece.volume * piece.centre[axis] for piece in pieces) / volume for axis in range(3)]
    return Measures(volume, sum(piece.inertia for piece in pieces), tuple(centre), sum(piece.faces for piece in pieces))


def require_closed(model: Any, name: str, tag: int) -> None:
    """Every edge of the solid's faces must border on two of them, or on one twice where a face closes on itself.

    Raises MeshError.
    """
    borders: dict[int, int] = {}
    for _, face in model.getBoundary([(3, tag)], oriented=False):
        for loop in model.occ.getCurveLoops(face)[1]:
            for curve in loop:
                borders[abs(curve)] = borders.get(abs(curve), 0) + 1
    if not borders or set(borders.values()) != {2}:
        raise MeshError(f"{name}: its faces do not close to a solid")


_PRODUCT = re.compile(r"(?<![A-Z_])PRODUCT\(\s*'[^']*'\s*,\s*'[^']*'")
_SOLID = re.compile(r"MANIFOLD_SOLID_BREP\('[^']*'")
_HEADER = re.compile(r"FILE_NAME\('[^']*'(,\s*'[^']*'),\s*\('[^']*'\)\s*,\s*\(\s*'[^']*'\)")
_DESCRIPTION = re.compile(r"FILE_DESCRIPTION\(\('[^']*'\)")


def _named(text: str, whole: str, parts: list[str]) -> str:
    """The kernel's STEP text with the names of the whole and its parts instead of its own numbers."""
    title, names = _quoted(whole), [_quoted(part) for part in parts]
    products = [title, *names] if len(parts) > 1 else names
    for pattern, made in (
        (_PRODUCT, [f"PRODUCT({name},{name}" for name in products]),
        (_SOLID, [f"MANIFOLD_SOLID_BREP({name}" for name in names]),
    ):
        if len(pattern.findall(text)) != len(made):
            raise MeshError(f"{whole}: the kernel wrote other parts than it was given")
        each = iter(made)
        text = pattern.sub(lambda _, each=each: next(each), text)
    text = _DESCRIPTION.sub(lambda _: f"FILE_DESCRIPTION(({title})", text, count=1)
    return _HEADER.sub(lambda found: f"FILE_NAME({title}{found[1]},(''),('')", text, count=1)


def _quoted(name: str) -> str:
    """A name as a string of a STEP file: plain ASCII, all else by its code (ISO 10303-21, X4)."""
    plain = name.replace("'", "''").replace("\\", "\\\\")
    return "'" + "".join(c if " " <= c <= "~" else f"\\X4\\{ord(c):08X}\\X0\\" for c in plain) + "'"
