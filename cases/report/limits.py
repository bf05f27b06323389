"""What stands behind the numbers: assumptions, blind spots, and the cautions of the first page."""

from typing import Any, Mapping

from colletfea.cases.report import html
from colletfea.cases.report.assumed import at_default, shown
from colletfea.cases.report.wording import number
from colletfea.cases.stored.names import dig

Summary = Mapping[str, Any]

CAUTIONS = (
    "A static check of the seat's grip and strength. Fatigue, fretting, shock, run-out, an overturning moment on the hub, keyways, "
    "screw holes and uneven tightening are outside it; radial pull, temperature and speed only as far as the case gives them, the pull by formulas.",
    "Friction decides the result and scatters widely with surface, lubricant and wear. Test the real pair; give the low and the high value.",
    "Preloaded screws and rotating parts injure people. Guard the coupling, lock the drive out before work on it, tighten in steps "
    "and crosswise by a written procedure with a checked tool.",
    "Local codes and standards come first, and a licensed engineer reviews the design before anything is made or run.",
)


def assumptions(summary: Summary) -> str:
    """Standing assumptions and values at their default."""
    rows = [[key, _with_properties(key, value)] for key, value in at_default(summary["case"]).items()]
    return html.chapter(
        "What was assumed",
        html.bullets(
            (
                "Materials are elastic; a stress above yield is reported, not followed."
                if not dig(summary, "case.solver.plastic")
                else "Materials yield as their hardening says.",
                "Friction is Coulomb's, the same at every point of a pair and at every pressure.",
                "Each corner is a push of its own: fit, friction and clamp force at the ends of their bands, all at once.",
                "Clamp screws are never counted on to carry torque.",
            )
        ),
        html.part("Keys at their default value", html.group("columns", html.table(("Key", "value used"), rows))),
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
    if pattern == "through" and dig(summary, "case.sleeve.flange_thickness"):
        if dig(summary, "case.sleeve.slits.cuts_flange"):
            spots.append("Stresses in the cut flange: they are not meaningful here.")
        else:
            spots.append(
                "Stresses of the slit sleeve beside its flange, which is not cut, over a length of about the sleeve's mean radius: the hoop "
                "stiffness there stands for the shear of the wall. A greatest stress that lies there is not judged; what flows there is not metal either."
            )
    spots += _by_formula(summary)
    spots.append("Surface roughness that smooths out on first clamping.")
    spots.append(
        "The hub and its bolts: they are taken as rigid and as holding the sleeve or the ring where the "
        "case says."
    )
    return html.chapter("What the model cannot see", html.bullets(spots))


def _by_formula(summary: Summary) -> list[str]:
    """What is judged by formulas beside the simulation, or not at all where the case does not give it."""
    pull, settling = dig(summary, "case.duty.radial"), dig(summary, "case.screws.settling")
    return [
        "A radial pull: it is judged by a formula for the pressure round the seat, and its bending counts in the shaft's stress."
        if pull
        else "A radial pull: none is given (duty.radial), so none is judged.",
        f"Speed and temperature: what they take from the grip is judged by {_service_by(summary)}; the hub's own mass and warmth are not in it."
        if dig(summary, "case.service")
        else "Speed and temperature: none are given ([service]), so the grip is that of a coupling at rest, all parts equally warm.",
        f"Screws that settle: {number(float(settling), 3)} µm are taken off their preload."
        if settling
        else "Screws that settle and lose preload: nothing is given (screws.settling), so nothing is taken off.",
    ]


def _service_by(summary: Summary) -> str:
    return "simulation" if dig(summary, "service.by") == "simulation" else "ring formulas"


def _with_properties(key: str, value: Any) -> str:
    if not isinstance(value, dict):
        return shown(key, value)
    young, poisson, limit = (number(value[name], 3) for name in ("young", "poisson", "yield"))
    return f"{shown(key, value)} (E {young} MPa, ν {poisson}, yield {limit} MPa)"
