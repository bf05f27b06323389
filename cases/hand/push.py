"""A push of given force by hand: what seat and cone then press, how far the ring has come, and the force a duty needs.

Forces N for the whole ring, lengths mm, torque N mm; > 0 pushes the ring toward the back face. Friction while pulling
and while carrying may differ, and so may the clearance: the corners of a decision. Refined hand calculation
(colletfea.cases.hand.columns): straight from start to closing, straight beyond.
"""

import math
from dataclasses import dataclass

from colletfea.cases.hand import columns, covered
from colletfea.cases.hand.coupling import Coupling


@dataclass(frozen=True)
class Grip:
    """A seat under a push: normal forces [N, integral of p dA] and radii of their torques [mm].

    bore_normal is 0 before the bore has closed. The bore's radius is the shaft's.
    """

    bore_normal: float
    cone_normal: float
    bore_radius: float
    cone_radius: float


@dataclass(frozen=True)
class Friction:
    """Friction of one corner: of the cone while pulling; of cone and bore while carrying."""

    pulling_cone: float
    carrying_cone: float
    carrying_bore: float


def at_corner(c: Coupling, pulling_cone: float, clearance: float | None = None) -> Coupling:
    """The coupling with the cone's friction while pulling and another clearance [mm, on diameter; None: its own]."""
    return c.changed(cone_friction=pulling_cone, clearance=c.clearance if clearance is None else clearance)


def grip_at(c: Coupling, force: float, pulling_cone: float, clearance: float | None = None) -> Grip | None:
    """What bore and cone press with under a push force [N]; None where the sleeve can't close by hand."""
    c = at_corner(c, pulling_cone, clearance)
    closing = columns.refined_closing_normal(c)
    if closing is None:
        return None
    radial = force / c.draw
    bore = max(0.0, radial - closing) / covered.grip_share(c)
    return Grip(bore, radial / _radial_share(c), c.diameter / 2, covered.cone_radius(c))


def _radial_share(c: Coupling) -> float:
    """Radial force over normal force of a cone being drawn on, cos(alpha) - mu sin(alpha)."""
    return math.cos(c.taper) - c.cone_friction * math.sin(c.taper)


def travel_at(c: Coupling, force: float, pulling_cone: float, clearance: float | None = None) -> float | None:
    """Ring travel [mm] at a push force [N]; None where the sleeve can't close by hand."""
    c = at_corner(c, pulling_cone, clearance)
    closing = columns.refined_closing_travel(c)
    if closing is None:
        return None
    start = columns.refined_closing_normal(c) * c.draw
    if force < start:
        return closing * force / start
    return closing + columns.grip_travel(c, (force - start) / (c.draw * covered.grip_share(c)))


def force_at(c: Coupling, travel: float, pulling_cone: float, clearance: float | None = None) -> float | None:
    """Push force [N] at a ring travel [mm]: `travel_at` the other way round."""
    c = at_corner(c, pulling_cone, clearance)
    closing = columns.refined_closing_travel(c)
    if closing is None:
        return None
    start = columns.refined_closing_normal(c) * c.draw
    if travel < closing:
        return start * travel / closing
    return start + (travel - closing) / columns.grip_travel(c, 1.0) * c.draw * covered.grip_share(c)


def needed_force(
    c: Coupling, friction: Friction, clearance: float | None = None, lost: tuple[float, float] = (0.0, 0.0)
) -> float | None:
    """Push force [N] at which the seat carries torque and thrust times the slip safety.

    lost: bore and cone normal force [N] that a service takes. Hub on the ring: the cone carries the torque too, with
    the normal force that the push made at the pulling friction; a thrust > 0 draws the ring off, so its push must come
    on top of the cone's, and one < 0 is no help. None without a duty, without friction, or where the sleeve can't close.
    """
    c = at_corner(c, friction.pulling_cone, clearance)
    closing = columns.refined_closing_normal(c)
    if c.torque is None or closing is None:
        return None
    bore = columns.slip_normal(c, friction.carrying_bore, c.diameter / 2)
    if bore is None:
        return None
    force = (closing + covered.grip_share(c) * (bore + lost[0])) * c.draw
    if c.carried_by != "ring":
        return force
    if friction.carrying_cone <= 0:
        return None if c.torque else force
    cone = c.slip_safety * abs(c.torque) / (friction.carrying_cone * covered.cone_radius(c)) + lost[1]
    return max(force, cone * _radial_share(c) * c.draw + c.slip_safety * max(c.thrust, 0.0))


def usable_torque(
    c: Coupling,
    force: float,
    friction: Friction,
    clearance: float | None = None,
    lost: tuple[float, float] = (0.0, 0.0),
) -> float | None:
    """Torque [N mm] that the pair that governs carries beside the thrust times the slip safety, under a push force [N].

    By the rules and arguments of `needed_force`: at that force it is the torque times the slip safety.
    """
    grip = grip_at(c, force, friction.pulling_cone, clearance)
    if grip is None:
        return None
    thrust = c.slip_safety * c.thrust
    held = friction.carrying_bore * max(0.0, grip.bore_normal - lost[0])
    bore = grip.bore_radius * math.sqrt(max(0.0, held**2 - thrust**2))
    if c.carried_by != "ring":
        return bore
    left = grip_at(c, max(0.0, force - max(thrust, 0.0)), friction.pulling_cone, clearance)
    return min(bore, friction.carrying_cone * max(0.0, left.cone_normal - lost[1]) * left.cone_radius)
