"""Neighbourhoods of a solved model solved again on finer meshes, each as a part of its own.

The cut is held where the larger mesh had it, and friction goes on from what it was there: one increment without travel. Each
step halves elements and neighbourhood alike, so that all cost the same. On a slit hub of 20 mm with an edge rounded by 0.2 mm,
seven steps with RADIUS 2, 4 and 9 end at a peak of 872, 868 and 866 MPa. Full Newton solves them: so few iterations on so
few elements, many of them at contact, don't pay for condensed bodies, which took 2.2 times as long.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from colletfea.fea.contact.contact import Contact
from colletfea.fea.contact.pair import SLIP, History
from colletfea.fea.elements.mesh import Mesh
from colletfea.fea.elements.shapes import line3
from colletfea.fea.model.balance import Balance
from colletfea.fea.model.drives import R, Z, Drive
from colletfea.fea.model.model import Model
from colletfea.fea.solvers.full import FullNewton
from colletfea.fea.solvers.newton import Settings
from colletfea.fea.stepping.increment import solve_increment
from colletfea.fea.stepping.state import State, initial_state
from colletfea.meshing.zoom import Arc, Zoom, zoomed

Focus = Mapping[str, np.ndarray]
#: radius of a neighbourhood over the largest element at its focus, before that is split
RADIUS = 2.5
#: share of what was out of balance below which a step must bring it, for the factor to be used again: in 26 ladders of rounded edges half
#: as many factors, peaks the same to 1 %; with 0.05 and 0.2 as many
_KEEP = 0.1
#: friction that slid goes on sliding: its trial stress is taken as many times what it was, and cut back to the limit. It must outlast
#: what points move back by as finer elements settle: with 10 springs of 5 E/h turned round, and a peak fell by 1 %
_SLIDES = 50.0
#: elements of two bodies are alike within this factor
_ALIKE = 1.6


@dataclass(frozen=True)
class Remake:
    """How a model is made again on a piece of its mesh.

    held: nodes by component that keep their displacement beside those of the cut. joined: bodies that share nodes with
    another one, by its name, and are taken with it. arcs: rounded corners of the outline.
    """

    build: Callable[[Mesh], Model]
    held: Callable[[Mesh], dict[int, np.ndarray]]
    settings: Settings
    arcs: tuple[Arc, ...] = ()
    joined: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Level:
    """One mesh with its state; zoom is how it hangs in the level before, None for the whole model."""

    model: Model
    state: State
    zoom: Zoom | None = None

    @property
    def cut(self) -> np.ndarray:
        """Nodes (c,) at which it was cut out of the level before."""
        return np.empty(0, int) if self.zoom is None else self.zoom.cut


def step(remake: Remake, level: Level, focus: Focus, radius: float) -> Level:
    """The next level: elements of each body within radius [mm] of its focus (2,), undeformed (r, z) [mm].

    Split are those of the bodies that coarser() names. Raises NotConverged.
    """
    mesh, split = level.model.mesh, coarser(level.model.mesh, focus)
    places = {**focus, **{b: focus[other] for b, other in remake.joined.items() if other in focus and b in mesh.cells}}
    keep = {body: _near(mesh, body, place, radius) for body, place in places.items()}
    zoom = zoomed(mesh, keep, split | {b for b, other in remake.joined.items() if other in split}, level.cut, remake.arcs)
    zoom = replace(zoom, cut=np.union1d(zoom.cut, _left_alone(level.model.contact, zoom.mesh)))
    model = remake.build(zoom.mesh)
    u = zoom.carried(level.state.u.reshape(-1, level.model.unknowns)).ravel()
    solver = FullNewton(Balance.of(model, _drives(remake, zoom, u)), remake.settings, _KEEP)
    start = initial_state(solver.balance, level.state.t)
    history = _history(level, zoom, model.contact, u)
    old = replace(start, u=u, history=history, contact=model.contact.evaluate(u, history))
    return Level(model, solve_increment(solver, old, history, u, old.t, history.pressure), zoom)


def coarser(mesh: Mesh, focus: Focus) -> set[str]:
    """The bodies whose elements are the larger ones at the focus: all where they are alike."""
    sizes = {body: size_at(mesh, body, place) for body, place in focus.items()}
    return {body for body, size in sizes.items() if size > max(sizes.values()) / _ALIKE}


def size_at(mesh: Mesh, body: str, place: np.ndarray) -> float:
    """Longest side [mm] of a body's elements that meet in the corner nearest to a place (2,), (r, z) [mm]."""
    corners = mesh.nodes[mesh.cells[body][_meeting(mesh, body, place), :4]]
    return float(np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=-1).max())


def largest_size(mesh: Mesh, focus: Focus) -> float:
    """The largest of size_at [mm] over the bodies in focus."""
    return max(size_at(mesh, body, place) for body, place in focus.items())


def facing(level: Level, own: str, partner: str, place: np.ndarray) -> np.ndarray:
    """The undeformed point (2,), (r, z) [mm], of the partner's edge that lies nearest now to the own edge's node nearest to a place (2,)."""
    mesh = level.model.mesh
    moved = mesh.nodes + level.state.u.reshape(-1, level.model.unknowns)[:, :2]
    nodes, chain = mesh.edge_nodes(own), mesh.edge_nodes(partner)
    here = moved[nodes[np.argmin(np.hypot(*(mesh.nodes[nodes] - place).T))]]
    start, run = moved[chain[:-1]], np.diff(moved[chain], axis=0)
    share = np.clip(np.sum((here - start) * run, axis=1) / np.sum(run**2, axis=1), 0.0, 1.0)
    k = int(np.argmin(np.hypot(*(start + share[:, None] * run - here).T)))
    return (1 - share[k]) * mesh.nodes[chain[k]] + share[k] * mesh.nodes[chain[k + 1]]


def hottest(level: Level, own: str, partner: str, place: np.ndarray, radius: float) -> np.ndarray:
    """Where an edge presses hardest on its partner within radius [mm] of a place (2,), undeformed; the place where it does not."""
    mesh, contact, ev = level.model.mesh, level.model.contact, level.state.contact
    number = next((k for k, p in enumerate(contact.pairs) if {p.follower, p.leader} == {own, partner}), None)
    if number is None:
        return place
    part = contact.points[number]
    if contact.pairs[number].follower == own:
        points = np.einsum("an,ank->nk", contact.shape[:, part], mesh.nodes[contact.nodes_of[:, part]])
    else:
        on, xi = contact.leader[ev.foot.edge[part]], ev.foot.xi[part]
        points = np.einsum("na,nak->nk", line3(np.clip(xi, -1, 1))[0], mesh.nodes[on])
    pressure = np.where(np.hypot(*(points - place).T) < radius, contact.edge_means(ev.pressure)[part], 0.0)
    k = int(np.argmax(pressure))
    return points[k] if pressure[k] > 0 else place


def _near(mesh: Mesh, body: str, place: np.ndarray, radius: float) -> np.ndarray:
    """Elements (e,) of a body whose middle lies within radius [mm] of a place, and those that meet in the corner nearest to it."""
    away = np.hypot(*(mesh.nodes[mesh.cells[body][:, :4]].mean(axis=1) - place).T)
    return (away <= radius) | _meeting(mesh, body, place)


def _meeting(mesh: Mesh, body: str, place: np.ndarray) -> np.ndarray:
    """Elements (e,) of a body that meet in the corner nearest to a place."""
    corners = mesh.cells[body][:, :4]
    nearest = corners.flat[np.argmin(np.hypot(*(mesh.nodes[corners] - place).reshape(-1, 2).T))]
    return np.any(corners == nearest, axis=1)


def _left_alone(contact: Contact, mesh: Mesh) -> np.ndarray:
    """Nodes (k,) on edges that touched what is not in the mesh: they go with the cut."""
    pairs = [{p.follower, p.leader} & mesh.edges.keys() for p in contact.pairs]
    alone = [name for names in pairs if len(names) == 1 for name in names]
    return np.unique(np.concatenate([np.empty(0, int), *(mesh.edge_nodes(name) for name in alone)]))


def _drives(remake: Remake, zoom: Zoom, u: np.ndarray) -> list[Drive]:
    """The cut, and what the whole model holds: each node keeps its carried displacement [mm]."""
    moved, held = u.reshape(-1, 2), remake.held(zoom.mesh)
    given = {c: np.union1d(zoom.cut, held.get(c, np.empty(0, int))).astype(int) for c in (R, Z)}
    return [Drive(f"cut {c}", nodes, c, lambda t, n=nodes, c=c: moved[n, c]) for c, nodes in given.items() if len(nodes)]


def _history(level: Level, zoom: Zoom, contact: Contact, u: np.ndarray) -> History:
    """Pressures [MPa] and friction of the larger mesh's points at the new ones'; those that slid are made to slide on."""
    old, ev = level.model.contact, level.state.contact
    pressure, traction = np.zeros(len(contact.weights)), np.zeros((len(contact.weights), 1))
    sliding = ev.traction[:, 0] * np.where(ev.status == SLIP, _SLIDES, 1.0)
    names = [p.name for p in old.pairs]
    for pair, part in zip(contact.pairs, contact.points):
        before = old.points[names.index(pair.name)]
        there = (old.edge + _share(old))[before] - old.edge[before.start]
        edge = contact.edge[part] - contact.edge[part.start]
        rows, begins, width = (of[pair.follower][edge] for of in (zoom.rows, zoom.begins, zoom.width))
        place, order = rows + begins + width * _share(contact)[part], np.argsort(there)
        for values, found in ((ev.pressure, pressure), (sliding, traction[:, 0])):
            found[part] = np.interp(place, there[order], values[before][order])
    gap, arc = contact.feet(u)
    gap = np.where(np.isfinite(gap), 0.0, np.inf)
    return replace(contact.start(), traction=traction, arc=arc, gap=gap, pressure=np.maximum(pressure, 0.0))


def _share(contact: Contact) -> np.ndarray:
    """Where on its follower edge each point lies (n,), 0 at the first node, 1 at the last."""
    return (contact.slope[0] + 1.5) / 2
