"""A ladder of meshes at the places where contacts end: what a peak there does when elements are halved again and again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from colletfea.cases.casefile.case import Case
from colletfea.cases.simulation import model as models
from colletfea.cases.simulation import push, stress, zoom
from colletfea.cases.simulation.model import CONE, SLEEVE_CONE
from colletfea.cases.simulation.zoom import Focus, Level, Remake
from colletfea.cases.simulation.pushed import Push
from colletfea.fea.bodies.stress import cauchy, von_mises
from colletfea.fea.elements.mesh import Mesh
from colletfea.fea.errors import NotConverged
from colletfea.fea.stepping.state import State
from colletfea.meshing.rounding import LEADING, MOUTH, NOSE, TRAILING, rounded_edges
from colletfea.meshing.zoom import Arc

VON_MISES, HOOP, PRESSURE = "von Mises stress", "hoop tension", "contact pressure"
#: halvings of a sharp edge's ladder, none on the quick level, and steps of any ladder at most
HALVINGS, STEPS = {"quick": 0, "default": 2, "fine": 4}, 16
#: radius of a rounded edge over its smallest element: where values may have settled, and where the ladder ends at the latest
SHARE, LAST = 100, 400
#: values of a rounded edge have settled when a halving changes them by less than this share
SETTLED = 0.02
#: force out of balance of a neighbourhood, over its force scale: peaks of 26 ladders are the same to 1 % as with 1e-9
_RESIDUAL = 1e-6
#: zoom.RADIUS where elements are larger than a part of the edge's radius: they do not see the strip that presses, and what they say of
#: the cut is rough. Pressures of 26 ladders are within 3 % of those with 5 throughout, with 2.5 from the first level on within 4 %
_WIDE, _BLIND = 3.5, 5
#: a largest value this near the rim of where it is looked for, over that radius, lies outside
_RIM = 0.8
#: a largest value that is by this share less in a smaller neighbourhood, on the same mesh, is not the one that was seen before
_LEFT = 0.01
_WORDS = {
    LEADING: "ring's leading edge", TRAILING: "ring's trailing edge", NOSE: "sleeve's nose on the cone",
    MOUTH: "sleeve's nose on the bore", "sleeve.cone": "sleeve's root", "sleeve.bore": "sleeve's back end on the bore",
}


@dataclass(frozen=True)
class Spot:
    """A place where a contact ends or a corner re-enters: in words, its edge and the partner's, where it lies undeformed (2,), (r, z)
    [mm], and the radius of its rounding [mm]. partner is empty where nothing presses there; a rounded edge's place is where its
    arc begins: it presses hardest next to that."""

    words: str
    edge: str
    partner: str
    place: np.ndarray
    radius: float = 0.0

    def on(self, level: Level, reach: float) -> Spot:
        """The spot at the place that a level shows, within reach [mm] of where it was: a rounded edge's peak is looked for."""
        if not self.radius or not self.pressed(level):
            return self
        return replace(self, place=zoom.hottest(level, self.edge, self.partner, self.place, min(reach, self.radius)))

    def focus(self, level: Level) -> Focus:
        """The place on each body, as the level has moved them."""
        own = {self.edge.split(".")[0]: self.place}
        if not self.pressed(level):
            return own
        return own | {self.partner.split(".")[0]: zoom.facing(level, self.edge, self.partner, self.place)}

    def pressed(self, level: Level) -> bool:
        """Whether the level has both edges."""
        return bool(self.partner) and {self.edge, self.partner} <= level.model.mesh.edges.keys()


@dataclass(frozen=True)
class Change:
    """What a halving of all elements did to a largest value within the neighbourhood: before and after, and its place now."""

    before: float
    after: float
    place: np.ndarray


@dataclass(frozen=True)
class Ladder:
    """levels from the whole model on; changes {(body or pair, quantity): one a halving}; size [mm] of the smallest elements.

    reach [mm] is the radius of the largest neighbourhood; failed: why it ended early, else empty.
    """

    spot: Spot
    levels: list[Level]
    changes: dict[tuple[str, str], list[Change]]
    size: float
    reach: float
    failed: str = ""


@dataclass(frozen=True)
class End:
    """The end of a push as another process can be given it: mesh, element size at the contact [mm], cone's follower and slide, state."""

    mesh: Mesh
    size: float
    follower: str
    slide: float
    state: State

    @classmethod
    def of(cls, pushed: Push) -> End:
        """The end of a push."""
        cone = next(p for p in pushed.model.contact.pairs if p.name == CONE)
        return cls(pushed.model.mesh, pushed.size, pushed.follower, cone.slide, pushed.states[-1])

    @property
    def flowed(self) -> bool:
        """Whether metal has flowed anywhere."""
        return self.state.flow is not None and bool(np.any(self.state.flow.alpha))

    def unflowed(self, case: Case) -> tuple[Case, End]:
        """Case and end of the push as elastic ones, which they are where nothing has flowed."""
        elastic = replace(case, solver=replace(case.solver, plastic=False))
        return elastic, replace(self, state=replace(self.state, flow=None))

    def whole(self, case: Case) -> Level:
        """The whole coupling at the end; case is that of the corner."""
        return Level(models.of(case, self.mesh, self.slide, follower=self.follower), self.state)


def remake_of(case: Case, whole: models.Model, size: float) -> Remake:
    """How pieces of a case's model are made."""
    follower = next(p.follower for p in whole.contact.pairs if p.name == CONE)
    drives = models.push_drives(case)

    def held(mesh: Mesh) -> dict[int, np.ndarray]:
        edges = {c: [d.where for d in drives if d.component == c and d.where in mesh.edges] for c in (0, 1)}
        return {c: np.unique(np.concatenate([mesh.edge_nodes(name) for name in names])) for c, names in edges.items() if names}

    arcs = tuple(_arc(edge) for edge in rounded_edges(models.section(case, 0.0, size)).values())
    settings = replace(push.settings(case), residual=_RESIDUAL)
    return Remake(lambda mesh: models.of(case, mesh, follower=follower), held, settings, arcs, {"flange": "sleeve"})


def _arc(edge) -> Arc:
    axis, begins = edge.vertex - edge.centre, edge.at - edge.centre
    axis = axis / np.hypot(*axis)
    ends = np.array([edge.at, edge.centre + 2 * (axis @ begins) * axis - begins])
    names = {"ring": ("ring.cone", "ring.leading", "ring.trailing"), "sleeve": ("sleeve.cone", "sleeve.nose", "sleeve.bore")}
    return Arc(names[edge.body], edge.centre, edge.radius, ends)


def spots(case: Case, whole: Level, size: float) -> list[Spot]:
    """The places of a pushed coupling at which a contact presses at its end, and where the flange meets the sleeve.

    size [mm] is that of the elements at the contact.
    """
    mesh, rounded = whole.model.mesh, rounded_edges(models.section(case, 0.0, size))
    found = []
    for edge, partner, names in stress.FACING:
        chain = mesh.edge_nodes(edge)
        ends = chain[[0, -1]][np.argsort(mesh.nodes[chain[[0, -1]], 1])]
        for end, name in zip(ends, names):
            arc = rounded.get(name)
            place, radius = (mesh.nodes[end], 0.0) if arc is None else (arc.at, arc.radius)
            spot = Spot(_WORDS[name or edge], edge, partner, place, radius)
            if _presses(whole, spot):
                found.append(spot)
            elif edge == SLEEVE_CONE and not name and "flange" in mesh.cells:
                found.append(replace(spot, partner=""))
    return found


def _presses(whole: Level, spot: Spot) -> bool:
    """Whether a contact presses at the end of an edge, within two elements of it, the partner's or its own."""
    mesh, ev, contact = whole.model.mesh, whole.state.contact, whole.model.contact
    moved = mesh.nodes + whole.state.u.reshape(-1, whole.model.unknowns)[:, :2]
    own, chain = mesh.edge_nodes(spot.edge), mesh.edge_nodes(spot.partner)
    at = moved[own[np.argmin(np.hypot(*(mesh.nodes[own] - spot.place).T))]]
    size = zoom.largest_size(mesh, spot.focus(whole))
    if not moved[chain, 1].min() - size < at[1] < moved[chain, 1].max() + size:
        return False
    part = next(part for pair, part in zip(contact.pairs, contact.points) if {pair.follower, pair.leader} == {spot.edge, spot.partner})
    near = np.hypot(*(ev.position[part] - at).T) < 2 * max(size, spot.radius)
    return bool(np.any(ev.pressure[part][near] > 0))


def climb(remake: Remake, whole: Level, spot: Spot, halvings: int) -> Ladder:
    """Solve the neighbourhood of a spot on finer and finer meshes; never raises for what happens on the way.

    The coarser partner's elements are halved alone until both are alike; then as many halvings as asked for, more where a
    rounding of the edge asks for smaller elements.
    """
    levels, changes, done, failed, radius, reach = [whole], {}, 0, "", np.inf, 0.0
    recent: list[dict] = [{}, {}]  # what the last two halvings changed
    for _ in range(STEPS):
        spot = spot.on(levels[-1], radius / 2)
        focus = spot.focus(levels[-1])
        size = zoom.largest_size(levels[-1].model.mesh, focus)
        if done >= halvings and _ends(spot, size, recent[0] | recent[1]):
            break
        radius = min(radius, (_WIDE if _BLIND * size > spot.radius > 0 else zoom.RADIUS) * size)
        reach = max(reach, radius)
        every = zoom.coarser(levels[-1].model.mesh, focus) == set(focus)
        try:
            levels.append(zoom.step(remake, levels[-1], focus, radius))
        except NotConverged as stop:
            failed = stop.reason
            break
        if every:
            done += 1
            recent = [recent[1], _note(changes, levels[-2:], focus, radius / 2)]
    return Ladder(spot, levels, changes, size, reach, failed)


def _ends(spot: Spot, size: float, moved: dict[tuple[str, str], float]) -> bool:
    """Whether a ladder with elements of that size [mm] need not go on; moved are the latest relative changes of what it still sees."""
    if not spot.radius or size < spot.radius / LAST:
        return True
    return size < spot.radius / SHARE and max(moved.values(), default=0.0) < SETTLED


def largest(level: Level) -> dict[tuple[str, str], tuple[float, np.ndarray]]:
    """Largest values of a level, by body or pair and quantity, and their undeformed places (2,), (r, z) [mm]."""
    return _largest(level, dict.fromkeys(level.model.solid.slices, np.zeros(2)), np.inf)


def _note(changes: dict, levels: Sequence[Level], focus: Focus, radius: float) -> dict[tuple[str, str], float]:
    """Add what the last halving changed, and give the relative changes of von Mises stress and pressure.

    A peak that the neighbourhood has shrunk away from keeps its last value, and no finer mesh of the neighbourhood can change it.
    """
    before, after = (_largest(level, focus, radius) for level in levels)
    moved = {}
    for key in before.keys() & after.keys():
        value, place = after[key]
        at_rim = min(float(np.hypot(*(place - at))) for at in focus.values()) > _RIM * radius
        known = changes.get(key, ())
        gone = at_rim or before[key][0] < (1 - _LEFT) * (known[-1].after if known else 0.0)
        if not (gone and len(known) > 1):
            changes.setdefault(key, []).append(Change(before[key][0], value, place))
            if key[1] != HOOP and before[key][0] > 0:
                moved[key] = abs(value / before[key][0] - 1)
    return moved


def _largest(level: Level, focus: Focus, radius: float) -> dict[tuple[str, str], tuple[float, np.ndarray]]:
    """Largest values within radius [mm] of the focus, by body or pair and quantity, and their places (2,)."""
    solid, found = level.model.solid, {}
    whole = cauchy(solid, level.state.u, level.state.flow)
    for body, place in focus.items():
        part = solid.slices[body]
        points = solid.points[part]
        near = np.hypot(*np.moveaxis(points - place, -1, 0)) < radius
        if not near.any():
            continue
        for quantity, values in ((VON_MISES, von_mises(whole[part])), (HOOP, whole[part][..., 1, 1])):
            values = np.where(near, values, -np.inf)
            at = np.unravel_index(np.argmax(values), values.shape)
            found[body, quantity] = float(values[at]), points[at]
    return found | _pressures(level, focus, radius)


def _pressures(level: Level, focus: Focus, radius: float) -> dict[tuple[str, str], tuple[float, np.ndarray]]:
    """The same of the element means of the pressure, by pair."""
    contact, found = level.model.contact, {}
    for pair, part in zip(contact.pairs, contact.points):
        body = pair.follower.split(".")[0]
        if body in focus:
            own = np.einsum("an,ank->nk", contact.shape[:, part], level.model.mesh.nodes[contact.nodes_of[:, part]])
            means = np.where(np.hypot(*(own - focus[body]).T) < radius, contact.edge_means(level.state.contact.pressure)[part], 0.0)
            found[pair.name, PRESSURE] = float(means.max(initial=0.0)), own[int(np.argmax(means))]
    return found
