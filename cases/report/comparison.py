"""Plain sheet, refined hand calculation and simulation side by side, and in words why they differ.

Works on stored tables only (`summary.json`, or `{"case": …, "hand": …}` for the hand columns alone), so the
words can be made again without solving. Every number in a sentence is read or computed from these tables.
"""

import math
from dataclasses import dataclass
from typing import Any, Callable, Mapping

from colletfea.cases.report.wording import deviation, number, percent, quantity
from colletfea.cases.stored.names import dig

Summary = Mapping[str, Any]
_SAME_FORCE = 0.005  # what rounding a clamp force up to three digits adds
SAME_STATE = 0.01  # a release from a travel within 1 % of the duty's counts as a release from the duty


@dataclass(frozen=True)
class Line:
    """One row of the table; a value that does not exist is None."""

    label: str
    unit: str
    plain: float | None
    refined: float | None
    simulated: float | None

    @property
    def off(self) -> str:
        """Simulated against refined, or against plain where there is no refined value."""
        return deviation(self.simulated, self.refined if self.refined is not None else self.plain)


def table(summary: Summary) -> list[Line]:
    """The comparison rows, closing first, then the duty, then release."""
    hand_rows = [
        ("Closing travel, first touch", "mm", "closing_travel_mm", _at(summary, "at_touch.travel_mm")),
        ("Closing force", "N", "closing_force_N", _at(summary, "at_touch.push_force_N")),
        (
            "Mean pressure on the bore for the duty",
            "MPa",
            "grip_mean_pressure_MPa",
            _at(summary, "at_duty.bore.mean_pressure_MPa"),
        ),
        ("Grip force, from touch to duty", "N", "grip_force_N", _gain(summary, "push_force_N")),
        ("Grip travel, from touch to duty", "mm", "grip_travel_mm", _gain(summary, "travel_mm")),
        ("Clamp force for the duty", "N", "clamp_force_N", _at(summary, "at_duty.push_force_N")),
        ("Clamp travel for the duty", "mm", "clamp_travel_mm", _at(summary, "at_duty.travel_mm")),
        ("Clamp force if the sleeve is drawn along the shaft", "N", "clamp_force_sliding_N", None),
        ("Release force after the duty", "N", "release_force_N", _release(summary)),
    ]
    need = dig(summary, "hand.grip_normal_force_N")
    rows = [
        Line(label, unit, dig(summary, f"hand.plain.{key}"), dig(summary, f"hand.refined.{key}"), value)
        for label, unit, key, value in hand_rows
    ]
    rows.insert(
        2,
        Line(
            "Normal force on the bore for the duty",
            "N",
            need,
            need,
            _at(summary, "at_duty.bore.normal_force_N"),
        ),
    )
    return rows


def reasons(summary: Summary) -> list[str]:
    """Sentences on why the columns part, each only where the stored numbers show its effect."""
    sentences = [reason(summary) for reason in _REASONS]
    return [sentence for sentence in sentences if sentence]


def outcome(summary: Summary) -> str | None:
    """How far the clamp forces lie apart."""
    push, refined, plain = (
        _at(summary, "at_duty.push_force_N"),
        dig(summary, "hand.refined.clamp_force_N"),
        dig(summary, "hand.plain.clamp_force_N"),
    )
    if not (push and refined and plain):
        return None
    said = (
        f"Methods compared at nominal friction and clearance: the simulated seat carries the duty at {quantity(push, 'N')}, "
        f"{deviation(push, refined)} from the refined hand value, {deviation(push, plain)} from the plain sheet."
    )
    applied = [force for force in (dig(summary, "clamp.least_N"), dig(summary, "clamp.greatest_N")) if force]
    return said if applied and all(abs(force / push - 1) < _SAME_FORCE for force in applied) else f"{said} This is not the force to apply."


def ring_opens(summary: Summary) -> str | None:
    """Ring expansion, and the wall of a closed sleeve, in the closing travel."""
    plain, refined = (dig(summary, f"hand.{column}.closing_travel_mm") for column in ("plain", "refined"))
    if not plain or not refined:
        return None
    wall = (
        " (a closed sleeve's wall also thickens as it shrinks, which takes a little off)"
        if _closed(summary)
        else ""
    )
    return (
        "Travel: the plain sheet keeps the ring rigid. The refined column lets it open under the closing "
        f"pressure{wall}, which changes the closing travel from {quantity(plain, 'mm')} to "
        f"{quantity(refined, 'mm')} ({deviation(refined, plain)})."
    )


def tapers_differ(summary: Summary) -> str | None:
    """A ring whose taper is not the sleeve's: it presses with an edge."""
    ring, sleeve = (dig(summary, f"case.{part}.taper") for part in ("ring", "sleeve"))
    if not _at(summary, "at_touch") or math.isclose(ring, sleeve):
        return None
    edge = "trailing" if ring > sleeve else "leading"
    return (
        f"Tapers: the ring's is {quantity(ring, 'deg')}, the sleeve's {quantity(sleeve, 'deg')}, so the ring presses with its {edge} edge "
        "first, and on more of the cone only as the parts give way. The hand columns count with the sleeve's taper alone, as if the two fitted."
    )


def ring_overhangs(summary: Summary) -> str | None:
    """Part of the ring past the sleeve's ends, and the first point to land."""
    touch, refined = _at(summary, "at_touch.travel_mm"), dig(summary, "hand.refined.closing_travel_mm")
    if not touch or not refined:
        return None
    ring, length = dig(summary, "case.ring"), dig(summary, "case.sleeve.length")
    nose = max(0.0, ring["start"] + ring["length"] - touch - length)
    back = max(0.0, touch - ring["start"])
    off = deviation(touch, refined)
    start = f"First touch is simulated at {quantity(touch, 'mm')}, {off} from the refined value"
    if nose + back > 0.005 * ring["length"]:
        return (
            f"{start}. Of the ring's {quantity(ring['length'], 'mm', 3)}, {quantity(nose + back, 'mm', 3)} reach past the "
            "sleeve: they carry no pressure and help the rest to stay round, while the formula counts one even ring. And the "
            "first point of the bore touches before the seat as a whole."
        )
    return (
        f"{start}: there the first point of the bore touches, while the formula closes the whole seat at once."
    )


def ring_covers(summary: Summary) -> str | None:
    """A ring that presses on a part of the sleeve only, and a flange that keeps the rest open."""
    covered, length = _at(summary, "at_touch.cone.contact_length_mm"), dig(summary, "case.sleeve.length")
    if not covered:
        return None
    off = deviation(_at(summary, "at_touch.push_force_N"), dig(summary, "hand.refined.closing_force_N"))
    flange = " and the flange" if dig(summary, "case.sleeve.flange_thickness") else ""
    if covered > 0.97 * length and not flange:
        return None
    by_hand = "hand columns close an even sleeve of the whole length"
    if _closed(summary):
        by_hand = "plain column closes the whole length, the refined one what is covered and the wall that follows"
    return (
        f"Closing force: at first touch the ring presses on {quantity(covered, 'mm', 3)} along the cone of a sleeve "
        f"{quantity(length, 'mm', 3)} long. The wall beside it{flange} must be bent as well, or stays open. The {by_hand}. The "
        f"simulated closing force is {off} from the refined one."
    )


def passes_on(summary: Summary) -> str | None:
    """What the cone must gain for each newton on the bore: pressure or force passed on."""
    plain, refined = (dig(summary, f"hand.{column}.grip_force_N") for column in ("plain", "refined"))
    ratio = _cone_per_bore(summary)
    measured = (
        f" The simulated cone gained {number(ratio, 3)} N for each newton on the bore." if ratio else ""
    )
    if _closed(summary):
        if not plain or not refined:
            return None
        return (
            "Grip force: a closed sleeve passes on pressure, not force. Its cone is larger than its bore, "
            f"and the push itself swells it, so for each newton on the bore the cone carries {number(refined / plain, 3)} N; "
            f"the plain sheet counts 1.{measured}"
        )
    if dig(summary, "case.sleeve.slits.pattern") == "fingers":
        if not plain or not refined:
            return None
        return (
            "Grip force: fingers pass on force, their closed base passes on pressure. For each newton on the bore the "
            f"refined column counts {number(refined / plain, 3)} N on the cone, the plain sheet 1.{measured}"
        )
    return (
        "Grip force: a slit sleeve passes on force, so both hand columns count 1 N on the cone per newton "
        f"on the bore.{measured}"
    )


def hoop_kept(summary: Summary) -> str | None:
    """Excess of the cone force because the slit law keeps its hoop stiffness after closing."""
    excess = dig(summary, "hand.slits.excess_cone_force_relative")
    if not excess:
        return None
    return (
        "The simulation keeps the slit sleeve's hoop stiffness after the seat has closed; a real slit "
        "sleeve carries no mean hoop force there. Simulated cone and push forces are therefore too high by about "
        f"{percent(excess)}."
    )


def cut_flange(summary: Summary) -> str | None:
    """What the slit law does at a flange."""
    slits, thickness = dig(summary, "case.sleeve.slits") or {}, dig(summary, "case.sleeve.flange_thickness")
    if slits.get("pattern") != "through" or not thickness:
        return None
    ratio = number(dig(summary, "hand.hoop_stiffness_ratio"), 3)
    if slits.get("cuts_flange"):
        return (
            f"The slit also cuts the flange, so flange and sleeve bend as one piece; closing takes {ratio} "
            "of a closed sleeve's force. Against the 3D linear-elastic study (values in this repository) "
            "closing force lies within 6 %, and after contact cone and bore force at a given travel come "
            "out 6 to 9 % low; torque per newton of push is not affected."
        )
    return (
        f"The flange is not cut, so the wall next to it hardly closes; on average closing takes {ratio} of "
        "a closed sleeve's force, while the hand columns close the seat evenly. Against the 3D linear-elastic study (values "
        "in this repository) simulated closing lies within 7 % below and 11 % above, and after contact cone and bore force at "
        "a given travel come out 3 to 5 % low."
    )


def shaft_takes(summary: Summary) -> str | None:
    """Share of the push that reaches the shaft by friction along the bore."""
    push, shaft = _at(summary, "at_duty.push_force_N"), _at(summary, "at_duty.shaft_reaction_N")
    if not push or shaft is None or abs(shaft) < 0.005 * push:
        return None
    way = "reaches the shaft" if shaft > 0 else "is added by the shaft pushing the sleeve"
    return (
        f"Of the simulated clamp force {quantity(abs(shaft), 'N')} ({percent(abs(shaft) / push)}) {way} "
        "through friction along the bore, as the sleeve changes its length on it. The hand columns "
        "leave this out, or count the bore's whole friction in the row where the sleeve is drawn along the "
        "shaft."
    )


def uneven(summary: Summary) -> str | None:
    """Contact length and pressure peak against the evenly spread hand value."""
    bore, length = _at(summary, "at_duty.bore"), dig(summary, "case.sleeve.length")
    by_hand = dig(summary, "hand.refined.grip_mean_pressure_MPa")
    if not bore or not bore["mean_pressure_MPa"] or not by_hand:
        return None
    return (
        f"Pressure: the hand value {quantity(by_hand, 'MPa')} is spread evenly over the whole seat. In the "
        f"simulation the bore touches over {quantity(bore['contact_length_mm'], 'mm', 3)} of "
        f"{quantity(length, 'mm', 3)} at a mean of {quantity(bore['mean_pressure_MPa'], 'MPa')}; wall "
        "bending and the ends raise the largest mean over what touches of an element to "
        f"{number(bore['peak_pressure_MPa'] / bore['mean_pressure_MPa'], 3)} times that."
    )


def cone_slides(summary: Summary) -> str | None:
    """Push per radial cone force against the exact statics of a sliding cone, tan(alpha + phi)."""
    push, radial = _at(summary, "at_duty.push_force_N"), _at(summary, "at_duty.cone.radial_force_N")
    statics = dig(summary, "hand.push_over_radial_force")
    if not push or not radial or not statics:
        return None
    return (
        "Check by statics: on a cone that slides all over, push over radial force is tan(taper + friction "
        f"angle) = {number(statics)}; the simulation gives {number(push / radial)}."
    )


def held_fully(summary: Summary) -> str | None:
    """A back face held radially as well."""
    if dig(summary, "case.sleeve.held") != "fully":
        return None
    return (
        "The back face is held radially too, so the bore can't close there. The hand columns leave this out, "
        "so their closing values are too low."
    )


def _at(summary: Summary, path: str) -> Any:
    return dig(summary, f"simulation.{path}")


def _gain(summary: Summary, name: str) -> float | None:
    touch, duty = _at(summary, f"at_touch.{name}"), _at(summary, f"at_duty.{name}")
    return None if touch is None or duty is None else duty - touch


def _release(summary: Summary) -> float | None:
    """Simulated release force where the push ended at the duty; from further on it would be another state."""
    duty, end = _at(summary, "at_duty.travel_mm"), _at(summary, "at_end.travel_mm")
    near = duty is not None and end is not None and abs(end - duty) <= SAME_STATE * end
    return _at(summary, "after_release.release_force_N") if near else None


def _cone_per_bore(summary: Summary) -> float | None:
    touch, duty = _at(summary, "at_touch"), _at(summary, "at_duty")
    if not touch or not duty or not duty["bore"]["radial_force_N"]:
        return None
    return (duty["cone"]["radial_force_N"] - touch["cone"]["radial_force_N"]) / duty["bore"]["radial_force_N"]


def _closed(summary: Summary) -> bool:
    return dig(summary, "case.sleeve.slits.pattern") in (None, "none")


_REASONS: tuple[Callable[[Summary], str | None], ...] = (
    outcome,
    ring_opens,
    tapers_differ,
    ring_overhangs,
    ring_covers,
    passes_on,
    cut_flange,
    hoop_kept,
    held_fully,
    shaft_takes,
    uneven,
    cone_slides,
)
