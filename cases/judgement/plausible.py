"""What a result is asked about: numbers that look like another unit, forces or contact that don't add up. Sentences, no refusals."""

from __future__ import annotations

from math import pi
from typing import Any

from colletfea.cases.casefile.case import Case

#: shaft [mm] and shear [MPa] above which a unit is asked about: common practice, no source
_LARGE, _SHEAR = 1000.0, 1000.0
#: axial forces left over, relative to the force scale: a hundred times what random designs end with
_AXIAL = 1e-6
#: penetration over g0, twice what augmentation leaves, see simulation.push.settings
_PENETRATION = 2e-3


def asked_about(case: Case) -> list[str]:
    """Sentences on numbers of a case, each with its key, that no coupling of this kind is likely to have."""
    found, d = [], case.shaft.diameter
    if d > _LARGE:
        found.append(f"shaft.diameter = {d:g} is {d / 1e3:g} m: lengths are in mm; is that meant?")
    torque = case.duty.torque if case.duty is not None else 0.0
    shear = 16 * torque * 1e3 / (pi * d**3 * (1 - (case.shaft.bore / d) ** 4))
    if shear > _SHEAR:
        found.append(
            f"duty.torque = {torque:g} N·m on a shaft of {d:g} mm is a shear stress of {shear:.2g} MPa, more than steels carry: is the "
            "unit meant?"
        )
    return found


def unsound(balance: dict[str, Any], augmented: bool) -> list[str]:
    """Sentences on a simulation whose block `balance` exceeds what the solver promises; work has a verdict of its own."""
    found = []
    if balance["axial_relative"] > _AXIAL:
        found.append(f"Axial forces miss balance by {balance['axial_relative']:.2g} of the force scale; up to {_AXIAL:g} is normal.")
    if augmented and balance["penetration_over_clearance"] > _PENETRATION:
        found.append(f"Parts overlap by {balance['penetration_over_clearance']:.2g} of the gap at the end; up to {_PENETRATION:g} is normal.")
    return found
