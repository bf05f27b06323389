"""Invented blocks of results for what was decided: clamp forces, corners, screws and verdicts. No reference for anything."""

CORNERS = {
    "nominal": (0.027, (0.10, 0.12), (0.10, 0.12), 23000.0, 0.317, 150.2, (70.0, 86.0, 218.0)),
    "grip": (0.054, (0.13, 0.15), (0.07, 0.09), 23000.0, 0.447, 90.1, (55.0, 74.0, 187.0)),
    "tight": (0.0, (0.07, 0.09), (0.10, 0.12), 36800.0, 0.313, 302.0, (144.0, 180.0, 330.0)),
    "loose": (0.054, (0.07, 0.09), (0.10, 0.12), 36800.0, 0.619, 286.0, (138.0, 170.0, 326.0)),
}


def clamp():
    """Clamp forces as a search for the force needed gives them."""
    return {"needed_N": 22976.8, "least_N": 23000.0, "greatest_N": 36800.0, "scatter": 1.6, "because": "the force needed, rounded up"}


def _seat(normal, torque):
    return {
        "normal_force_N": normal, "radial_force_N": normal, "contact_length_mm": 22.0, "mean_pressure_MPa": normal / 1500,
        "peak_pressure_MPa": normal / 700, "torque_capacity_Nm": torque,
    }


def corners():
    """All four corners."""
    return [
        {
            "name": name, "clearance_mm": clearance, "pulling": dict(zip(("cone", "bore"), pulling)),
            "carrying": dict(zip(("cone", "bore"), carrying)), "push_force_N": force, "travel_mm": travel, "stop_reason": "force",
            "bore": _seat(torque / carrying[1] / 0.011, torque), "cone": _seat(1.02 * torque / carrying[1] / 0.011, torque),
            "usable_torque_Nm": torque, "von_mises_MPa": dict(zip(("shaft", "sleeve", "ring"), stress)), "seconds": 1.0,
        }
        for name, (clearance, pulling, carrying, force, travel, torque, stress) in CORNERS.items()
    ]  # fmt: skip


def screws():
    """Six M5 that do."""
    return {
        "count": 6, "size": "M5", "property_class": "8.8", "preload_least_N": 3833.0, "preload_greatest_N": 6133.0,
        "preload_lost_N": 0.0, "preload_lost_per_um_N": 88.0, "tightening_torque_Nm": 5.172, "utilisation": 0.852,
        "head_pressure_MPa": 228.0, "head_pressure_limit_MPa": 650.0, "engagement_mm": 4.2, "engagement_at_preload_mm": 2.6,
        "holding_force_N": 2554.0, "stays_after_settling": True, "strong": True, "because": "", "fits": True, "room_because": "",
        "circle_mm": 38.2, "circles_with_room_mm": [38.15, 38.5], "outer_diameter_with_room_mm": 46.0,
        "smallest": [{"size": "M4", "count": 6, "property_class": "10.9", "tightening_torque_Nm": 4.218, "circle_mm": 37.3, "for": "count"}],
        "jacking": {"count": 3, "force_N": 9762.0, "force_each_N": 3254.0, "tightening_torque_Nm": 1.946, "utilisation": 0.45, "strong": True},
        "sentences": ["Tighten to 5.17 N·m.", "Tighten crosswise in rounds."],
    }  # fmt: skip


def verdict(name, value, limit, unit, ok, because="", corner=None, least=False):
    """One verdict with the margin that its numbers have."""
    margin = None if value is None or limit is None else value / limit if least else limit / value
    return {
        "name": name, "value": value, "limit": limit, "unit": unit, "margin": margin, "ok": ok, "because": because, "corner": corner,
    }  # fmt: skip


def verdicts(**failing):
    """All verdicts of a case that holds; failing: name to {value, ok, because, ...} that differs."""
    found = [
        verdict("slip", 90.1, 90.0, "N m", True, "what the bore carries", "grip", least=True),
        verdict("bottoming", 0.619, 3.0, "mm", True, "way to the flange", "loose"),
        verdict("slots", 0.032, 0.239, "mm", True, "closing", "loose"),
        verdict("yield_shaft", 144.0, 358.0, "MPa", True, "stress", "tight"),
        verdict("yield_sleeve", 256.0, 358.0, "MPa", True, "stress", "loose"),
        verdict("yield_ring", 330.0, 358.0, "MPa", True, "stress", "tight"),
        verdict("self_locking", 5.0, 4.0, "deg", None, "at cone friction 0.07, the low end, the ring can let go. But never loosen them under load"),
        verdict("neck", 182.0, 207.0, "MPa", True, "shear", "tight"),
        verdict("screws", 0.852, 1.0, "", True, "strong"),
        verdict("screw_room", 46.0, 46.0, "mm", True, "room"),
        verdict("jacking", 0.45, 1.0, "", True, "pushes"),
    ]
    return [{**one, **failing.get(one["name"], {})} for one in found]


def blocks():
    """Blocks of a summary whose case holds."""
    return {
        "clamp": clamp(), "corners": corners(), "screws": screws(), "screws_proposed": None, "radial": None, "service": None,
        "verdicts": verdicts(),
    }  # fmt: skip


def holding(summary):
    """A made summary, with a case that holds."""
    return {**summary, **blocks()}
