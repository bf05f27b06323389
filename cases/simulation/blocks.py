"""Accepted states as the results name them: state blocks, history rows, tables along the pairs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from colletfea.cases.simulation import stress
from colletfea.cases.simulation.model import BORE, CONE, SHAFT, SLEEVE
from colletfea.cases.simulation.measures import bore_gap, push_force
from colletfea.fea.contact.pair import OPEN, SLIP, STICK
from colletfea.fea.stepping.state import State
from colletfea.fea.model.model import Model
from colletfea.cases.stored.names import PARTS
from colletfea.fea.bodies.measures import flowed
from colletfea.fea.contact.resultants import profile, resultant

WORDS = {OPEN: "open", STICK: "stick", SLIP: "slip"}


def block(model: Model, state: State, travel: float, keep: np.ndarray | None = None) -> dict[str, Any]:
    """One state of `simulation` at a travel [mm]; units stand in the names. keep (e, q): see `plastic`."""
    peaks = stress.raw(model, state)
    return {
        "travel_mm": travel,
        "push_force_N": push_force(state),
        "shaft_reaction_N": state.totals[SHAFT],
        "sleeve_reaction_N": state.totals[SLEEVE],
        "bore": seat(model, state, BORE),
        "cone": seat(model, state, CONE),
        "von_mises_MPa": {part: peak.value for part, peak in peaks.items()},
        "nose_drift_mm": nose_drift(model, state),
        "plastic": plastic(model, state, keep),
    }


def plastic(model: Model, state: State, keep: np.ndarray | None = None) -> dict[str, Any] | None:
    """What has flowed in each part so far, None where everything is elastic.

    keep (e, q): points that the largest strain is looked for at, those clear of the stretches that contact edges swept.
    """
    if state.flow is None or not np.any(state.flow.alpha):
        return None
    found = flowed(model.solid, state.flow, keep)
    return {
        part: {
            "strain_integral_mm3": found[part].strain_integral,
            "work_Nmm": found[part].work,
            "volume_share": found[part].share,
            "largest_strain": found[part].largest,
            "largest_r_mm": found[part].r,
            "largest_z_mm": found[part].z,
        }
        if part in found
        else None
        for part in PARTS
    }


def at_touch(model: Model, before: State, near: State) -> dict[str, Any]:
    """The state at first touch: the last two before it, carried on along the smallest bore gap to none.

    Lengths of contact, which grow by whole points, are those of the nearer state.
    """
    wide, narrow = (bore_gap(model, s) for s in (before, near))
    share = narrow / (wide - narrow) if 0 <= narrow < wide else 0.0

    def beyond(a: dict, b: dict) -> dict:
        return {k: beyond(a[k], b[k]) if isinstance(b[k], dict) and a[k] else one(k, a[k], b[k]) for k in b}

    def one(name: str, a: float, b: float) -> float:
        return b if name == "contact_length_mm" or a is None or b is None or isinstance(b, dict) else b + share * (b - a)

    return beyond(*(block(model, s, s.t) for s in (before, near)))


def seat(model: Model, state: State, name: str) -> dict[str, float]:
    """What one pair (BORE or CONE) carries, whole ring: forces [N], length [mm], pressures [MPa], torque capacity [N·m]."""
    total = resultant(model.contact, state.contact, name)
    return {
        "normal_force_N": total.normal_force,
        "radial_force_N": total.radial_force,
        "contact_length_mm": total.length,
        "mean_pressure_MPa": total.mean_pressure,
        "peak_pressure_MPa": total.peak_pressure,
        "torque_capacity_Nm": total.torque_capacity / 1e3,
    }


def nose_drift(model: Model, state: State) -> float:
    """Axial displacement [mm] of the sleeve's bore at the nose, > 0 toward the nose."""
    ends = model.mesh.edge_nodes("sleeve.bore")[[0, -1]]
    nose = ends[np.argmax(model.mesh.nodes[ends, 1])]
    return float(state.u[nose * model.unknowns + 1])


def row(model: Model, state: State, stage: str, travel: float, **more: float) -> dict[str, Any]:
    """One row of `history.csv`; travel [mm] as the stage counts it, more: columns of its own."""
    bore, cone = (resultant(model.contact, state.contact, name) for name in (BORE, CONE))
    return {
        "stage": stage,
        "travel_mm": travel,
        "push_force_N": push_force(state),
        "shaft_reaction_N": state.totals[SHAFT],
        "sleeve_reaction_N": state.totals[SLEEVE],
        "bore_normal_force_N": bore.normal_force,
        "bore_contact_length_mm": bore.length,
        "bore_mean_pressure_MPa": bore.mean_pressure,
        "torque_capacity_Nm": bore.torque_capacity / 1e3,
        "cone_normal_force_N": cone.normal_force,
        "nose_drift_mm": nose_drift(model, state),
        "iterations": state.iterations,
        "event": ", ".join(state.events) or None,
        "balance_relative": state.norm,
        "touching_points": int(np.count_nonzero(state.contact.pressure > 0)),
        "penetration_mm": state.penetration,
        "work_relative": state.work.relative_error(),
        **more,
    }


def trail(states: Sequence[State], residuals: Sequence[float]) -> dict[str, list]:
    """What a push that ended early went through, an entry an accepted state; last_residuals [-] are those of the try that failed.

    travel [mm], force [N] on the ring, balance [-] over the force scale, points that touch, iterations.
    """
    return {
        "travel_mm": [s.t for s in states],
        "push_force_N": [push_force(s) for s in states],
        "balance_relative": [s.norm for s in states],
        "touching_points": [int(np.count_nonzero(s.contact.pressure > 0)) for s in states],
        "iterations": [s.iterations for s in states],
        "last_residuals": list(residuals),
    }


def along(model: Model, state: State, name: str) -> list[dict[str, Any]]:
    """Rows along a pair, one an element, by rising z: pressure and shear [MPa] and slip [mm], both in the meridional plane."""
    p = profile(model.contact, state.contact, name)
    return [
        {
            "z_mm": float(p.position[k, 1]),
            "pressure_MPa": float(p.pressure[k]),
            "shear_MPa": float(p.shear[k, 0]),
            "slip_mm": float(p.slip[k, 0]),
            "state": WORDS[int(p.status[k])],
        }
        for k in np.argsort(p.position[:, 1])
    ]
