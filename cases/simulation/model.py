"""A case as a mechanical model: meridional section, bodies, contact pairs and what holds and drives them.

Lengths in mm, angles in rad from here down.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from colletfea.cases.casefile.case import Case
from colletfea.cases.hand import slit_model
from colletfea.cases.hand.geometry import sizes
from colletfea.cases.hand.slit_model import SlitModel
from colletfea.cases.stored.names import PARTS
from colletfea.fea.contact.pair import Pair
from colletfea.fea.model.drives import Drive, R, Z
from colletfea.fea.bodies.elastic import Elastic
from colletfea.fea.bodies.hardening import Hardening
from colletfea.fea.bodies.plastic import Plastic
from colletfea.fea.elements.mesh import Mesh
from colletfea.fea.model.model import Model
from colletfea.fea.bodies.solid import Body
from colletfea.meshing.outlines import across_ring
from colletfea.meshing.section import Section

RING, SHAFT, SLEEVE = "ring face", "shaft end", "sleeve back"
CONE, BORE, FLANGE = "cone", "bore", "flange"
#: elements across a wall that flows: bent till it flows through, one carries 1.126 times the plastic moment, two exactly that
_LEAST = 2
#: times that a ring is softer than its sleeve from which the sleeve's back corner dents it. Of five random designs from 2.9 to 35 times
#: the ring as follower misses 0.5, 1.7, 2.9, 6.2, 12 % of the work and is 0.9, 0.8, 11, 12, 70 % off in force, the sleeve misses 0.1 to
#: 0.5 %; at 2.0 times both are alike. At the nose, whose wall is thin, either will do
_SOFTER = 2.5
#: times that the part which a corner presses on is softer than the corner's own, with unlike tapers, from which the corner's dent makes the
#: push force sway, and how far [-]. Of 23 such random designs 20 and more times softer, half the mesh size and half the increments move
#: the force by 2.2 to 3.9 % in seven and by up to 0.7 % in the others; of 21 from 2.5 to 3 times by up to 1.2 %, but for one (2.2 %). And
#: with equal tapers: two meshes of one random design differ by 6 %, on three meshes
_MUCH_SOFTER, _SWAYS, _SWAYS_DENTED = 20, 0.04, 0.06
#: edges of the pair CONE
CONES = RING_CONE, SLEEVE_CONE = "ring.cone", "sleeve.cone"


def section(case: Case, travel: float, size: float | None = None) -> Section:
    """Section to mesh for a ring travel of up to travel [mm], contact element size [mm] or None."""
    drawn = sizes(case)
    return Section(
        shaft_radius=drawn.shaft_radius,
        shaft_bore=drawn.shaft_bore,
        beyond_back=case.shaft.beyond[0],
        beyond_front=case.shaft.beyond[1],
        bore_radius=drawn.wall.bore_radius,
        nose_wall=drawn.wall.nose_wall,
        length=drawn.wall.length,
        taper=drawn.taper,
        flange_thickness=drawn.flange.thickness,
        flange_radius=drawn.flange.radius,
        nose_radius=case.sleeve.nose_radius,
        ring_length=drawn.ring.length,
        ring_radius=drawn.ring.radius,
        ring_start=drawn.ring.start,
        ring_taper=drawn.ring.taper,
        edge_radius=case.ring.edge_radius,
        travel=travel,
        size=size,
        stations=slit_model.of(case).breakpoints(),
        least=_LEAST if case.solver.plastic else 1,
    )


def refined(case: Case, size: float) -> list[str]:
    """A sentence where elements of a size [mm] would be one across a wall that may flow, which has two then."""
    if not case.solver.plastic or across_ring(section(case, 0.0, size)) >= _LEAST:
        return []
    return [
        f"Elements of {size:.2g} mm would be one across the ring's wall, and one carries 13 % too much bending when it flows: the wall was "
        "given two."
    ]


def cone_follower(case: Case, drawn: Section, travel: float) -> str:
    """The edge that follows on the cone at a travel [mm]: where one part's corner presses, the other part's face leads.

    Pressure acts along the leader's normal, and a corner slides along the face it presses on. A ring that is steeper
    than the sleeve touches at the narrow end of the overlap, a flatter one at its wide end; the corner there is the
    sleeve's where the ring overhangs it, else the ring's. With equal tapers the whole length presses: the sleeve follows where the ring
    overhangs it at both ends, or is soft and dented by the sleeve's back corner that it has gone past, else the ring.
    """
    nose, back = drawn.ring_end - travel > drawn.length, drawn.ring_start < travel
    if drawn.ring_taper == drawn.taper:
        sleeve = nose and back or dented(case, travel)
    else:
        sleeve = nose if drawn.ring_taper > drawn.taper else back
    return SLEEVE_CONE if sleeve else RING_CONE


def dented(case: Case, travel: float) -> bool:
    """Whether the sleeve's back corner dents a softer ring of the same taper that has gone past it at a travel [mm], see _SOFTER."""
    soft = case.sleeve.material.young >= _SOFTER * case.ring.material.young
    return soft and case.ring.taper == case.sleeve.taper and case.ring.start < travel


def sways(case: Case, travel: float) -> float:
    """How far the push force sways [-] with travel and mesh at a travel [mm], where a corner dents a soft part on the cone; else 0."""
    if case.ring.taper == case.sleeve.taper:
        return _SWAYS_DENTED if dented(case, travel) else 0.0
    presses, pressed = case.sleeve.material.young, case.ring.material.young
    if cone_follower(case, section(case, travel), travel) == RING_CONE:
        presses, pressed = pressed, presses
    return _SWAYS if presses >= _MUCH_SOFTER * pressed else 0.0


def of(case: Case, mesh: Mesh, slide: float = 0.0, twist: bool = False, follower: str = RING_CONE) -> Model:
    """Bodies and contact pairs of a case on its mesh, or on a piece of it, with or without the twist unknown.

    slide [mm] is how far the ring will go along the sleeve's cone; follower is the edge that follows there.
    """
    slits = slit_model.of(case)
    bodies = {
        "shaft": Body(_law(case.shaft.material, case.solver.plastic)),
        "sleeve": Body(_law(case.sleeve.material, case.solver.plastic), _ratio(slits), _fill(slits)),
        "ring": Body(_law(case.ring.material, case.solver.plastic)),
    }
    if "flange" in mesh.cells:
        ratio = lambda r, z: np.full(np.shape(r), slits.flange_ratio)
        fill = lambda r, z: slits.flange_fill(r)
        flows = case.solver.plastic and slits.flange_ratio == 1  # else its hoop stress is no stress of metal
        bodies["flange"] = Body(_law(case.sleeve.material, flows), ratio, fill)
    here = {name: body for name, body in bodies.items() if name in mesh.cells}
    return Model.build(mesh, here, _pairs(case, mesh, slits, slide, follower), twist=twist)


def _law(material, plastic: bool) -> Elastic:
    """Elastic, or with yield where plastic flow is asked for and the material's yield stress is known."""
    if not plastic or material.yield_stress is None:
        return Elastic(material.young, material.poisson)
    given = material.hardening
    curve = Hardening.table(given) if isinstance(given, tuple) else Hardening.linear(material.yield_stress, given)
    return Plastic(material.young, material.poisson, hardening=curve)


def _ratio(slits: SlitModel) -> Callable:
    """Hoop ratio over arrays of (R, Z): each distinct station is asked once."""

    def ratio(r: np.ndarray, z: np.ndarray) -> np.ndarray:
        stations, place = np.unique(np.round(z, 10), return_inverse=True)
        return np.array([slits.ratio(float(s)) for s in stations])[place].reshape(np.shape(z))

    return ratio


def _fill(slits: SlitModel) -> Callable:
    """Fill fraction over arrays of (R, Z), piece by piece."""

    def fill(r: np.ndarray, z: np.ndarray) -> np.ndarray:
        piece = np.searchsorted([p.end for p in slits.pieces[:-1]], z, side="right")
        return np.choose(piece, [slits.fill((p.start + p.end) / 2, r) for p in slits.pieces])

    return fill


def _pairs(case: Case, mesh: Mesh, slits: SlitModel, slide: float, follower: str) -> tuple[Pair, ...]:
    """Cone and bore, and the ring's leading face on the flange where there is one.

    On the bore the sleeve follows. The fill is the sleeve's on both. The flange is touched only at the very end of the
    way, where a push stops.
    """
    fill = _fill(slits)
    young = {part: getattr(case, part).material.young for part in PARTS}
    extra = {} if case.solver.penalty is None else {"normal": case.solver.penalty}
    roles = (RING_CONE, SLEEVE_CONE) if follower == RING_CONE else (SLEEVE_CONE, RING_CONE)
    filled = {"leader_fill" if follower == RING_CONE else "follower_fill": fill}
    cone = Pair(
        CONE, *roles, min(young["ring"], young["sleeve"]), case.friction.cone.nominal, slide=slide, corners=True, **filled, **extra
    )
    bore = Pair(
        BORE, "sleeve.bore", "shaft.seat", min(young["sleeve"], young["shaft"]),
        case.friction.bore.nominal, follower_fill=fill, **extra,
    )
    face = Pair(FLANGE, "ring.leading", "flange.front", min(young["ring"], young["sleeve"]))
    return tuple(pair for pair in (cone, bore, face) if {pair.follower, pair.leader} <= mesh.edges.keys())


def holds(case: Case) -> tuple[Drive, ...]:
    """What stands still while the ring is pushed: the shaft's end and the sleeve's back face."""
    still = lambda t: 0.0
    held = [Drive(SHAFT, "shaft.back", Z, still), Drive(SLEEVE, "sleeve.back", Z, still)]
    if case.sleeve.held == "fully":
        held.append(Drive("sleeve back, radial", "sleeve.back", R, still))
    return tuple(held)


def push_drives(case: Case) -> tuple[Drive, ...]:
    """Drives of the push: stage parameter t is the ring's travel [mm]."""
    return (Drive(RING, "ring.trailing", Z, lambda t: -t), *holds(case))
