"""A set of screws on a clamp ring: its preloads, what they ask of screw, ring and thread, and what pushes the ring off again.

Forces of a Joint are for the whole ring [N]; those of a Judged are for each screw. Lengths in mm, stresses in MPa, angles
in rad. Screws pull the ring over the cone, and the cone's grip carries the duty: no torque of the hub is put on them here, and of
its thrust only what draws the ring off.
"""

import math
from dataclasses import dataclass, field, replace

from colletfea.cases.hand import tightening
from colletfea.cases.hand.screw_room import RingShape, Room, room
from colletfea.cases.hand.threads import PropertyClass, Screw, property_class, screw
from colletfea.cases.hand.tightening import Friction

AT_LIMIT = 1 + 1e-9  # so many times its limit, a value is still at it: the rest is rounding


@dataclass(frozen=True)
class ScrewSet:
    """What is bought: count, size ("M6") and property class ("8.8"), and how many jacking screws (None: half the count)."""

    count: int
    size: str
    property_class: str
    jacking: int | None = None

    @property
    def jacking_count(self) -> int:
        return self.count // 2 if self.jacking is None else self.jacking


@dataclass(frozen=True)
class Tightening:
    """Friction at its low end, greatest over least preload, torque a screw [N m] where one is given, settling [um]."""

    thread_friction: float = 0.12
    head_friction: float = 0.12
    scatter: float = 1.6
    torque: float | None = None
    settling: float = 0.0

    @property
    def friction(self) -> Friction:
        return Friction(self.thread_friction, self.head_friction)


@dataclass(frozen=True)
class Cone:
    """The cone the ring sits on: taper [rad], friction at both ends of its band, and the forces of the push [N], None where unknown.

    normal_force: integral of p dA in the corner that is judged for staying; radial_force: greatest radial sum over the
    corners; stiffness: of the whole coupling while the cone sticks [N/mm]; drawn_off: thrust, its slip safety in it, that draws
    the ring off.
    """

    taper: float
    friction_low: float
    friction_high: float
    normal_force: float | None = None
    radial_force: float | None = None
    stiffness: float | None = None
    drawn_off: float = 0.0

    def pulled(self, normal: float, radial: float) -> "Cone":
        """The same with its forces times so much, as they are in proportion to the pull."""
        times = lambda force, ratio: None if force is None else force * ratio
        return replace(self, normal_force=times(self.normal_force, normal), radial_force=times(self.radial_force, radial))

    @property
    def holding_force(self) -> float | None:
        """Pull [N] the screws must keep up so that the ring stays: N_c (sin a - mu_low cos a), 0 where it locks, and the thrust.

        A lock is not counted on against the thrust: where the torque turns the cone's friction round, none is left along it.
        """
        if self.normal_force is None:
            return None
        return self.normal_force * max(0.0, math.sin(self.taper) - self.friction_low * math.cos(self.taper)) + self.drawn_off

    @property
    def locks(self) -> bool:
        """Whether the ring stays by itself at the low friction, where no thrust draws it off."""
        return math.tan(self.taper) <= self.friction_low

    @property
    def jacking_force(self) -> float | None:
        """Force [N] that pushes the ring off: N_r tan(phi_high - a), 0 where it lets go by itself.

        >>> round(Cone(math.radians(5), 0.07, 0.13, radial_force=100000).jacking_force)
        4203
        """
        if self.radial_force is None:
            return None
        return self.radial_force * math.tan(max(0.0, math.atan(self.friction_high) - self.taper))


@dataclass(frozen=True)
class Tapped:
    """The part the screws are threaded into: its thickness [mm] and strength [MPa] (R_m, or yield), None where unknown."""

    thickness: float | None = None
    strength: float | None = None


@dataclass(frozen=True)
class Joint:
    """All that a set of screws is held against; clamped_length [mm] is from under the head to the first thread.

    least and greatest [N] are the clamp forces the ring is to get, wanted those that other sets are chosen for, None: the same.
    tapped None: no flange. ring_yield [MPa] limits the pressure under the heads, None: not judged.
    """

    least: float
    greatest: float
    clamped_length: float
    ring: RingShape
    cone: Cone
    tapped: Tapped | None = None
    ring_yield: float | None = None
    wanted: tuple[float, float] | None = None
    tightening: Tightening = field(default_factory=Tightening)

    def to_choose_for(self) -> "Joint":
        """The same with the clamp forces that other sets must bring, whatever torque was given; the cone's forces go with them."""
        least, greatest = self.wanted or (self.least, self.greatest)
        # a ring that met the flange pressed less than its pull would: what was found is not scaled down
        cone = self.cone.pulled(least / self.least, max(greatest / self.greatest, 1.0))
        return replace(self, least=least, greatest=greatest, cone=cone, tightening=replace(self.tightening, torque=None))

    def on_circle(self, circle: float) -> "Joint":
        return replace(self, ring=replace(self.ring, circle=circle))


@dataclass(frozen=True)
class Judged:
    """One set held against a joint; forces [N] for each screw, torque [N m]. `because` names what fails, one clause each.

    least is after settling; engagement is the depth of thread [mm] at which the screw breaks first, engagement_at_preload what
    the greatest preload asks for; None: the tapped part or its strength is unknown.
    """

    chosen: ScrewSet
    screw: Screw
    grade: PropertyClass
    least: float
    greatest: float
    loss: float
    lost_per_um: float
    torque: float
    utilisation: float
    head_pressure: float
    engagement: float | None
    engagement_at_preload: float | None
    room: Room
    jacking_each: float | None
    jacking_torque: float | None
    jacking_utilisation: float | None
    strength_faults: tuple[str, ...]
    stays: bool | None

    @property
    def because(self) -> tuple[str, ...]:
        return (*self.strength_faults, *([self.room.because] if self.room.because else []))

    @property
    def ok(self) -> bool:
        """Strong enough in all that could be judged, and with room."""
        return not self.because


def clamp_of_torque(chosen: ScrewSet, how: Tightening) -> tuple[float, float]:
    """Least and greatest clamp force [N] of the whole ring that a given torque brings, settling left out.

    Greatest at the stated friction, least = greatest / scatter. ValueError without a torque.

    >>> [round(force) for force in clamp_of_torque(ScrewSet(6, "M6", "8.8"), Tightening(torque=9.5))]
    [35312, 56499]
    """
    if how.torque is None:
        raise ValueError("no tightening torque is given")
    s = screw(chosen.size)
    greatest = chosen.count * tightening.preload(how.torque * 1000, s.thread, s.mean_head_diameter, how.friction)
    return greatest / how.scatter, greatest


def judge(chosen: ScrewSet, joint: Joint) -> Judged:
    """The set's preloads and what they ask for. KeyError for an unknown size or class."""
    s = screw(chosen.size)
    grade = property_class(chosen.property_class, s.thread.diameter)
    how = joint.tightening
    least, greatest = _preloads(chosen, joint)
    lost_per_um = tightening.lost_per_micrometre(
        tightening.compliance(s.thread, joint.clamped_length, grade.young), chosen.count, joint.cone.stiffness
    )
    loss = min(least, how.settling * lost_per_um)
    strongest = tightening.greatest_preload(s.thread, grade.yield_strength, how.thread_friction)
    each, jacking_torque = _jacking(chosen, s, joint)
    found = Judged(
        chosen, s, grade, least - loss, greatest, loss, lost_per_um,
        torque=greatest * tightening.torque_over_preload(s.thread, s.mean_head_diameter, how.friction) / 1000,
        utilisation=greatest / strongest,
        head_pressure=tightening.head_pressure(greatest, s),
        engagement=_depth(s, grade, joint.tapped, None),
        engagement_at_preload=_depth(s, grade, joint.tapped, greatest),
        room=room(s, chosen.count, chosen.jacking_count, joint.ring),
        jacking_each=each, jacking_torque=jacking_torque, jacking_utilisation=None if each is None else each / strongest,
        strength_faults=(), stays=_stays(chosen.count * (least - loss), joint.cone),
    )
    return replace(found, strength_faults=tuple(_faults(found, joint)))


def _preloads(chosen: ScrewSet, joint: Joint) -> tuple[float, float]:
    """Least (before settling) and greatest preload [N] of each screw."""
    ring = (joint.least, joint.greatest) if joint.tightening.torque is None else clamp_of_torque(chosen, joint.tightening)
    return ring[0] / chosen.count, ring[1] / chosen.count


def _depth(s: Screw, grade: PropertyClass, tapped: Tapped | None, force: float | None) -> float | None:
    return tightening.engagement(s.thread, grade, tapped.strength, force) if tapped and tapped.strength else None


def _stays(pull: float, cone: Cone) -> bool | None:
    return None if cone.holding_force is None else pull * AT_LIMIT >= cone.holding_force


def _jacking(chosen: ScrewSet, s: Screw, joint: Joint) -> tuple[float | None, float | None]:
    """Force [N] and torque [N m] of each jacking screw; None without screws or where the force is unknown."""
    force, count = joint.cone.jacking_force, chosen.jacking_count
    if force is None or not count:
        return None, None
    return force / count, force / count * tightening.jacking_lever(s.thread, joint.tightening.friction) / 1000


def _faults(found: Judged, joint: Joint):
    """One clause for each thing the set is too weak for."""
    name = f"{found.chosen.size} {found.chosen.property_class}"
    if found.utilisation > AT_LIMIT:
        bears = found.greatest / found.utilisation
        yield f"each screw gets up to {found.greatest:.0f} N, and {name} bears {bears:.0f} N at this thread friction"
    if joint.ring_yield and found.head_pressure > joint.ring_yield * AT_LIMIT:
        yield f"the heads press with {found.head_pressure:.0f} MPa on a ring that yields at {joint.ring_yield:.0f} MPa"
    thickness = joint.tapped.thickness if joint.tapped else None
    depth = found.engagement_at_preload
    if depth and thickness and depth > thickness * AT_LIMIT:
        yield f"at the greatest preload the thread needs {depth:.1f} mm of depth, and the flange has {thickness:g} mm"
    if found.stays is False:
        yield (
            f"after settling the screws may be down to {found.least * found.chosen.count:.0f} N in all, "
            f"and the ring needs {joint.cone.holding_force:.0f} N to stay on the cone"
        )
    if found.jacking_utilisation and found.jacking_utilisation > AT_LIMIT:
        yield f"each jacking screw must push with {found.jacking_each:.0f} N, more than {name} bears"
