"""The plain numbers of a coupling that the hand calculation works on, and what follows from geometry alone.

Units: mm, N, MPa, rad; torque in N mm. Every force is for the whole ring.
"""

import math
from functools import cached_property

from colletfea.cases.hand.geometry import Flange, Wall, push_over_radial_force, sizes
from colletfea.cases.hand.integral import places
from colletfea.cases.hand.slit_model import SlitModel, Slits, slit_model


class Coupling:
    """Numbers of one shaft, sleeve and ring; a changed copy answers what another design would need.

    clearance is diametral; slits has the attributes of colletfea.cases.hand.slit_model.Slits; torque is None without a duty.
    """

    diameter: float
    shaft_bore: float
    shaft_young: float
    shaft_poisson: float
    clearance: float
    nose_wall: float
    length: float
    taper: float
    sleeve_young: float
    sleeve_poisson: float
    flange_thickness: float
    flange_radius: float
    slits: Slits
    ring_length: float
    ring_radius: float
    ring_young: float
    ring_poisson: float
    start: float
    cone_friction: float
    bore_friction: float
    torque: float | None
    thrust: float
    slip_safety: float
    carried_by: str

    def __init__(self, **numbers):
        self._numbers = numbers
        for name in Coupling.__annotations__:
            setattr(self, name, numbers[name])
        self.slope = math.tan(self.taper)
        self.bore_radius = (self.diameter + self.clearance) / 2
        self.wall = Wall(self.bore_radius, self.nose_wall, self.length, self.slope)
        self.model = self._slit_model()

    def _slit_model(self) -> SlitModel:
        flange = Flange(self.flange_thickness, self.flange_radius)
        return slit_model(self.wall, self.slits, flange, self.start, self.sleeve_poisson)

    def changed(self, **numbers) -> "Coupling":
        """The same coupling with some numbers changed."""
        return Coupling(**{**self._numbers, **numbers})

    @property
    def closed(self) -> bool:
        """Whether the sleeve is a closed ring (it passes pressure); a slit one passes force."""
        return self.slits.pattern == "none"

    @property
    def friction_angle(self) -> float:
        """Friction angle of the cone [rad]."""
        return math.atan(self.cone_friction)

    @property
    def draw(self) -> float:
        """Axial over radial force k_c [-] of a cone being drawn on, tan(alpha + phi); statics, any pressure."""
        return push_over_radial_force(self.taper, self.cone_friction)

    @property
    def cone_radius(self) -> float:
        """Mean radius of the cone over the whole sleeve [mm]."""
        return self.wall.outside(self.length / 2)

    @property
    def mean_radius(self) -> float:
        """Mean radius of the sleeve at half its length [mm]."""
        return self.wall.radius(self.length / 2)

    @property
    def fill_fraction(self) -> float:
        """Fill fraction [-] at half the length and at the mean radius."""
        return self.model.fill(self.length / 2, self.mean_radius)

    @cached_property
    def closing(self) -> "ClosingSpan":
        """The stretch of the sleeve that the ring closes, or None where slots leave none."""
        start = self.model.slotted_from
        return ClosingSpan(self.wall, self.model, start) if start < self.length else None

    @property
    def closes(self) -> bool:
        """Whether the bore reaches the shaft as the hand calculation supposes, before its slots are shut."""
        shuts_at = self.model.shuts_at
        return self.closing is not None and (shuts_at is None or self.clearance / 2 < shuts_at)


class ClosingSpan:
    """Means over the stretch that closes, from a station [mm] to the nose: for fingers the slotted part only.

    length, area [mm, mm^2]; ratio, the mean of eta weighted with t/r; stiffness [mm], 2 pi times the integral of
    f eta t/r, which is radial force over E and radial closing.
    """

    def __init__(self, wall: Wall, model: SlitModel, start: float):
        self.length = wall.length - start
        self.area = wall.area(start, wall.length)
        self.mean_wall = self.area / self.length
        closed = hoop = filled = 0.0
        for piece in (piece for piece in model.pieces if piece.end > start):  # broken where eta or f jumps
            for z, weight in places(max(piece.start, start), piece.end):
                radius = wall.radius(z)
                thin = weight * wall.thickness(z) / radius
                soft = piece.ratio(z) * thin
                closed, hoop, filled = closed + thin, hoop + soft, filled + soft * model.fill(z, radius)
        self.ratio, self.stiffness = hoop / closed, 2 * math.pi * filled


def coupling(case) -> Coupling:
    """The numbers of a case at nominal friction (mm, MPa, rad, N, N mm); `case` needs the attributes of a checked case."""
    shaft, sleeve, ring, duty, size = case.shaft, case.sleeve, case.ring, case.duty, sizes(case)
    return Coupling(
        diameter=shaft.diameter,
        shaft_bore=shaft.bore,
        shaft_young=shaft.material.young,
        shaft_poisson=shaft.material.poisson,
        clearance=sleeve.clearance,
        nose_wall=sleeve.nose_wall,
        length=sleeve.length,
        taper=size.taper,
        sleeve_young=sleeve.material.young,
        sleeve_poisson=sleeve.material.poisson,
        flange_thickness=sleeve.flange_thickness,
        flange_radius=size.flange.radius,
        slits=sleeve.slits,
        ring_length=ring.length,
        ring_radius=size.ring.radius,
        ring_young=ring.material.young,
        ring_poisson=ring.material.poisson,
        start=ring.start,
        cone_friction=case.friction.cone.nominal,
        bore_friction=case.friction.bore.nominal,
        torque=None if duty is None else 1000 * duty.torque,
        thrust=0.0 if duty is None else duty.thrust,
        slip_safety=1.0 if duty is None else duty.slip_safety,
        carried_by="sleeve" if duty is None else duty.carried_by,
    )
