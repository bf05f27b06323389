"""Concentric rings that turn or warm up while the clamp ring keeps its place: what the pressures between them become.

Lengths mm, pressures and stresses MPa, speed rad/s, density t/mm^3, temperatures K above that of assembly. Thick
rotating rings in plane stress (Timoshenko & Goodier, Theory of Elasticity, section 32, from memory; re-derived here from
radial equilibrium). Only changes are computed: linear elastic, seats stay closed, the ring keeps its travel, so that the
radial displacements of neighbours change together. Pressure > 0 in compression, displacement > 0 outward. A slit sleeve
is a loose mass: no hoop stress, so it passes force inward (pressure times radius) and loads the clamp ring with its own
mass. Pressures are means round the whole circumference, that is pressure on the land times the fill fraction.
"""

import math
from dataclasses import dataclass, replace

from colletfea.cases.hand.coupling import Coupling


@dataclass(frozen=True)
class Annulus:
    """One ring from its bore to its outside [mm, radii]; bore 0 is a solid disc.

    young MPa, density t/mm^3, expansion 1/K, warmer K above assembly. loose: slit, no hoop stress; fill: share of the
    circumference that is metal (loose rings only).
    """

    bore: float
    outside: float
    young: float
    poisson: float
    density: float = 7.85e-9
    expansion: float = 11.5e-6
    warmer: float = 0.0
    loose: bool = False
    fill: float = 1.0


@dataclass(frozen=True)
class Change:
    """Change of the pressures [MPa] between the rings, from the shaft outward, and of the hoop stress at the last
    ring's bore [MPa, > 0 in tension]."""

    pressures: tuple[float, ...]
    hoop: float


def change(rings: tuple[Annulus, ...], speed: float) -> Change:
    """What a speed [rad/s] and the rings' own temperatures change; rings from the shaft outward, two or more.

    The innermost ring must not be loose. Displacement and pressure at its outside depend on one unknown, are carried
    through ring after ring, and must end without pressure at the outside of the last.
    """
    ends = [_march(rings, speed, unknown)[-1][1] for unknown in (0.0, 1.0)]
    states = _march(rings, speed, ends[0] / (ends[0] - ends[1]))
    displacement, pressure = states[-2]
    return Change(tuple(p for _, p in states[:-1]), _hoop(rings[-1], displacement, pressure))


def _march(rings: tuple[Annulus, ...], speed: float, unknown: float) -> list[tuple[float, float]]:
    """(Displacement, pressure) at the outside of every ring.

    unknown: pressure [MPa] on a solid shaft, or growth [0.001 of the radius] of a hollow one's free bore.
    """
    first = rings[0]
    if first.bore:
        states = [_through(first, speed, 1e-3 * unknown * first.bore, 0.0)]
    else:
        states = [(_disc(first, speed, unknown), unknown)]
    for ring in rings[1:]:
        states.append(_through(ring, speed, *states[-1]))
    return states


def _disc(ring: Annulus, speed: float, pressure: float) -> float:
    """Growth [mm] of a solid disc's radius under a pressure on it."""
    b, nu = ring.outside, ring.poisson
    inertia = ring.density * speed**2 * b * b / 4
    return b * ((1 - nu) * (inertia - pressure) / ring.young + ring.expansion * ring.warmer)


def _through(ring: Annulus, speed: float, displacement: float, pressure: float) -> tuple[float, float]:
    """(Displacement, pressure) at a ring's outside from those at its bore."""
    if ring.loose:
        return _through_loose(ring, speed, displacement, pressure)
    a, b, nu, inertia = ring.bore, ring.outside, ring.poisson, ring.density * speed**2
    radial, hoop = -pressure, _hoop(ring, displacement, pressure)
    # sigma_r, sigma_theta = A -+ B/r^2 - (3 + nu, 1 + 3 nu)/8 rho w^2 r^2
    mean = (radial + hoop) / 2 + (1 + nu) / 4 * inertia * a * a
    other = a * a / 2 * (hoop - radial - (1 - nu) / 4 * inertia * a * a)
    radial = mean - other / (b * b) - (3 + nu) / 8 * inertia * b * b
    hoop = mean + other / (b * b) - (1 + 3 * nu) / 8 * inertia * b * b
    return b * ((hoop - nu * radial) / ring.young + ring.expansion * ring.warmer), -radial


def _hoop(ring: Annulus, displacement: float, pressure: float) -> float:
    """Hoop stress [MPa] at a closed ring's bore from the bore's displacement and the pressure on it."""
    return ring.young * (displacement / ring.bore - ring.expansion * ring.warmer) - ring.poisson * pressure


def _through_loose(ring: Annulus, speed: float, displacement: float, pressure: float) -> tuple[float, float]:
    """The same for a ring without hoop stress: r sigma_r = const - rho w^2 r^3/3."""
    a, b, inertia = ring.bore, ring.outside, ring.density * speed**2 / 3
    constant = -pressure * a / ring.fill + inertia * a**3
    stretch = (constant * math.log(b / a) - inertia * (b**3 - a**3) / 3) / ring.young
    stretch += ring.expansion * ring.warmer * (b - a)
    return displacement + stretch, -ring.fill * (constant / b - inertia * b * b)


def temperatures(ring_hotter: float, warmer: float) -> tuple[float, float, float]:
    """Temperatures [K] of shaft, sleeve and clamp ring above that of assembly; the sleeve lies half way between its neighbours."""
    return warmer, warmer + ring_hotter / 2, warmer + ring_hotter


def warmed(rings: tuple[Annulus, ...], ring_hotter: float = 0.0, warmer: float = 0.0) -> tuple[Annulus, ...]:
    """Shaft, sleeve and clamp ring with the temperatures [K] of a service.

    ring_hotter: clamp ring over shaft, the sleeve at their mean. warmer: all parts over assembly.
    """
    return tuple(replace(r, warmer=t) for r, t in zip(rings, temperatures(ring_hotter, warmer), strict=True))


@dataclass(frozen=True)
class Service:
    """What speed and temperatures do to a seat whose ring keeps its travel.

    lost_by_temperature, lost_by_speed: bore normal force lost [N], < 0 where the seat tightens. The cone's the same way.
    hoop_by_*: added to the hoop stress [MPa] at the clamp ring's bore.
    """

    lost_by_temperature: float
    lost_by_speed: float
    cone_lost_by_temperature: float
    cone_lost_by_speed: float
    hoop_by_temperature: float
    hoop_by_speed: float

    @property
    def lost(self) -> float:
        """Bore normal force lost to both together [N]."""
        return self.lost_by_temperature + self.lost_by_speed


def service(
    rings: tuple[Annulus, Annulus, Annulus], length: float, speed: float = 0.0, ring_hotter: float = 0.0, warmer: float = 0.0
) -> Service:
    """What a service takes from a seat of shaft, sleeve and clamp ring; length [mm] is that of the touching stretch.

    speed in 1/min; ring_hotter and warmer [K] as in `warmed`. The force is the change of the mean pressure times
    2 pi r L, r the radius of the seat. Inertia and warming of the hub and of a flange are not in it.
    """
    cold = change(rings, speed * math.pi / 30)
    warm = change(warmed(rings, ring_hotter, warmer), 0.0)
    bore, cone = (2 * math.pi * ring.outside * length for ring in rings[:2])
    return Service(
        lost_by_temperature=-warm.pressures[0] * bore,
        lost_by_speed=-cold.pressures[0] * bore,
        cone_lost_by_temperature=-warm.pressures[1] * cone,
        cone_lost_by_speed=-cold.pressures[1] * cone,
        hoop_by_temperature=warm.hoop,
        hoop_by_speed=cold.hoop,
    )


def rings_of(c: Coupling, case) -> tuple[Annulus, Annulus, Annulus]:
    """Shaft, sleeve and clamp ring of a case at assembly; its materials' density is in kg/m^3.

    Seat and cone at their mean radii. A sleeve with any slit pattern is a loose mass.
    """
    radii = (c.shaft_bore / 2, c.bore_radius, c.cone_radius, c.ring_radius)
    parts = (case.shaft, case.sleeve, case.ring)
    return tuple(
        Annulus(
            *radii[k : k + 2],
            part.material.young,
            part.material.poisson,
            part.material.density * 1e-12,
            part.material.expansion,
            loose=k == 1 and not c.closed,
            fill=c.fill_fraction if k == 1 else 1.0,
        )
        for k, part in enumerate(parts)
    )
