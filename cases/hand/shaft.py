"""The shaft under what it carries: torsion, bending of a radial pull, and the seat's pressure.

Diameters mm, torque and moments N mm, stresses and pressures MPa. Pressure is positive in compression, stress in tension.
Torsion and bending by the elementary theory of round bars, e.g. Budynas & Nisbett, Shigley's Mechanical Engineering
Design, chapter 3 (from memory); the seat's pressure by Lamé in plane stress (colletfea.cases.hand.lame).
"""

import math
from dataclasses import dataclass

from colletfea.cases.hand import lame


def torsion(torque: float, diameter: float, bore: float = 0.0) -> float:
    """Shear stress [MPa] at the shaft's surface, 16 T d/(pi (d^4 - d_i^4)); torque in N mm.

    At another radius it is less in proportion; at the bore d_i/d of it.
    >>> round(torsion(150e3, 20, 14), 1)
    125.7
    """
    return 16 * torque * diameter / (math.pi * (diameter**4 - bore**4))


def bending(moment: float, diameter: float, bore: float = 0.0) -> float:
    """Greatest axial stress [MPa] at the shaft's surface, 32 M d/(pi (d^4 - d_i^4)); moment in N mm.

    A rotating pull turns it from tension to compression each turn, so take both signs.
    """
    return 32 * moment * diameter / (math.pi * (diameter**4 - bore**4))


def pull_moment(pull: float, at: float, length: float) -> float:
    """Greatest bending moment [N mm] at the ends z = 0 and z = length of the seat, of a pull [N] at z = at [mm].

    For an overhung hub: the shaft is taken as held at the far end of the seat, so the longer lever counts.
    """
    return abs(pull) * max(abs(at), abs(length - at))


def duty_load(case) -> tuple[float, float] | None:
    """Torque with its slip safety and bending moment of the radial pull [N mm] that a case's duty puts on the shaft; None without a duty."""
    duty = case.duty
    if duty is None:
        return None
    moment = pull_moment(duty.radial, duty.radial_at, case.sleeve.length) if duty.radial else 0.0
    return duty.slip_safety * duty.torque * 1e3, moment


def with_torsion(stress: float, shear: float, axial: float = 0.0) -> float:
    """Von Mises stress [MPa] where torsion and bending are added to a von Mises stress of the push.

    Exact for torsion alone, sqrt(s^2 + 3 tau^2): a push without twist leaves tau_rtheta = tau_thetaz = 0, and torsion
    adds only tau_thetaz, which enters the von Mises stress squared and beside all the others. (Linear elastic, torsion
    of a straight round shaft; shear is that of the point's own radius.) Bending is an axial stress in the planes that
    hold stress already, where its sign against the others counts. Von Mises stress is a norm, so
    s + |axial| is never too low, whatever the signs: axial is added so, on the safe side.
    """
    return math.hypot(stress + abs(axial), math.sqrt(3) * shear)


@dataclass(frozen=True)
class ShaftStresses:
    """Stresses [MPa] of the shaft in the seat.

    shear and bending: at the surface. surface, bore: von Mises stress under the seat's pressure with torsion and bending
    of that radius; bore is None for a solid shaft. mouth: torsion and bending alone, where the seat ends and p = 0.
    """

    shear: float
    bore_shear: float
    bending: float
    surface: float
    bore: float | None
    mouth: float

    @property
    def greatest(self) -> float:
        """Greatest von Mises stress [MPa] of the three places."""
        return max(self.surface, self.mouth, self.bore or 0.0)


def shaft_stresses(
    pressure: float, torque: float, diameter: float, bore: float = 0.0, moment: float = 0.0
) -> ShaftStresses:
    """Stresses of a shaft under a seat's pressure [MPa], a torque and a bending moment [N mm].

    The whole torque and the whole moment count at every point of the seat, which is safe: they are handed over to the
    hub along it. Give torque and moment with the safety they are to be judged at. Bending takes the worse sign.
    """
    inside = bore / diameter
    shear, axial = torsion(torque, diameter, bore), bending(moment, diameter, bore)
    at_surface = lame.hoop_at_outside(0.0, pressure, bore / 2, diameter / 2)
    at_bore = lame.hoop_at_bore(0.0, pressure, bore / 2, diameter / 2) if bore else 0.0
    return ShaftStresses(
        shear=shear,
        bore_shear=shear * inside,
        bending=axial,
        surface=_worse(-pressure, at_surface, axial, shear),
        bore=_worse(0.0, at_bore, axial * inside, shear * inside) if bore else None,
        mouth=with_torsion(0.0, shear, axial),
    )


def _worse(radial: float, hoop: float, axial: float, shear: float) -> float:
    """Von Mises stress [MPa] of three principal stresses and a shear, for the worse sign of the axial one."""
    return max(math.hypot(lame.von_mises(radial, hoop, sign * axial), math.sqrt(3) * shear) for sign in (1, -1))
