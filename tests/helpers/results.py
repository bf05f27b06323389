"""Believable stored results without solving anything: for tests of the store, the plots and the report.

The numbers follow simple closed forms so that they hang together (push = sleeve + shaft, torque from
pressure), but they are invented and are no reference for anything.
"""

import copy
import math

import numpy as np

from helpers import decided
from helpers.section import END, section

STEEL = {"name": "C45+QT", "young": 210000.0, "poisson": 0.3, "yield": 430.0, "hardening": 0.0}
CASE = {
    "title": "sprocket_hub",
    "shaft": {"diameter": 22.0, "bore": 0.0, "beyond": [11.0, 11.0], "material": STEEL},
    "sleeve": {
        "length": 26.0,
        "nose_wall": 2.2,
        "taper": 5.0,
        "clearance": None,
        "fit": "H8/h7",
        "held": "axially",
        "material": STEEL,
        "flange_thickness": 6.0,
        "flange_diameter": 52.0,
        "nose_radius": 0.0,
        "slits": {
            "pattern": "through",
            "count": 1,
            "width": 1.5,
            "depth": None,
            "cuts_flange": True,
            "hoop_stiffness": None,
        },
    },
    "ring": {
        "length": 22.0,
        "outer_diameter": 46.0,
        "start": 3.0,
        "taper": 5.0,
        "edge_radius": 0.0,
        "material": STEEL,
    },
    "friction": {"cone": [0.07, 0.1, 0.13], "bore": [0.09, 0.12, 0.15]},
    "duty": {"torque": 60.0, "thrust": 0.0, "slip_safety": 1.5, "yield_safety": 1.2, "carried_by": "sleeve"},
    "push": {"travel": None, "force": None},
    "after": {"release": True, "twist": True, "ring_tied": True},
    "screws": {
        "count": 6,
        "size": "M5",
        "property_class": "8.8",
        "thread_friction": 0.12,
        "head_friction": 0.12,
        "tightening_scatter": 1.6,
    },
    "mesh": {"size": 0.5},
    "solver": {
        "augment": True,
        "stop_at_yield": False,
        "plastic": False,
        "penalty": None,
        "increments": None,
    },
}
STEPS = 24
TOUCH = 0.22  # travel [mm]


def _column(**changes):
    base = {
        "closing_travel_mm": 0.1543,
        "closing_force_N": 1210.0,
        "grip_mean_pressure_MPa": 38.2,
        "grip_force_N": 12870.0,
        "grip_travel_mm": None,
        "clamp_force_N": 14080.0,
        "clamp_force_sliding_N": 22260.0,
        "clamp_travel_mm": None,
        "release_force_N": 860.0,
    }
    return {**base, **changes}


def hand():
    refined = _column(
        closing_travel_mm=0.1689,
        closing_force_N=3350.0,
        grip_travel_mm=0.338,
        clamp_travel_mm=0.507,
        clamp_force_N=16220.0,
        clamp_force_sliding_N=24400.0,
        release_force_N=1001.0,
    )
    refined["stress_MPa"] = {
        "ring_hoop": 71.0,
        "ring_von_mises": 98.0,
        "sleeve_von_mises": 64.0,
        "shaft_von_mises": 38.0,
    }
    closing = {"closing_travel_mm": 0.1689, "closing_force_N": 3350.0}
    fit = {
        name: {"clearance_mm": value, "plain": dict(closing), "refined": dict(closing)}
        for name, value in (("tightest", 0.0), ("middle", 0.027), ("loosest", 0.054))
    }
    return {
        "grip_normal_force_N": 68182.0,
        "self_locking": True,
        "push_over_radial_force": 0.189143,
        "hoop_stiffness_ratio": 0.0052,
        "fill_fraction": 0.981,
        "notes": [{"key": "plain.grip_travel_mm", "because": "the plain sheet has no travel for this stage"}],
        "fit": fit,
        "slits": {
            "formula": "one through slit, flange cut",
            "scatter_percent": 5.0,
            "q_over_p": 0.42,
            "cone_peak_factor": 1.14,
            "excess_cone_force_relative": 0.003,
            "bending_stress_MPa": 22.0,
            "shuts_at_closing_mm": 0.2387,
        },
        "plain": _column(),
        "refined": refined,
    }


def state(travel):
    grip = max(0.0, travel - TOUCH) / (END - TOUCH)
    bore, push = 91000.0 * grip, 3300.0 * min(1.0, travel / TOUCH) + 17600.0 * grip
    shaft = 1900.0 * grip
    length = 0.0 if grip == 0 else min(26.0, 9.0 + 60.0 * grip)
    mean = 0.0 if grip == 0 else bore / (math.pi * 22 * length * 0.98)
    cone = 1.02 * bore + 18000.0 * min(1.0, travel / TOUCH)
    return {
        "travel_mm": travel,
        "push_force_N": push,
        "shaft_reaction_N": shaft,
        "sleeve_reaction_N": push - shaft,
        "bore": {
            "normal_force_N": bore,
            "radial_force_N": bore,
            "contact_length_mm": length,
            "mean_pressure_MPa": mean,
            "peak_pressure_MPa": 2.1 * mean,
            "torque_capacity_Nm": 0.12 * bore * 0.011,
        },
        "cone": {
            "normal_force_N": cone,
            "radial_force_N": 0.99 * cone,
            "contact_length_mm": 22.08 if travel else 0.0,
            "mean_pressure_MPa": cone / 2000.0,
            "peak_pressure_MPa": cone / 900.0,
            "torque_capacity_Nm": 0.1 * cone * 0.0142,
        },
        "von_mises_MPa": {"shaft": 1.6 * mean, "sleeve": 3.2 * mean + 20, "ring": 2.9 * mean + 9},
        "nose_drift_mm": -0.004 * grip,
    }


def _row(stage, travel, **more):
    now = state(travel)
    return {
        "stage": stage,
        "travel_mm": travel,
        "push_force_N": now["push_force_N"],
        "shaft_reaction_N": now["shaft_reaction_N"],
        "sleeve_reaction_N": now["sleeve_reaction_N"],
        "bore_normal_force_N": now["bore"]["normal_force_N"],
        "bore_contact_length_mm": now["bore"]["contact_length_mm"],
        "bore_mean_pressure_MPa": now["bore"]["mean_pressure_MPa"],
        "torque_capacity_Nm": now["bore"]["torque_capacity_Nm"],
        "cone_normal_force_N": now["cone"]["normal_force_N"],
        "nose_drift_mm": now["nose_drift_mm"],
        "iterations": 4,
        **more,
    }


def history(release=True, twist=True, end=END):
    rows = [_row("push", s) for s in np.linspace(0, end, STEPS)]
    if release:
        rows += [_row("release", end - 0.01 * k, push_force_N=22000 - 5800 * k) for k in range(1, 5)]
    if twist:
        limit = state(end)["bore"]["torque_capacity_Nm"]
        rows += [
            _row(
                "twist",
                end,
                twist_rad=3e-3 * k / 12,
                torque_Nm=limit * math.tanh(2.8 * k / 12),
                slipping_fraction=min(1.0, (k / 12) ** 2),
            )
            for k in range(13)
        ]
    return rows


def pair(length, pressure, start=0.0, share=0.12, elements=40):
    z = start + (np.arange(elements) + 0.5) * length / elements
    x = (z - start) / length
    p = pressure * (0.8 + 0.25 * np.cos(math.pi * x) + 0.9 * np.exp(-(1 - x) / 0.04))
    p = np.where(x < 0.12, 0.0, p)
    sliding = x > 0.6
    return [
        {
            "z_mm": float(a),
            "pressure_MPa": float(b),
            "shear_MPa": float(share * b * (1 if c else 0.5)),
            "slip_mm": 0.004 if c and b else 0.0,
            "state": "open" if b == 0 else "slip" if c else "stick",
        }
        for a, b, c in zip(z, p, sliding)
    ]


def summary(**changes):
    """A complete summary: duty, fit, slits, release and twist; `changes` replace top-level tables."""
    duty = state(0.565)
    base = {
        "schema": 2,
        "run_id": "0123456789abcdef0123456789abcdef",
        "title": "sprocket_hub",
        "version": "0.1.0",
        "case": copy.deepcopy(CASE),
        "hand": hand(),
        "simulation": {
            "completed": True,
            "stop_reason": "duty",
            "at_touch": state(TOUCH),
            "at_duty": duty,
            "at_end": state(END),
            "after_release": {
                "release_force_N": 940.0,
                "self_locking": True,
                "cone_normal_force_at_slip_N": 90100.0,
                "residual_bore_force_N": 88600.0,
            },
            "twist": {
                "full_slip_torque_Nm": 118.9,
                "capacity_ratio": 0.9902,
                "first_slip_torque_Nm": 41.0,
                "stiffness_Nm_per_rad": 91000.0,
            },
            "peaks": [
                {
                    "part": "sleeve",
                    "quantity": "von Mises stress, raw",
                    "value": 412.0,
                    "unit": "MPa",
                    "r_mm": 13.6,
                    "z_mm": 25.1,
                    "verdict": "grows with the mesh: not a stress",
                },
                {
                    "part": "shaft",
                    "quantity": "von Mises stress",
                    "value": 148.0,
                    "unit": "MPa",
                    "r_mm": 9.8,
                    "z_mm": 24.0,
                    "verdict": "settled to 1.4 %",
                },
            ],
            "balance": {
                "axial_relative": 3.1e-9,
                "work_relative": 2.2e-3,
                "work_relative_of_stages": {"service": None, "release": 1.7e-4, "twist": None},
                "penetration_over_clearance": 6.0e-4,
            },
            "effort": {
                "element_size_mm": 0.5,
                "unknowns": 21840,
                "increments": 24,
                "iterations": 97,
                "cutbacks": 1,
                "last_residuals": [],
                "seconds": 9.2,
                "mesh_seconds": 0.7,
                "total_seconds": 14.8,
            },
        },
        **decided.blocks(),
        "verdicts": decided.verdicts(
            slip={"value": 67.5, "margin": 0.75, "ok": False, "because": "what the bore carries, against 60 N·m times 1.5"},
            yield_sleeve={"value": None, "limit": None, "margin": None, "ok": None, "because": "bending round the slit is not in the model"},
        ),
    }
    return {**base, **copy.deepcopy(changes)}


def bare_summary():
    """The emptiest summary the contract allows: no duty, no fit, no slits, no touch, stopped early."""
    data = summary()
    case, simulation, by_hand = data["case"], data["simulation"], data["hand"]
    case["sleeve"].update(fit=None, clearance=0.06, flange_thickness=0.0, flange_diameter=0.0)
    case["sleeve"]["slits"].update(pattern="none", count=None, width=None, depth=None, cuts_flange=None)
    case["sleeve"]["material"] = {**STEEL, "yield": None}
    case.update(duty=None, screws=None, push={"travel": 0.4, "force": None})
    case["friction"] = {"cone": 0.1, "bore": 0.12}
    for column in (by_hand["plain"], by_hand["refined"]):
        column.update({key: None for key in column if key.startswith(("grip", "clamp", "release"))})
    by_hand["refined"]["stress_MPa"] = None
    by_hand.update(
        grip_normal_force_N=None, fit=None, slits=None, notes=[], hoop_stiffness_ratio=1.0, fill_fraction=1.0
    )
    simulation.update(
        completed=False,
        stop_reason="not converged",
        at_touch=None,
        at_duty=None,
        at_end=state(0.1),
        after_release=None,
        twist=None,
        peaks=[],
    )
    data.update(
        clamp={"needed_N": None, "least_N": None, "greatest_N": None, "scatter": 1.0, "because": "a travel is given"},
        corners=[{**decided.corners()[0], "stop_reason": "not converged", "von_mises_MPa": None}],
        screws=None,
        verdicts=[],
    )
    return data


def stopped_summary():
    """Stopped before the first increment was accepted: nothing to show but the hand values."""
    data = bare_summary()
    data["corners"] = []
    data["simulation"].update(
        at_end=None,
        stop_reason="interrupted",
        balance={"axial_relative": None, "work_relative": None, "penetration_over_clearance": None},
    )
    return data


def lines():
    """Stress along the shaft's surface and over the radius, made up; the sleeve is slit."""
    def row(line, part, r, z, sign, lame):
        own = {"radial_MPa": -70.0 + r, "hoop_MPa": sign * (200.0 - 4 * r), "axial_MPa": -9.0, "von_mises_MPa": 90.0 + r}
        beside = {"lame_radial_MPa": -69.0 + r, "lame_hoop_MPa": sign * (190.0 - 4 * r)} if lame else dict.fromkeys(("lame_radial_MPa", "lame_hoop_MPa"))
        return {"line": line, "part": part, "r_mm": r, "z_mm": z, **own, **beside, "corner": "nominal"}

    across = [("shaft", 0, 11, -1), ("sleeve", 11.01, 14.3, -1), ("ring", 14.3, 23, 1)]
    radius = [row("radius at mid-seat", part, a + (b - a) * k / 8, 13.0, sign, part != "sleeve") for part, a, b, sign in across for k in range(9)]
    return [*radius, *(row("shaft surface", "shaft", 11.0, -17.0 + 2.0 * k, -1, False) for k in range(27))]


def result(data=None, *, rows=None, bore=None, cone=None, arrays=None, along=()):
    """A result as a run gives it; the complete one unless told otherwise."""
    from colletfea.cases.stored.result import Result

    return Result(
        summary=data or summary(),
        history=history() if rows is None else rows,
        bore=pair(26, 70) if bore is None else bore,
        cone=pair(22, 60, 3, 0.1) if cone is None else cone,
        case_text='title = "sprocket_hub"\n\n[shaft]\ndiameter = 22.0\n',
        section=arrays,
        lines=list(along),
    )


def write(folder, data=None, **tables):
    """Store results in `folder`; the complete ones unless told otherwise."""
    from colletfea.cases.stored.reading import load

    result(data, **tables).save(folder)
    return load(folder)


def variants():
    """(name, summary, keyword arguments of `write`): every null that results may hold."""
    push = history(release=False, twist=False)
    return [
        ("complete", summary(), {"arrays": section(), "along": lines()}),
        (
            "push only",
            summary(simulation={**summary()["simulation"], "after_release": None, "twist": None}),
            {"rows": push},
        ),
        ("no duty, no touch, not converged", bare_summary(), {"rows": push[:4], "bore": pair(26, 0.0)}),
        ("nothing accepted", stopped_summary(), {"rows": [], "bore": [], "cone": []}),
    ]
