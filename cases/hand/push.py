"""A push of given force by hand: what seat and cone then press, how far the ring has come, and the force a duty needs.

Forces N for the whole ring, lengths mm, torque N mm; > 0 pushes the ring toward the back face. Friction while pulling
and while carrying may differ, and so may the clearance: the corners of a decision. Refined hand calculation
(colletfea.cases.hand.columns): straight from start to closing, straight beyond.
"""

import math

from colletfea.cases.hand import columns, covered
from colletfea.cases.hand.corners import Rub, Seat, drawn_off
from colletfea.cases.hand.coupling import Coupling


def at_corner(c: Coupling, pulling_cone: float, clearance: float | None = None) -> Coupling:
    """The coupling with the cone's friction while pulling and another clearance [mm, on diameter; None: its own]."""
    return c.changed(cone_friction=pulling_cone, clearance=c.clearance if clearance is None else clearance)


def grip_at(
    c: Coupling, force: float, pulling_cone: float, clearance: float | None = None
) -> tuple[Seat, Seat] | None:
    """Bore and cone under a push force [N]; None where the sleeve can't close by hand.

    Mean and peak pressure are one value; the torque arms are the shaft's radius, and the cone's where it is covered.
    The bore touches under the ring if the sleeve is closed, over its whole length if it is slit.
    """
    c = at_corner(c, pulling_cone, clearance)
    closing = columns.refined_closing_normal(c)
    if closing is None:
        return None
    radial = force / c.draw
    bore = max(0.0, radial - closing) / covered.grip_share(c)
    stretch = covered.covered(c) if c.closed else (0.0, c.length)
    return (
        _seat(bore, bore, c.diameter / 2, stretch, c.fill_fraction),
        _seat(radial / columns.radial_share(c), radial, covered.cone_radius(c), covered.covered(c), c.fill_fraction / math.cos(c.taper)),
    )


def _seat(normal: float, radial: float, radius: float, stretch: tuple[float, float], fill: float) -> Seat:
    """fill: metal's share of the circumference times meridional length over length along z."""
    if normal <= 0:
        return Seat()
    length = stretch[1] - stretch[0]
    pressure = normal / (2 * math.pi * radius * length * fill)
    return Seat(normal, normal * radius, radial, length, pressure, pressure, stretch)


def cone_carrying(c: Coupling, force: float, pulling_cone: float, clearance: float | None = None) -> Seat | None:
    """The cone as it counts where the hub sits on the ring: a thrust > 0, times slip safety, is taken off the push [N]."""
    left = max(0.0, force - drawn_off(c))
    grip = grip_at(c, left, pulling_cone, clearance)
    return grip and grip[1]


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
    c: Coupling,
    pulling: Rub,
    carrying: Rub,
    clearance: float | None = None,
    lost: tuple[float, float] = (0.0, 0.0),
) -> float | None:
    """Push force [N] at which the seat carries torque and thrust times the slip safety.

    pulling, carrying: friction of cone and bore in either; a bore that rubs while pulling changes nothing by hand.
    lost: bore and cone normal force [N] that a service takes. Hub on the ring: the cone must hold as well, by
    `columns.cone_push`. None without a duty, without friction, or where the sleeve can't close.
    """
    c = at_corner(c, pulling.cone, clearance)
    closing = columns.refined_closing_normal(c)
    if c.torque is None or closing is None:
        return None
    bore = columns.slip_normal(c, carrying.bore, c.diameter / 2)
    if bore is None:
        return None
    force = (closing + covered.grip_share(c) * (bore + lost[0])) * c.draw
    if c.carried_by != "ring":
        return force
    cone = columns.cone_push(c, carrying.cone, lost[1])
    return None if cone is None else max(force, cone)
