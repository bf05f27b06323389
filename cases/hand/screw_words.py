"""What the screws' numbers mean and how to tighten them, in short sentences."""

import math

from colletfea.cases.hand.screw_joint import Cone, Joint, Judged


def sentences(found: Judged, joint: Joint) -> list[str]:
    """For whoever buys and tightens the screws: torque, procedure, settling, thread, heads, shear, jacking screws."""
    parts = (_room, _torque, _procedure, _settling, _thread, _heads, _shear, _jacking)
    return [line for part in parts for line in part(found, joint)]


def _room(found: Judged, joint: Joint):
    space = found.room
    if space.fits:
        return
    yield f"{found.chosen.count} screws {found.chosen.size} find no room: {space.because}."
    if space.least <= space.greatest:
        yield f"A circle from {space.least:.2f} to {space.greatest:.2f} mm has room."
    elif space.outer_diameter > joint.ring.outer_diameter:
        wide, circle = math.ceil(10 * space.outer_diameter) / 10, space.least
        yield f"A ring {wide:.1f} mm outside has room on a circle of {circle:.2f} mm, as far as the ring goes."


def _torque(found: Judged, joint: Joint):
    how = joint.tightening
    yield (
        f"Tighten to {found.torque:.3g} N·m. At the stated friction ({how.thread_friction:g} in the thread, {how.head_friction:g} under "
        f"the head; give the low end) this torque brings the greatest preload, {found.greatest:.0f} N a screw."
    )
    counted = found.least + found.loss
    for_grip = " for the grip, before settling" if found.loss else ""
    if how.scatter > 1:
        yield f"Wrench and friction scatter: {counted:.0f} N a screw is counted on{for_grip}, the greatest preload over {how.scatter:g}."
    else:
        yield f"The scatter of tightening is set to 1: {counted:.0f} N a screw is counted on{for_grip}, as measured."


def _procedure(found: Judged, joint: Joint):
    yield (
        "Tighten crosswise in rounds, for example at a third, two thirds and the whole of the torque, then go round "
        "at the whole torque until no screw turns any more."
    )
    yield (
        "The ring still slides while it is pulled, and the coupling is then softer than its screws: those tightened first go slack "
        "when the others follow. The check at the end is part of the job. Uneven tightening tilts the ring; that is not judged."
    )


def _settling(found: Judged, joint: Joint):
    if joint.cone.stiffness is None:
        yield (
            f"Each micrometre of settling costs at most {found.lost_per_um:.0f} N of preload a screw (the coupling taken as rigid, "
            "its threads to run up to the head)."
        )
    else:
        yield (
            f"Each micrometre of settling costs about {found.lost_per_um:.0f} N of preload a screw. "
            "The grip of the bore hardly follows while the cone sticks, by no more than a tenth of what the screws lose: it is judged before settling."
        )
    if found.stays is not None and joint.cone.holding_force:
        word = "stays" if found.stays else "may slide back"
        yield f"{_let_go(joint.cone)}, the screws keep {found.least * found.chosen.count:.0f} N at least, and it {word}."


def _let_go(cone: Cone) -> str:
    """Why the ring needs a pull that stays, and how much."""
    thrust = f"{cone.drawn_off:.0f} N"
    if cone.locks:
        return f"The thrust draws the ring off with {thrust} (its slip safety in it), and the cone's lock is not counted on against that: it needs as much pull"
    more = f" ({thrust} of it against the thrust and its slip safety)" if cone.drawn_off else ""
    return f"At low cone friction the ring does not lock by itself: it needs {cone.holding_force:.0f} N of pull{more}"


def _thread(found: Judged, joint: Joint):
    if joint.tapped is None:
        yield (
            "There is no flange: the screws need a thread in something that bears on the sleeve's back face, such as the hub or a plate behind it. "
            "Neither its thread nor its strength is judged."
        )
        return
    if found.engagement is None:
        yield "The screws are threaded into the flange; its strength is not given, so the depth of thread is not judged."
        return
    yield (
        f"The screws are threaded into the flange: {found.engagement_at_preload:.1f} mm of thread hold the greatest preload, "
        f"and with {found.engagement:.1f} mm the screw breaks before the thread strips."
    )
    if joint.tapped.thickness and found.engagement > joint.tapped.thickness:
        yield f"The flange has {joint.tapped.thickness:g} mm: overtightened, the thread strips before the screw breaks."


def _heads(found: Judged, joint: Joint):
    if joint.ring_yield is None:
        yield f"The heads press with {found.head_pressure:.0f} MPa on the ring; its yield is not given, so that is not judged."
        return
    yield (
        f"The heads press with {found.head_pressure:.0f} MPa on the ring, against its yield of {joint.ring_yield:.0f} MPa "
        "(common practice, no source)."
    )


def _shear(found: Judged, joint: Joint):
    loads, pulls = "torque or thrust", ""
    if joint.cone.drawn_off:
        loads, pulls = "torque", " The thrust draws the ring off: it is in the pull that the ring needs to stay on the cone."
    yield (
        f"The screws carry no {loads} of the hub: they pass the ring with play, so they would bear sideways only after the seat has "
        f"slipped. Friction on the seat alone is counted.{pulls}"
    )


def _jacking(found: Judged, joint: Joint):
    force, count = joint.cone.jacking_force, found.chosen.jacking_count
    if force is None:
        yield "What it takes to push the ring off again is not known here."
    elif force == 0:
        yield "The ring lets go by itself even at high cone friction: slacken the screws in rounds and keep them in until it is loose."
    elif not count:
        yield f"There are no jacking screws, and it takes up to {force:.0f} N to push the ring off."
    else:
        size, force = found.chosen.size, f"{found.jacking_each:.0f} N"
        push = f"1 jacking screw {size} pushes the ring off with up to {force}" if count == 1 else f"{count} jacking screws {size} push the ring off with up to {force} each"
        yield (
            f"{push}, {found.jacking_torque:.2g} N·m at the stated friction. "
            "Leave the clamp screws in, slackened by a few turns: the ring may jump."
        )
        if joint.tapped is None:
            yield "They need something to push against where there is no flange."
        if count == 1:
            yield "A single jacking screw tilts the ring; two or more are better."
