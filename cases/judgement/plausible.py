"""What a result is asked about: numbers that look like another unit, forces or contact that don't add up. Sentences, no refusals."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from math import pi

from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.schema import SCHEMA
from colletfea.cases.casefile.text import plain
from colletfea.cases.hand.corners import Clamp, Reached
from colletfea.cases.stored.names import DUTY, EARLY, FORCE, PARTS, STRAIN, TRAVEL

#: bounds outside which a unit is asked about, common practice, no source: shaft [mm]; shear in it [MPa]; push force over the
#: shaft's surface in the seat [MPa]; thrust over the shaft's section [MPa]; yield over E [-]; speed of the ring's outside [m/s];
#: temperatures [K]
_SHAFT, _SHEAR, _PUSH, _THRUST, _YIELD, _RIM, _WARM = (1.0, 1000.0), (0.01, 1000.0), (0.02, 1000.0), 1000.0, 0.02, 200.0, 200.0
#: axial forces left over, relative to the force scale: a hundred times what random designs end with
_AXIAL = 1e-6
#: share of the force asked for that a push must reach; events are landed on to 2e-6, a force that jumps can't be
_REACHED = 0.999
#: relative rise of force over that of travel below which the travel is told to be known less well: force hangs on the mesh by 1 %,
#: and 3 % is what travels of two meshes may differ by
_FLAT = 1 / 3
#: how far a finer mesh moves the push force [-] where hardly any seat is left: of ten random designs by 0 to 8 %, three by more than 4 %. Of those
#: that end overstrained, 36, it moves three by 3 to 5 %
_SPENT = 0.08
#: penetration over g0 from which it is told, with augmentation, which leaves rounding, and without
_PENETRATION, _PENALTY = 2e-3, 0.01


def asked_about(case: Case) -> list[str]:
    """Sentences on numbers of a case, each with its key, that no coupling of this kind is likely to have, or that nothing is made of."""
    return [line for ask in (_shaft, _torque, _thrust, _force, _material, _service, _unused) for line in ask(case)]


def _shaft(case: Case) -> Iterator[str]:
    d = case.shaft.diameter
    if d > _SHAFT[1]:
        yield f"shaft.diameter = {d:g} is {d / 1e3:g} m: lengths are in mm; is that meant?"
    if d < _SHAFT[0]:
        yield f"shaft.diameter = {d:g} is {d * 1e3:g} µm: lengths are in mm; is that meant?"


def _torque(case: Case) -> Iterator[str]:
    d, torque = case.shaft.diameter, case.duty.torque if case.duty is not None else 0.0
    shear = 16 * torque * 1e3 / (pi * d**3 * (1 - (case.shaft.bore / d) ** 4))
    said = f"duty.torque = {torque:g} N·m on a shaft of {d:g} mm is a shear stress of {plain(shear, 2)} MPa"
    if shear > _SHEAR[1]:
        yield f"{said}, more than steels carry: is the unit meant?"
    if 0 < shear < _SHEAR[0]:
        yield f"{said}, next to nothing: is the unit meant?"


def _thrust(case: Case) -> Iterator[str]:
    thrust = abs(case.duty.thrust) if case.duty is not None else 0.0
    stress = thrust / (pi / 4 * (case.shaft.diameter**2 - case.shaft.bore**2))
    if stress > _THRUST:
        yield f"duty.thrust = {case.duty.thrust:g} N is {plain(stress, 2)} MPa in the shaft, more than steels carry: is the unit meant?"


def _force(case: Case) -> Iterator[str]:
    if case.push.force is None:
        return
    spread = case.push.force / (pi * case.shaft.diameter * case.sleeve.length)
    if not _PUSH[0] <= spread <= _PUSH[1]:
        yield f"push.force = {case.push.force:g} N is {plain(spread, 2)} MPa over the shaft's surface in the seat: forces are in N; is that meant?"


def _material(case: Case) -> Iterator[str]:
    for part in ("shaft", "sleeve", "ring"):
        material = getattr(case, part).material
        if material.yield_stress is not None and material.yield_stress > _YIELD * material.young:
            share = 100 * material.yield_stress / material.young
            yield f"{part}.material yields at {share:.2g} % of its young: metals do below 1 %; are both in MPa?"


def _service(case: Case) -> Iterator[str]:
    service = case.service
    if service is None:
        return
    rim = pi * case.ring.outer_diameter / 1e3 * service.speed / 60
    if rim > _RIM:
        yield f"service.speed = {service.speed:g} 1/min turns the ring's outside at {rim:.3g} m/s: is the unit meant?"
    if abs(service.ring_hotter) > _WARM:
        yield f"service.ring_hotter = {service.ring_hotter:g} K is a difference between ring and shaft: is that meant?"


def _unused(case: Case) -> Iterator[str]:
    """A value that was given and decides nothing."""
    if case.screws is not None and case.push.scatter != SCHEMA["push"]["scatter"].default:
        yield f"push.scatter = {case.push.scatter:g} is not used where there are [screws]: screws.tightening_scatter = {case.screws.tightening_scatter:g} is."
    for part in PARTS:
        material = getattr(case, part).material
        if material.hardening and material.yield_stress is None:
            yield f"{part}.material.hardening is not used without {part}.material.yield: the part is kept elastic."


def unsound(corners: Sequence[Reached], augmented: bool) -> list[str]:
    """Sentences on pushes that exceed what the solver promises, the worst corner of each; work has a verdict of its own."""
    found: list[str] = []
    limit = _PENETRATION if augmented else _PENALTY
    less = "" if augmented else "; with solver.augment = true it is less"
    found += _beyond(corners, lambda one: one.axial_missing, _AXIAL, "Axial forces miss balance by {value:.2g} of the force scale{where}; up to {limit:g} is normal.")
    found += _beyond(corners, lambda one: one.overlap, limit, f"Parts overlap by {{value:.2g}} of the gap at the end{{where}}; up to {{limit:g}} is normal{less}.")
    return found


def short_of_force(corners: Sequence[Reached], clamp: Clamp) -> list[str]:
    """A sentence for each corner that ended below the clamp force it was pushed to, as where the force jumps from state to state."""
    asked = {one.corner.name: clamp.force(one.corner.end) for one in corners if one.reason == FORCE}
    return [
        f"Corner {one.corner.name} was to be pushed to {asked[one.corner.name]:.0f} N and ends at {one.force:.0f} N, where the force jumps: "
        "it is judged at the lower force."
        for one in corners
        if asked.get(one.corner.name) and one.force < _REACHED * asked[one.corner.name]
    ]


def roughly(corners: Sequence[Reached], asked: float | None = None) -> list[str]:
    """Sentences on what is known less well than usual at the ends of pushes, to a travel if one was asked for [mm]."""
    ended = [one for one in corners if one.reason not in EARLY]
    dents = lambda some: (
        f"A corner dents a soft part on the cone ({_corners(some)}): the push force may be off by {100 * max(one.sways for one in some):.0f} %, "
        "as it sways with the travel and the mesh; normal forces and torque are not."
    )
    lines = lambda some: (
        f"The cone touches on a line much narrower than an element ({_corners(some)}): how deep it presses in depends on the mesh, and the push "
        f"force at a travel may be off by some {100 * max(one.blurred for one in some):.0f} %, travel and grip at a force by as much; "
        "try a finer mesh.size, or --fine."
    )
    spent = lambda some: f"The ring has all but left its seat ({_corners(some)}): the push force there may be off by some {100 * _SPENT:.0f} %."
    strained = lambda some: (
        f"A part was strained past all elasticity ({_corners(some)}): forces and stresses at that end depend on the mesh, by several per cent or more."
    )
    kinds = (
        (dents, lambda one: one.sways), (lines, lambda one: one.blurred), (spent, lambda one: one.reason == TRAVEL and asked is None),
        (strained, lambda one: one.reason == STRAIN), (_flat, lambda one: one.reason in (FORCE, DUTY) and one.rise is not None and one.rise < _FLAT),
    )  # fmt: skip
    found = [(sentence, [one for one in ended if holds(one)]) for sentence, holds in kinds]
    return [sentence(some) for sentence, some in found if some]


def _flat(some: Sequence[Reached]) -> str:
    """That the force of these corners hardly rises with the travel any more."""
    least = min(some, key=lambda one: one.rise)
    stands = f"1 % of force stands for {1 / least.rise:.2g} % of travel" if least.rise > 0 else "it falls"
    return (
        f"The push force hardly rises with the travel any more at the end ({_corners(some)}; {stands}): "
        "the travel is known so much less well than the force."
    )


def _corners(some: Sequence[Reached]) -> str:
    return f"corner{'s' if len(some) > 1 else ''} {', '.join(one.corner.name for one in some)}"


def _beyond(corners: Sequence[Reached], measure: Callable[[Reached], float], limit: float, words: str) -> list[str]:
    worst = max(corners, key=measure, default=None)
    if worst is None or measure(worst) <= limit:
        return []
    where = f" (corner {worst.corner.name})" if len(corners) > 1 else ""
    return [words.format(value=measure(worst), limit=limit, where=where)]
