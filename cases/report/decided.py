"""Chapters on what was decided: corners, reasons of the verdicts, screws, service, radial pull, what helps."""

from typing import Any, Mapping

from colletfea.cases.report import corner_words, failing, helps, html, key_numbers, sentences
from colletfea.cases.report.force_words import capital, clamp, in_vain, needed, placed_set, screw_set
from colletfea.cases.report.verdict_words import margin
from colletfea.cases.report.wording import NOTHING, number, quantity
from colletfea.cases.stored.names import dig
from colletfea.cases.stored.verdict import title

Summary = Mapping[str, Any]


def corners(summary: Summary) -> str:
    """Clamp forces, the pushes that were made, and the friction of each."""
    rows = corner_words.rows(summary)
    friction = [
        [corner_words.name(summary, c["name"]), *(_rub(c[when]) for when in ("pulling", "carrying")), _rub_torque(c)]
        for c in summary["corners"]
    ]
    return html.chapter(
        "Clamp force and corners",
        html.paragraph(corner_words.friction_said(summary) if rows else ""),
        html.table(corner_words.HEAD, rows, (1, 2, 3, 4)),
        html.table(("Corner", "friction while pulled", "friction while it carries", "capacity of bore and cone"), friction),
        html.bullets(_forces(summary)),
    )


def reasons(summary: Summary) -> str:
    """Every verdict with the sentence behind it."""
    rows = [[title(v["name"]), margin(v), v["because"]] for v in summary["verdicts"]]
    return html.chapter("Why the verdicts are what they are", html.table(("Verdict", "margin", "what was judged"), rows, (1,)))


def screws(summary: Summary) -> str:
    """Numbers, procedure and other sets; what would do where the case names none."""
    found = summary.get("screws")
    if in_vain(summary):
        return html.chapter("Screws", html.paragraph("No force is known that carries the duty, so there is none to tighten screws for."))
    if not found:
        return html.chapter("Screws", html.paragraph(_proposed(summary)))
    return html.chapter(
        "Screws",
        html.table(("One clamp screw", "value"), _numbers(found), (1,)),
        html.part("How to tighten them, and what they bear on", html.bullets(found["sentences"])),
        html.part("Other sets that would do", html.table(("Set", "tightening torque", "circle", "found for this"), _others(summary), (1, 2))),
    )


def service(summary: Summary) -> str:
    """What speed and temperature take from the grip."""
    block = summary.get("service")
    if not block:
        return ""
    by_hand, simulated = block.get("by_hand") or block, block.get("by") == "simulation"
    columns = [block, by_hand] if simulated else [by_hand]
    names = {"grip_lost_N": "Grip lost in service, all told", "by_temperature_N": "of it by temperature", "by_speed_N": "of it by speed"}
    rows = [[title, *(quantity(column[name], "N", 3) for column in columns)] for name, title in names.items()]
    heads = ("Normal force on the bore", "simulated", "by formulas") if simulated else ("Normal force on the bore", "value")
    if block.get("seat_stiffness_N_per_um") is not None:
        stiffness = f"{number(block['seat_stiffness_N_per_um'], 3)} N per µm of radial interference"
        rows.append(["Stiffness of the simulated seat", stiffness, *([""] if simulated else [])])
    said = [_how_service_is_known(block, simulated), "Below zero: service tightens the seat, which counts in the yield verdicts."]
    if simulated:
        said.append(_force_in_service(block))
    return html.chapter(
        "Speed and temperature", html.paragraph(" ".join(said)), html.table(heads, rows, tuple(range(1, len(heads))))
    )


def _how_service_is_known(block: Summary, simulated: bool) -> str:
    if not simulated:
        because = f" It could not be simulated: {block['because']}." if block.get("because") else ""
        return (
            f"By ring formulas, at a ring that friction holds where it is.{because} Verdicts rest on the most that is lost and the most "
            "that is gained cold at speed, warm at speed and warm at rest."
        )
    return (
        f"Simulated after the push of corner {block['corner']}: it turns while it is cold, then it warms up, then it stands still; "
        "verdicts rest on the least grip and the greatest stress on the way. The ring keeps its travel. What the hub weighs and how "
        "warm it gets is not in it."
    )


def _force_in_service(block: Summary) -> str:
    """What becomes of the force on the ring, and what that says of the screws."""
    force, change = block["push_force_N"], block["push_force_change_N"]
    told = f"The force on the ring then is {quantity(force, 'N', 3)}, a change of {quantity(change, 'N', 3)} at most, for screws give a little."
    return told if force > 0 else f"{told} It is not above zero: the screws go slack, and the ring can follow by itself, which grips more."


def radial(summary: Summary) -> str:
    """What a pull across the shaft does to the pressure of the seat."""
    block = summary.get("radial")
    if not block:
        return ""
    names = {
        "pressure_amplitude_MPa": "Pressure that the pull takes off on one side and adds on the other",
        "least_pressure_MPa": "Least pressure left round the seat, at the least clamp force",
        "bending_MPa": "Bending stress of the shaft at the edge of the seat",
    }
    rows = [[words, quantity(block.get(key), "MPa", 3)] for key, words in names.items()]
    return html.chapter(
        "Radial pull",
        html.table(("In the corner that grips least", "value"), rows, (1,)),
        html.paragraph(
            "Where the pull turns against the shaft, its bending alternates, and the edge of the seat is where fretting fatigue begins. "
            "Neither fatigue nor fretting is judged here."
        ),
    )


def what_helps(summary: Summary) -> str:
    """Changes ranked for the verdict that fails first, then what the hand calculation says of the clamp force."""
    found = helps.lines(summary)
    by_hand = helps.by_hand(summary)
    ranked = [html.paragraph(found[0]), html.bullets(found[1:])] if found else []
    return html.chapter(
        "What helps", *ranked, *([html.paragraph(sentences.ADVICE_HEAD), html.bullets(by_hand)] if by_hand else [])
    )


def nominal_push(summary: Summary) -> str:
    """The numbers of the push at nominal friction and clearance, and of the stages after it."""
    keys = key_numbers.nominal(summary)
    where = corner_words.name(summary, "nominal")
    return html.chapter(f"The push at {where}" if where not in ("", "as given") else "The push", html.cards(keys)) if keys else ""


def _forces(summary: Summary) -> list[str]:
    because = dig(summary, "clamp.because")
    return [
        f"Clamp force: {clamp(summary) or ('none to apply' if in_vain(summary) else NOTHING)}. Where it comes from: {because}." if because else "",
        f"Force needed to carry the duty in the worst corner: {needed(summary)}." if needed(summary) else "",
    ]


def _rub(friction: Mapping[str, float]) -> str:
    return f"cone {friction['cone']:g}, bore {friction['bore']:g}"


def _rub_torque(corner: Mapping[str, Any]) -> str:
    return " and ".join(quantity(corner[pair]["torque_capacity_Nm"], "N·m", 3) for pair in ("bore", "cone"))


def _proposed(summary: Summary) -> str:
    found = failing.proposed(summary)
    if found:
        return f"The case names no screws. {capital(placed_set(found))} would do; name them in [screws] to have them judged."
    searched = clamp(summary) and failing.can_work(summary)
    return f"The case names no screws{', and no set of the tables brings the clamp force with room in this ring' if searched else ''}."


def _numbers(found: Mapping[str, Any]) -> list[list[str]]:
    pressure, limit = (quantity(found[key], "MPa", 3) for key in ("head_pressure_MPa", "head_pressure_limit_MPa"))
    rows = [
        ["Set", screw_set(found)],
        *_preloads(found),
        ["Stress while tightening, of what it bears", f"{number(100 * found['utilisation'], 3)} %"],
        ["Pressure under the head, against the ring's yield", f"{pressure} against {limit}"],
        ["Circle", quantity(found["circle_mm"], "mm")],
    ]
    if found["engagement_mm"] is not None:
        rows.append(["Depth of thread at which the screw breaks first", quantity(found["engagement_mm"], "mm", 2)])
    return rows


def _preloads(found: Mapping[str, Any]) -> list[list[str]]:
    """What the grip counts on and, where the screws settle, what is left for the ring to stay."""
    least, greatest, lost = (found[f"preload_{name}_N"] for name in ("least", "greatest", "lost"))
    counted = f"{quantity(least + lost, 'N', 3)} and {quantity(greatest, 'N', 3)}"
    if not lost:
        return [["Preload, least (counted on) and greatest", counted]]
    return [
        ["Preload before settling, least (counted on for the grip) and greatest", counted],
        ["Preload after settling, least (counted on for the ring to stay)", quantity(least, "N", 3)],
    ]


def _others(summary: Summary) -> list[list[str]]:
    return [
        [screw_set(e, torque=False), quantity(e["tightening_torque_Nm"], "N·m", 3), quantity(e["circle_mm"], "mm"), e.get("for", "")]
        for e in failing.other_sets(summary)
    ]
