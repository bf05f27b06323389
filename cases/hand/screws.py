"""The screws of a clamp ring as the results name them: one block of numbers, with what it means in words.

Called with plain numbers (see `screw_joint.Joint`); judges nothing that it was not given, and raises for no geometry.
"""

from colletfea.cases.hand import screw_choice, screw_words
from colletfea.cases.hand.screw_joint import AT_LIMIT, Joint, Judged, ScrewSet, judge


def block(given: ScrewSet, joint: Joint) -> dict:
    """The `screws` block of the results for a given set: forces [N] and pressures for each screw, lengths in mm.

    preload_least_N is after settling. head_pressure_limit_MPa is the ring's yield (common practice, no source; the limits of
    VDI 2230-1 lie at or above it), None where unknown. strong and because leave room out, fits and room_because are about room.
    jacking_N is the whole force, None where it is unknown. KeyError for an unknown size or class.
    """
    found = judge(given, joint)
    return _numbers(found, joint) | {
        "strong": not found.strength_faults,
        "because": "; ".join(found.strength_faults),
        "fits": found.room.fits,
        "room_because": found.room.because,
        "circle_mm": found.room.circle,
        "circles_with_room_mm": [found.room.least, found.room.greatest] if found.room.least <= found.room.greatest else None,
        "outer_diameter_with_room_mm": found.room.outer_diameter,
        "smallest": screw_choice.smallest(given, joint),
        "jacking": jacking(found, joint),
        "sentences": screw_words.sentences(found, joint),
    }


def proposal(joint: Joint, jacking: int | None = None) -> dict | None:
    """A set free in count, size and class, as in `smallest`, with its utilisation; None where none does. jacking as in a ScrewSet."""
    found = screw_choice.proposed(joint, jacking)
    return found and screw_choice.entry(found) | {"utilisation": found.utilisation}


def _numbers(found: Judged, joint: Joint) -> dict:
    return {
        "count": found.chosen.count,
        "size": found.chosen.size,
        "property_class": found.chosen.property_class,
        "preload_least_N": found.least,
        "preload_greatest_N": found.greatest,
        "preload_lost_N": found.loss,
        "preload_lost_per_um_N": found.lost_per_um,
        "tightening_torque_Nm": found.torque,
        "utilisation": found.utilisation,
        "head_pressure_MPa": found.head_pressure,
        "head_pressure_limit_MPa": joint.ring_yield,
        "engagement_mm": found.engagement,
        "engagement_at_preload_mm": found.engagement_at_preload,
        "holding_force_N": joint.cone.holding_force,
        "stays_after_settling": found.stays,
    }


def jacking(found: Judged, joint: Joint) -> dict:
    """Jacking screws: how many, force [N] and torque [N m] of each, force in all, and whether screws of that size and class bear it.

    force_each_N is None without jacking screws or where the force of release is unknown, 0 where the ring lets go by itself.
    """
    used = found.jacking_utilisation
    return {
        "count": found.chosen.jacking_count,
        "force_N": joint.cone.jacking_force,
        "force_each_N": found.jacking_each,
        "tightening_torque_Nm": found.jacking_torque,
        "utilisation": used,
        "strong": None if used is None else used <= AT_LIMIT,
    }
