"""The corners of fit and friction in which a case is pushed, and the clamp forces they are pushed to.

One nominal push decides nothing: the fit, the friction and the scatter of tightening decide whether a seat holds. mm, N;
clearances on diameter; every force is for the whole ring.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

NOMINAL, GRIP, TIGHT, LOOSE = "nominal", "grip", "tight", "loose"
LEAST, GREATEST = "least", "greatest"


class Rub(NamedTuple):
    """Friction coefficients of the two pairs."""

    cone: float
    bore: float


@dataclass(frozen=True)
class Corner:
    """One push that is asked for: clearance [mm], friction while the ring is pulled and while it carries, and its end."""

    name: str
    clearance: float
    pulling: Rub
    carrying: Rub
    end: str


@dataclass(frozen=True)
class Clamp:
    """Clamp forces [N] of the whole ring: needed and least None where they are not known; because says where they come from."""

    needed: float | None
    least: float | None
    greatest: float | None
    scatter: float
    because: str

    def force(self, end: str) -> float | None:
        """The force that a corner with this end is pushed to."""
        return self.least if end == LEAST else self.greatest


def table(case, fit=None) -> tuple[Corner, ...]:
    """All four corners of a case; fit has its clearances tightest, middle, loosest, None where one clearance is given."""
    low, middle, high = (Rub(*values) for values in zip(_band(case.friction.cone), _band(case.friction.bore)))
    tightest, loosest = (fit.tightest, fit.loosest) if fit else (case.sleeve.clearance,) * 2
    return (
        Corner(NOMINAL, case.sleeve.clearance, middle, middle, LEAST),
        Corner(GRIP, loosest, high, low, LEAST),
        Corner(TIGHT, tightest, low, middle, GREATEST),
        Corner(LOOSE, loosest, low, middle, GREATEST),
    )


def _band(friction) -> tuple[float, float, float]:
    return friction.low, friction.nominal, friction.high


def distinct(corners: tuple[Corner, ...], same_ends: bool) -> tuple[Corner, ...]:
    """The corners without those that repeat one above them: same clearance, same friction, same end.

    same_ends: least and greatest are one end (no scatter, or a travel that is given).
    """
    kept: dict[tuple, Corner] = {}
    for corner in corners:
        end = LEAST if same_ends else corner.end
        kept.setdefault((corner.clearance, corner.pulling, corner.carrying, end), corner)
    return tuple(kept.values())


def drawn_off(load) -> float:
    """Thrust [N] with its slip safety that draws a ring off which carries the hub; 0 where there is none.

    load: a duty or a coupling, which have thrust, slip_safety and carried_by.
    """
    return load.slip_safety * max(load.thrust, 0.0) if load.carried_by == "ring" else 0.0


def pressed_on(load, end: str) -> float:
    """Thrust [N] of a duty or a coupling that presses a ring on which carries the hub, on top of a corner's pull to this end.

    It adds to the greatest pull as it stands, for slip safety is for what may slip; to the least it is no help.
    """
    return max(-load.thrust, 0.0) if load.carried_by == "ring" and end == GREATEST else 0.0


def rounded_up(force: float) -> float:
    """A force rounded up to three digits, so that what is read off is never too little.

    >>> rounded_up(22971.3), rounded_up(8720.0), rounded_up(23000.0)
    (23000.0, 8720.0, 23000.0)
    """
    step = 10.0 ** (math.floor(math.log10(force)) - 2)
    steps = force / step
    return float(f"{step * math.ceil(steps - 1e-9):.3g}")


def usable_torque(normal: float, moment: float, friction: float, thrust: float) -> float:
    """Torque [N mm] that a pair carries beside a thrust, r sqrt((mu N)^2 - X^2); below 0 where the thrust alone slips.

    normal [N] is the integral of p dA, moment [N mm] that of p r dA, so r = moment/normal; thrust [N] with its safety in it.

    >>> round(usable_torque(10000, 110000, 0.1, 600), 6)
    8800.0
    """
    if normal <= 0 or friction <= 0:
        return 0.0
    square = (friction * normal) ** 2 - thrust**2
    return moment / normal * math.copysign(math.sqrt(abs(square)), square)


@dataclass(frozen=True)
class Seat:
    """What a pair carries: normal force, its moment (the integral of p r dA), radial force, and the touching stretch.

    N, N mm, N, mm, MPa; all 0 where nothing touches. stretch: z [mm] between which it touches, None where not known.
    """

    normal: float = 0.0
    moment: float = 0.0
    radial: float = 0.0
    length: float = 0.0
    mean_pressure: float = 0.0
    peak_pressure: float = 0.0
    stretch: tuple[float, float] | None = None

    def share(self, friction: float, torque: float, thrust: float, lost: float = 0.0) -> float:
        """Normal force after `lost` [N] over the one that carries torque [N mm] and thrust [N] together; 1 just carries."""
        if self.normal <= 0 or friction <= 0:
            return 0.0
        return (self.normal - lost) * friction / math.hypot(torque * self.normal / self.moment, thrust)

    def usable(self, friction: float, thrust: float, lost: float = 0.0) -> float:
        """Torque [N mm] carried beside a thrust [N] after `lost` [N] of the normal force has gone; see usable_torque."""
        left = self.normal - lost
        return usable_torque(left, self.moment * left / self.normal, friction, thrust) if left > 0 else 0.0


@dataclass(frozen=True)
class Stress:
    """A largest von Mises stress [MPa] of a part and where, undeformed (r, z) [mm]; None by hand."""

    value: float
    r: float | None = None
    z: float | None = None


@dataclass(frozen=True)
class Believed:
    """A stress that two meshes agree on, and the share (0 to 1) of the part's volume in which they do.

    edge is the largest von Mises stress [MPa] that has settled at a rounded edge of contact, where the stress leaves it out; 0
    where none was seen; at: that edge in words.
    """

    stress: Stress
    share: float
    edge: float = 0.0
    at: str = ""


class Flowed(NamedTuple):
    """Share (0 to 1) of a part's volume that has flowed, its largest plastic strain [-] clear of where edges went, and where that
    is, undeformed (r, z) [mm]."""

    share: float
    strain: float
    r: float | None = None
    z: float | None = None


class Collapse(NamedTuple):
    """Plastic collapse of a push: the part, the greatest force [N], and the travel [mm] from which it grew no more."""

    part: str
    force: float
    travel: float


@dataclass(frozen=True)
class Served:
    """What service, simulated after a corner's push, changes there.

    lost [N]: normal force that bore and cone lose at most, cold or warm, 0 where they only tighten. by_speed, by_temperature [N]: of
    the bore, cold at speed and then warm, < 0 where it tightens. grown [MPa]: by what the greatest stress of a part rises, 0 where it
    falls; the shaft's with the duty's torque in it. force [N] on the ring, whose travel is kept, when it is warm at speed.
    """

    lost: Mapping[str, float]
    by_speed: float
    by_temperature: float
    grown: Mapping[str, float]
    force: float


@dataclass(frozen=True)
class Reached:
    """What the push of a corner came to, by simulation or by formulas.

    force [N] on the ring, travel [mm]; reason and message as in the results. cone_carrying: the cone as it counts where the hub
    sits on the ring, with the thrust taken off the push. stresses: part to Stress clear of edges, without what the shaft's
    torque adds; shaft_under_duty has that in it, and the bending of a radial pull. closing [mm]: greatest radial closing of the bore. work_missing: share of
    the ring's work that is neither stored nor lost; service_missing: the same of a simulated service; axial_missing: axial forces left over, over the force scale; overlap: deepest
    penetration over g0. trail: where the push ended early, see simulation.blocks.trail. needed [N]: see Clamp, from the grip corner alone; search: where that one was
    pushed on beyond its end and no force was found that carries, why that ended, and the force [N] there. believed: parts whose
    stress was looked at on finer meshes; for the shaft with the duty's torque in it. flowed: parts in
    which metal flowed, service in it. served: service by simulation; None where there is none, where nothing was pushed and by hand,
    and where it could not be simulated: unserved says why, and formulas stand in. collapse: where the push
    ended with one. rise: see simulation.measures.rise; sways [-]: see simulation.model.sways, at the end; blurred [-]: see simulation.measures.blurred.
    """

    corner: Corner
    force: float
    travel: float
    reason: str
    bore: Seat
    cone: Seat
    cone_carrying: Seat
    stresses: dict[str, Stress]
    closing: float
    message: str = ""
    needed: float | None = None
    seconds: float = 0.0
    shaft_under_duty: Stress | None = None
    work_missing: float = 0.0
    axial_missing: float = 0.0
    overlap: float = 0.0
    trail: dict[str, list] | None = None
    search: tuple[str, float] | None = None
    believed: Mapping[str, Believed] = field(default_factory=dict)
    flowed: Mapping[str, Flowed] = field(default_factory=dict)
    served: Served | None = None
    unserved: str = ""
    service_missing: float = 0.0
    collapse: Collapse | None = None
    rise: float | None = None
    sways: float = 0.0
    blurred: float = 0.0

    def taken(self, formulas: Mapping[str, float]) -> Mapping[str, float]:
        """Normal force [N] that service takes off bore and cone: simulated where it was, else by formulas."""
        return formulas if self.served is None else self.served.lost

    def stress(self, part: str) -> Stress | None:
        """A part's largest stress, the shaft's with the duty's torque in it; None where there is none."""
        return (self.shaft_under_duty if part == "shaft" else None) or self.stresses.get(part)
