"""The two columns of the hand calculation: the trade's plain two-stage sheet, and a refined one.

Normal forces are radial sums over the ring [N]; lengths mm, stresses and pressures MPa. Names follow the stored results.
Derived here from statics of the cone, thin rings (plain) and Lamé's thick rings (refined; what the ring covers and the
share of closed rings in colletfea.cases.hand.covered); a value that needs a duty is
None without one, and a closing value is None where the slots shut before the bore reaches the shaft.
"""

import math

from colletfea.cases.hand import covered, lame
from colletfea.cases.hand.corners import drawn_off
from colletfea.cases.hand.coupling import Coupling
from colletfea.cases.hand.slit_formulas import bending_stress

STRESSES = ("ring_hoop", "ring_von_mises", "sleeve_von_mises", "shaft_von_mises")


def _sum(*terms):
    """Sum of the terms, None where one does not exist."""
    return None if None in terms else sum(terms)


def _times(value, factor):
    return None if value is None else value * factor


# -- closing ---------------------------------------------------------------------------------------------------------


def plain_closing_normal(c: Coupling) -> float | None:
    """Radial force [N] that closes the sleeve as a thin ring of its mean diameter; None where the slots shut before."""
    if not c.closes:
        return None
    span = c.closing
    mean_diameter = c.diameter + c.clearance + span.mean_wall
    return 2 * math.pi * span.ratio * c.sleeve_young * span.area * c.clearance / mean_diameter


def refined_closing_normal(c: Coupling) -> float | None:
    """Radial force [N] that closes the sleeve, summed station by station; which stations: `covered.closing_stiffness`.

    None where the slots shut before, and where the push does more to the sleeve than the formulas know (`covered.known`).
    """
    return c.sleeve_young * c.clearance / 2 * covered.closing_stiffness(c) if c.closes and covered.known(c) else None


def ring_expansion(c: Coupling, normal: float) -> float:
    """Growth [mm] of the ring's bore under a radial force [N] on the cone.

    The force is spread over the ring's own length: what overhangs the sleeve helps, and what of the sleeve is not
    covered presses on no ring (measured: colletfea.cases.hand.notes).
    """
    pressure = normal / (2 * math.pi * c.cone_radius * c.ring_length)
    return lame.bore_expansion(pressure, c.cone_radius, c.ring_radius, c.ring_young, c.ring_poisson)


def refined_closing_travel(c: Coupling) -> float | None:
    """Ring travel [mm] that closes the bore: the cone's own closing and the ring's growth over tan(alpha)."""
    normal = refined_closing_normal(c)
    if normal is None:
        return None
    closing = c.clearance / 2
    if c.closed:
        closing *= lame.outside_over_bore_closing(c.bore_radius, c.cone_radius, c.sleeve_poisson)
    return (closing + ring_expansion(c, normal)) / c.slope


# -- grip ------------------------------------------------------------------------------------------------------------


def pressure_passed(c: Coupling) -> float:
    """Bore over cone pressure tau [-] beyond closing: Lamé for a closed sleeve, force passed on for a slit one."""
    return covered.pressure_passed(c, c.cone_radius) if c.closed else c.cone_radius / c.bore_radius


def slip_normal(c: Coupling, friction: float, radius: float) -> float | None:
    """Normal force [N] at which friction at a radius [mm] just carries slip safety times torque and thrust together.

    0 where there is nothing to carry, None where there is no friction.
    """
    force = math.hypot(c.torque / radius, c.thrust)
    if force == 0:
        return 0.0
    return c.slip_safety * force / friction if friction > 0 else None


def cone_push(c: Coupling, friction: float, lost: float = 0.0) -> float | None:
    """Push force [N] at which the cone carries the torque where the hub sits on the ring; None without a friction that would.

    friction: of the cone while it carries; c has that of the pull, which makes the normal force. lost: normal force [N] taken
    off it. A thrust > 0 draws the ring off, so it comes on top; one < 0 is no help.
    """
    if c.torque and friction <= 0:
        return None
    normal = c.slip_safety * abs(c.torque) / (friction * covered.cone_radius(c)) if c.torque else 0.0
    return (normal + lost) * radial_share(c) * c.draw + drawn_off(c)


def radial_share(c: Coupling) -> float:
    """Radial force over normal force of a cone being drawn on, cos(alpha) - mu sin(alpha)."""
    return math.cos(c.taper) - c.cone_friction * math.sin(c.taper)


def grip_normal(c: Coupling) -> float | None:
    """Bore normal force [N] that the duty needs; None without a duty, without friction, or where the cone's share is not known.

    Where the hub sits on the ring the cone must hold too: what the bore has when the push is `cone_push`, whose radial force
    is N0 + N times `covered.grip_share`.
    """
    if c.torque is None:
        return None
    bore = slip_normal(c, c.bore_friction, c.diameter / 2)
    if c.carried_by != "ring" or bore is None:
        return bore
    push, closing = cone_push(c, c.cone_friction), refined_closing_normal(c) or 0.0
    return None if push is None or not covered.known(c) else max(bore, (push / c.draw - closing) / covered.grip_share(c))


def cone_governs(c: Coupling) -> bool:
    """Whether the cone, not the bore, sets the grip."""
    normal = grip_normal(c)
    return normal is not None and normal > slip_normal(c, c.bore_friction, c.diameter / 2)


def mean_pressure(c: Coupling, normal: float) -> float:
    """Mean pressure [MPa] on the seat's metal for a bore normal force [N]: the area is pi d L f, not d L."""
    return normal / (math.pi * c.diameter * c.length * c.fill_fraction)


def seat_pressure(c: Coupling, normal: float) -> float:
    """Pressure [MPa] on what touches: a closed sleeve bears where the ring covers it, a slit one nearly everywhere.

    Against simulation the mean over what touches was 0.8 to 1.4 times this for closed sleeves, 1 to 1.4 for slit ones.
    """
    pressure = mean_pressure(c, normal)
    return pressure * c.length / covered.covered_length(c) if c.closed else pressure


def grip_travel(c: Coupling, normal: float) -> float:
    """Ring travel [mm] from closing to a bore normal force [N]: sleeve wall, shaft and ring give way."""
    a, b = c.bore_radius, c.cone_radius
    pressure = mean_pressure(c, normal)
    on_cone = pressure / pressure_passed(c)
    if c.closed:
        wall = lame.outside_closing(pressure, on_cone, a, b, c.sleeve_young, c.sleeve_poisson)
    else:
        wall = covered.shaft_compliance(c) * pressure + lame.hoop_free_shortening(on_cone, a, b, c.sleeve_young)
    return (wall + ring_expansion(c, covered.grip_share(c) * normal)) / c.slope


# -- columns ---------------------------------------------------------------------------------------------------------


def _column(c: Coupling, closing_travel, closing_normal, grip_share: float | None, travel) -> dict:
    """One column from closing travel [mm] and radial force [N]; grip_share [-] is the cone's force over the bore's beyond
    closing, travel the grip travel [mm]; each None where it does not exist."""
    normal = grip_normal(c)
    closing_force = _times(closing_normal, c.draw)
    gained = None if grip_share is None else _times(normal, grip_share)
    grip_force = _times(gained, c.draw)
    cone_normal = _sum(closing_normal, gained)
    return {
        "closing_travel_mm": closing_travel,
        "closing_force_N": closing_force,
        "closing_normal_force_N": closing_normal,
        "grip_mean_pressure_MPa": None if normal is None else mean_pressure(c, normal),
        "grip_force_N": grip_force,
        "grip_travel_mm": travel,
        "clamp_force_N": _sum(closing_force, grip_force),
        "clamp_force_sliding_N": _sum(closing_force, grip_force, _times(normal, c.bore_friction)),
        "clamp_travel_mm": _sum(closing_travel, travel),
        "release_force_N": _times(cone_normal, math.tan(c.friction_angle - c.taper)),
    }


def plain(c: Coupling) -> dict:
    """The two-stage sheet: a thin ring closes, then every newton on the cone reaches the bore. Units stand in the names."""
    return _column(c, c.clearance / (2 * c.slope), plain_closing_normal(c), 1.0, None)


def refined(c: Coupling) -> dict:
    """Thick rings, an elastic clamp ring, and the force that the sleeve keeps for itself. Units stand in the names."""
    normal, known = grip_normal(c), covered.known(c)
    travel = grip_travel(c, normal) if known and normal is not None else None
    column = _column(c, refined_closing_travel(c), refined_closing_normal(c), covered.grip_share(c) if known else None, travel)
    return {**column, "stress_MPa": stresses(c)}


def stresses(c: Coupling, bent: bool = True) -> dict:
    """Stresses [MPa] at the bore of each part at clamp force, hoop > 0 in tension; None each where there is none.

    The ring's pressure is taken over the shorter of sleeve and ring. bent: a through slit adds its bending, compression at
    the bore, to the sleeve; fingers and alternating slots bend too, which is left out.
    """
    normal, closing = grip_normal(c), refined_closing_normal(c)
    if normal is None or closing is None:
        return dict.fromkeys(STRESSES)
    a, b, pressure = c.bore_radius, c.cone_radius, seat_pressure(c, normal)
    on_ring = (closing + covered.grip_share(c) * normal) / (2 * math.pi * b * min(c.length, c.ring_length))
    ring_hoop = lame.hoop_at_bore(on_ring, 0.0, b, c.ring_radius)
    shaft_bore = c.shaft_bore / 2
    shaft = -lame.hoop_at_bore(0.0, pressure, shaft_bore, a) if shaft_bore else pressure
    values = ring_hoop, lame.von_mises(-on_ring, ring_hoop), _sleeve_stress(c, pressure, bent), shaft
    return dict(zip(STRESSES, values, strict=True))


def _sleeve_stress(c: Coupling, pressure: float, bent: bool) -> float:
    """Von Mises stress [MPa] at the sleeve's bore under a pressure [MPa] there and what closing left."""
    a, b = c.bore_radius, c.cone_radius
    if c.closed:
        on_cone = lame.closing_pressure(c.clearance / 2, a, b, c.sleeve_young) + pressure / pressure_passed(c)
        return lame.von_mises(-pressure, lame.hoop_at_bore(pressure, on_cone, a, b))
    return lame.von_mises(-pressure, -(slit_bending(c) or 0.0) if bent else 0.0)


def slit_bending(c: Coupling) -> float | None:
    """Bending stress [MPa] of a sleeve with a through slit closed by its clearance, where the wall is thickest."""
    if c.slits.pattern != "through":
        return None
    wall = c.wall
    return bending_stress(c.sleeve_young, wall.thickness(0), wall.radius(0), c.clearance / 2, c.slits.count)
