"""A case as turned, slit and drilled parts for the solid modeller, at travel 0. Lengths in mm."""

import math

from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.faults import CaseError
from colletfea.cases.drawing.profile import Bolting, Profile, profile
from colletfea.cases.hand.geometry import Sizes
from colletfea.meshing.section import Section
from colletfea.meshing.solids import Corner, Hole, Part, Slit

_PAST = 1.0  # what a tool goes past a face that it cuts through [mm]


def to_make(case: Case) -> Profile:
    """The case's profile with the ring's bore as it touches with its rounded edges.

    Raises CaseError where screws don't leave the parts whole.
    """
    parts = profile(case)
    exact = profile(case, _leading(case, parts.sizes))
    if exact.bolting:
        _require_whole(exact, exact.bolting)
    return exact


def bodies(parts: Profile) -> tuple[Part, ...]:
    """Shaft, sleeve and ring for `meshing.solids`."""
    outlines = (parts.shaft, parts.sleeve, parts.ring)
    shaft, sleeve, ring = (tuple(Corner(*corner) for corner in outline) for outline in outlines)
    slits = tuple(_slit(parts, cut) for cut in parts.cuts)
    return (
        Part("shaft", shaft),
        Part("sleeve", sleeve, slits, _tapped(parts), parts.pieces),
        Part("ring", ring, (), _drilled(parts)),
    )


def _slit(parts: Profile, cut) -> Slit:
    """The cut, run past a face that it reaches."""
    low = cut.low - _PAST if cut.low <= parts.low else cut.low
    high = cut.high + _PAST if cut.high >= parts.sizes.wall.length else cut.high
    return Slit(cut.angle, cut.width, low, high)


def _tapped(parts: Profile) -> tuple[Hole, ...]:
    if not parts.tapped:
        return ()
    bolting = parts.bolting
    return tuple(
        Hole(angle, bolting.circle / 2, bolting.core, parts.low - _PAST, _PAST) for angle in parts.places.screws
    )


def _drilled(parts: Profile) -> tuple[Hole, ...]:
    """Clearance holes and cores of the jacking threads, right through the ring."""
    bolting, ring = parts.bolting, parts.sizes.ring
    if bolting is None:
        return ()
    ends = ring.start - _PAST, ring.end + _PAST
    circle = bolting.circle / 2
    clear = tuple(Hole(angle, circle, bolting.screw.hole, *ends) for angle in parts.places.screws)
    return clear + tuple(Hole(angle, circle, bolting.core, *ends) for angle in parts.places.jacking)


def _leading(case: Case, s: Sizes) -> float:
    """Radius of the ring's bore at its leading face, where rounded edges let it touch [mm]."""
    section = Section(
        shaft_radius=s.shaft_radius, shaft_bore=s.shaft_bore, beyond_back=case.shaft.beyond[0],
        beyond_front=case.shaft.beyond[1], bore_radius=s.wall.bore_radius, nose_wall=s.wall.nose_wall,
        length=s.wall.length, taper=s.taper, flange_thickness=s.flange.thickness, flange_radius=s.flange.radius,
        nose_radius=case.sleeve.nose_radius, ring_length=s.ring.length, ring_radius=s.ring.radius,
        ring_start=s.ring.start, ring_taper=s.ring.taper, edge_radius=case.ring.edge_radius, travel=0.0,
    )  # fmt: skip
    return section.ring_bore()[0]


def _require_whole(parts: Profile, bolting: Bolting) -> None:
    """Holes stay inside the ring and the flange, and clear of each other and of the slits."""
    hole, core, middle = bolting.screw.hole / 2, bolting.core / 2, bolting.circle / 2
    ring, rim = parts.sizes.ring, parts.sizes.flange.radius
    gaps = [  # what is left [mm], between what
        (middle - hole - parts.ring_bore[0], "to the ring's bore"),
        (ring.radius - middle - hole, "to the ring's outside"),
        (_chord(parts.places.screws, middle) - 2 * hole, "between two holes"),
        (_chord(parts.places.screws, middle, parts.places.jacking) - hole - core, "between holes and jacking threads"),
        (_chord(parts.places.jacking, middle) - 2 * core, "between two jacking threads"),
    ]
    if parts.tapped:
        gaps.append((rim - middle - core, "between the flange's threads and its edge"))
        half = max((cut.width / 2 for cut in parts.cuts if cut.low < 0), default=-math.inf)
        gaps.append((_aside(parts, middle) - half - core, "between the flange's threads and its slit"))
    left, where = min(gaps)
    if left <= 0:
        raise CaseError([
            f"screws.size = {bolting.screw.size}: {bolting.count} holes and {bolting.jacking} jacking thread{'s' * (bolting.jacking != 1)} on a circle of "
            f"{bolting.circle:.4g} mm leave no wall {where}; give a smaller size, fewer screws or another ring"
        ])


def _chord(angles: tuple[float, ...], radius: float, others: tuple[float, ...] | None = None) -> float:
    """Least distance [mm] of two of the places on a circle, or of one of them from one of the others; inf without such."""
    pairs = ((a, b) for i, a in enumerate(angles) for b in (angles[i + 1 :] if others is None else others))
    return min((2 * radius * abs(math.sin((a - b) / 2)) for a, b in pairs), default=math.inf)


def _aside(parts: Profile, radius: float) -> float:
    """Least distance [mm] of a screw's place from the middle plane of a slit, on the slit's side of the axis."""
    turns = (screw - cut.angle for screw in parts.places.screws for cut in parts.cuts)
    return min((radius * abs(math.sin(turn)) for turn in turns if math.cos(turn) > 0), default=math.inf)
