"""Hand calculation of a coupling: no solver, no mesh, no arrays; it rests on the other formulas of this room.

`hand(case)` returns the block `hand` of the stored results. Values are at nominal friction; lengths mm, forces N for the
whole ring, stresses MPa. The derivations stand in colletfea.cases.hand.columns and colletfea.cases.hand.slit_formulas.
"""

from colletfea.cases.hand import columns
from colletfea.cases.hand.advice import advice
from colletfea.cases.hand.coupling import Coupling, coupling
from colletfea.cases.hand.notes import notes
from colletfea.cases.hand.slit_formulas import edge_peak
from colletfea.cases.hand.slit_model import CONE_PEAKS

CLOSING = ("closing_travel_mm", "closing_force_N")


def hand(case, fit=None) -> dict:
    """Everything the hand calculation says of a case, under the names of the stored results.

    case: a checked case. fit: its clearances [mm, on diameter] with attributes tightest, middle, loosest; used where the
    case names a fit. A value that does not exist is None; `notes` says why, and which values stand with a reservation.
    """
    c = coupling(case)
    return {
        "grip_normal_force_N": columns.grip_normal(c),
        "push_over_radial_force": c.draw,
        "self_locking": c.taper < c.friction_angle,
        "hoop_stiffness_ratio": c.closing.ratio if c.closing else None,
        "fill_fraction": c.fill_fraction,
        "plain": columns.plain(c),
        "refined": columns.refined(c),
        "fit": None if fit is None or case.sleeve.fit is None else _fit(c, fit),
        "slits": None if c.closed else _slits(c),
        "notes": notes(c, case, fit),
        "advice": advice(case),
    }


def _fit(c: Coupling, fit) -> dict:
    return {name: at_clearance(c, getattr(fit, name)) for name in ("tightest", "middle", "loosest")}


def at_clearance(c: Coupling, clearance: float) -> dict:
    """Closing values of both columns at another clearance [mm, on diameter]."""
    other = c.changed(clearance=clearance)
    both = {"plain": columns.plain(other), "refined": columns.refined(other)}
    closing = {name: {key: column[key] for key in CLOSING} for name, column in both.items()}
    return {"clearance_mm": clearance, **closing}


def at_friction(case, cone: float, bore: float, clearance: float | None = None) -> dict:
    """Both columns at other friction values, and at another clearance [mm, on diameter] where one is given.

    The worst clamp force comes from the cone's high and the bore's low value.
    """
    c = coupling(case)
    other = c.changed(
        cone_friction=cone, bore_friction=bore, clearance=c.clearance if clearance is None else clearance
    )
    return {"plain": columns.plain(other), "refined": columns.refined(other)}


def _slits(c: Coupling) -> dict:
    share = hoop_over_pressure(c)
    through = c.slits.pattern == "through"
    return {
        "formula": c.model.name,
        "scatter_percent": c.model.scatter_percent,
        "q_over_p": share,
        "cone_peak_factor": _cone_peak(c, share),
        "excess_cone_force_relative": _excess(c) * share if through and share is not None else None,
        "bending_stress_MPa": columns.slit_bending(c),
        "shuts_at_closing_mm": c.model.shuts_at,
    }


def _excess(c: Coupling) -> float:
    """Hoop ratio of the slit sleeve alone: once it is seated it carries no mean hoop force, but a ring model goes on.

    The share of a flange is left out: no shaft supports its bore, so it keeps its closing force (3D study: cone less
    bore force stays at the closing force and more).
    """
    return c.changed(flange_thickness=0.0).closing.ratio


def hoop_over_pressure(c: Coupling) -> float | None:
    """q/p: pressure E t c/r^2 that would close the sleeve as a closed ring, over the cone's mean pressure at the duty.

    t and r at half the length, c the radial clearance. None without a duty, or where the duty needs no grip.
    """
    normal = columns.grip_normal(c)
    if not normal:
        return None
    wall = c.wall.thickness(c.length / 2)
    hoop = c.sleeve_young * wall * c.clearance / 2 / c.mean_radius**2
    return hoop * columns.pressure_passed(c) / columns.mean_pressure(c, normal)


def _cone_peak(c: Coupling, share: float | None) -> float | None:
    if c.slits.pattern == "through":
        return None if share is None else edge_peak(share)
    return CONE_PEAKS[c.slits.pattern]
