"""Chapters of the report on what stands behind the numbers: assumptions, blind spots, cautions."""

from typing import Any, Mapping

from colletfea.cases.report import html
from colletfea.cases.report.assumed import at_default, shown
from colletfea.cases.report.wording import number
from colletfea.cases.stored.names import dig

Summary = Mapping[str, Any]

CAUTIONS = (
    "This is a static check of the seat's grip and strength. Fatigue, fretting, shock, temperature "
    "differences, run-out, loosening at speed, a radial pull or an overturning moment on the hub, keyways "
    "and screw holes are outside it.",
    "Friction decides the result and scatters widely with surface, lubricant and wear. Test the real pair, "
    "and use the low value for what must hold and the high one for what must move.",
    "Preloaded screws and rotating parts injure people. Guard the coupling, lock the drive out before work "
    "on it, tighten in steps and crosswise by a written procedure with a checked tool.",
    "Local codes and standards come first, and a licensed engineer reviews the design before anything is "
    "made or run.",
)


def assumptions(summary: Summary) -> str:
    """Standing assumptions, values at their default, and keys that are stored but not used yet."""
    rows = [[key, _with_properties(key, value)] for key, value in at_default(summary["case"]).items()]
    unused = [f"{key}: {why}" for key, why in _unused(summary).items()]
    return html.chapter(
        "What was assumed",
        html.bullets(
            (
                "Materials are elastic; a stress above yield is reported, not followed."
                if not dig(summary, "case.solver.plastic")
                else "Materials yield as their hardening says.",
                "Friction is Coulomb's, the same at every point of a pair and at every pressure.",
                "Clamp screws are never counted on to carry torque.",
            )
        ),
        "<h3>Keys at their default value</h3>" + html.table(("Key", "value used"), rows)
        if rows
        else "",
        "<h3>Stored, not used yet</h3>" + html.bullets(unused) if unused else "",
    )


def blind_spots(summary: Summary) -> str:
    """What a body of revolution cannot show, with what is known about it for this pattern."""
    pattern = dig(summary, "case.sleeve.slits.pattern")
    factor = dig(summary, "hand.slits.cone_peak_factor")
    spots = [
        "Anything that changes round the circumference: misalignment, uneven tightening, screw holes, "
        "out-of-round parts."
    ]
    if pattern not in (None, "none"):
        about = f" (here about {number(factor, 3)} times the cone's value shown)" if factor else ""
        spots.append(
            f"The slits themselves: pressure peaks at the slot edges{about}, bending round the sleeve, and "
            "where beside the slit the bore opens."
        )
    if pattern == "fingers":
        spots.append("Fingers that move or twist each on its own.")
    if pattern == "alternating":
        spots.append("The axial profile of pressure between alternating slots: only the total is calibrated.")
    if (
        pattern == "through"
        and dig(summary, "case.sleeve.flange_thickness")
        and dig(summary, "case.sleeve.slits.cuts_flange")
    ):
        spots.append("Stresses in the cut flange: they are not meaningful here.")
    spots.append(
        "Surface roughness that smooths out on first clamping, and screws that settle and lose preload."
    )
    spots.append(
        "The hub and its bolts: they are taken as rigid and as holding the sleeve or the ring where the "
        "case says."
    )
    return html.chapter("What the model cannot see", html.bullets(spots))


def cautions() -> str:
    """Cautions that go with every result."""
    return html.chapter("Cautions", f'<div class="caution">{html.bullets(CAUTIONS)}</div>')


def _unused(summary: Summary) -> dict[str, str]:
    stored = dict(summary.get("unused") or {})
    if dig(summary, "case.screws") and summary.get("screws") is None:
        stored.setdefault("screws", "no check of the screws is made from this table in this version")
    return stored


def _with_properties(key: str, value: Any) -> str:
    if not isinstance(value, dict):
        return shown(key, value)
    young, poisson, limit = (number(value[name], 3) for name in ("young", "poisson", "yield"))
    return f"{shown(key, value)} (E {young} MPa, ν {poisson}, yield {limit} MPa)"
