"""Chapters of the report on how the numbers came about: comparison, figures, stresses, checks, the case file."""

from typing import Any, Mapping

from colletfea.cases.drawing.profile import profile
from colletfea.cases.drawing.solid_view import solid_svg
from colletfea.cases.report import again, corner_words, html, peak_words, sentences, stress_words
from colletfea.cases.report.comparison import reasons, table
from colletfea.cases.report.figures.canvas import Drawing
from colletfea.cases.report.wording import number, quantity
from colletfea.cases.stored.names import PARTS, dig

Summary = Mapping[str, Any]
STRESS = ("stress", "stress_lines")  # figures of the chapter on stresses


def comparison(summary: Summary) -> str:
    """Plain sheet, refined hand calculation and simulation, and why they differ."""
    lines = [
        line for line in table(summary) if (line.plain, line.refined, line.simulated) != (None,) * 3
    ]
    rows = [
        [
            line.label,
            *(quantity(value, line.unit) for value in (line.plain, line.refined, line.simulated)),
            line.off,
        ]
        for line in lines
    ]
    notes = sentences.note_lines(summary["hand"]["notes"])
    words = html.bullets(reasons(summary))
    return html.chapter(
        "Hand calculation and simulation",
        html.paragraph(
            "Plain: the trade's two-stage sheet. Refined: with the ring's expansion and the pressure that the sleeve passes on. All at "
            "nominal friction and clearance, to compare the methods; the clamp force to apply is the one on the first page. "
            "The last column is simulated against refined."
        ),
        html.table(("", "plain", "refined", "simulated", "difference"), rows, (1, 2, 3, 4)),
        html.part("Why they differ", words),
        html.part("Reservations on hand values", html.bullets(notes)),
        _fits(summary),
        _slits(summary),
    )


def figures(summary: Summary, drawings: list[Drawing], steps: str, with_fields: bool) -> str:
    """Figures with what can be read off them."""
    left_out = "" if with_fields else "The fields were not kept, so the section and the stress are not drawn."
    return html.chapter(
        "Figures", _cut_open(summary), *(_figure(d) for d in drawings if d.name not in STRESS), steps, html.paragraph(left_out)
    )


def _cut_open(summary: Summary) -> str:
    """The coupling in three dimensions, or why neither it nor the section of the first page is there."""
    case = again.case_of(summary)
    if case is None:
        return html.paragraph("The coupling is not drawn: this version can't build the stored case again.")
    return html.plot(solid_svg(profile(case), 120.0), "The coupling before the push, a quarter of sleeve and ring cut away, roundings and threads left out.", "view")


def _figure(drawing: Drawing) -> str:
    return html.plot(drawing.svg, drawing.reading) if drawing.svg else html.picture(drawing.png, drawing.title, drawing.reading, drawing.tall)


def stresses(summary: Summary, drawings: list[Drawing]) -> str:
    """Pictures, hand stresses, raw largest values, and the peaks of the corner that governs each part, with their verdicts."""
    rows = summary["simulation"]["peaks"]
    return html.chapter(
        "Stresses, and which peaks can be believed",
        html.paragraph("Peaks in the corner of fit and friction that is worst for each part." if rows else ""),
        *(_peaks(summary, part, [peak for peak in rows if peak["part"] == part]) for part in PARTS),
        "" if rows else html.paragraph("No study of the peaks is stored with this run: judge raw values with care."),
        html.table(("Hand calculation beside it", "refined hand value", "simulated, raw, at the end of the nominal push", "yield"), _stress_rows(summary), (1, 2, 3)),
        html.paragraph(
            "Raw: the largest value at an integration point, edges of contact and corners included. At a sharp "
            "one the elastic stress is unbounded: it grows with every refinement and is not a stress; where metal flows it is bounded, and what grows is the "
            "strain. At an edge "
            "with a radius it settles, unless the radius is very small. Hand values are for the clamp force at nominal friction, evenly spread.",
            "soft",
        ),
        html.paragraph(stress_words.source(summary), "soft"),
        *(_figure(d) for d in drawings if d.name in STRESS),
    )


def _peaks(summary: Summary, part: str, peaks: list[dict[str, Any]]) -> str:
    rows = [
        [
            peak["quantity"],
            quantity(peak["value"], peak["unit"]),
            f"{number(peak['r_mm'], 3)}, {number(peak['z_mm'], 3)}".replace(" ", "\u00a0"),
            peak_words.said(summary, peak),
        ]
        for peak in peaks
    ]
    if not rows:
        return ""
    title = f"{part.capitalize()}: {corner_words.governing(summary, part)}"
    return html.part(title, html.table(("", "value", "r, z (mm)", "verdict"), rows, (1, 2)), html.bullets(stress_words.lines(summary, part)))


def checks(summary: Summary) -> str:
    """Balance of the nominal push, and what the run took."""
    balance, effort = summary["simulation"]["balance"], summary["simulation"]["effort"]
    rows = [
        [
            "Ring push less sleeve and shaft reactions, over the largest force: largest of all accepted increments",
            number(balance["axial_relative"], 2),
        ],
        ["Work of the ring less stored and lost energy, over that work, at the end", number(balance["work_relative"], 2)],
        *(
            [f"Work of the {stage} less stored and lost energy, over that work", number(share, 2)]
            for stage, share in (balance.get("work_relative_of_stages") or {}).items()
            if share is not None
        ),
        [
            "Largest mean overlap of an element that touches all along, over the larger of radial clearance and d/10 000, at the end",
            number(balance["penetration_over_clearance"], 2),
        ],
    ]
    size = effort.get("element_size_mm")
    elements = f"Elements of {quantity(size, 'mm', 3)} at the contacts, " if size else ""
    took = (
        f"{elements}{number(effort['unknowns'])} unknowns, {number(effort['increments'])} accepted increments, "
        f"{number(effort['iterations'])} iterations, {number(effort['cutbacks'])} cut-backs; push "
        f"{quantity(effort['seconds'], 's', 3)}, mesh {quantity(effort['mesh_seconds'], 's', 3)}, all "
        f"{quantity(effort['total_seconds'], 's', 3)}."
    )
    return html.chapter(
        "Balance checks and effort",
        html.table(("In the nominal push", "value"), rows, (1,)),
        html.paragraph(took),
    )


def case_file(text: str) -> str:
    """The case as it was run."""
    return html.chapter("Case file as run", html.listing(text))


def _fits(summary: Summary) -> str:
    fit = summary["hand"]["fit"]
    if not fit:
        return ""
    columns = [
        (f"{column}.{key}", unit)
        for column in ("plain", "refined")
        for key, unit in (("closing_travel_mm", "mm"), ("closing_force_N", "N"))
    ]
    rows = [
        [
            name,
            quantity(one["clearance_mm"], "mm", 3),
            *(quantity(dig(one, path), unit) for path, unit in columns),
        ]
        for name, one in fit.items()
    ]
    head = (
        "Fit",
        "clearance",
        "closing travel, plain",
        "closing force, plain",
        "travel, refined",
        "force, refined",
    )
    return html.part("Closing over the fit", html.table(head, rows, range(1, 6)))


def _slits(summary: Summary) -> str:
    lines = sentences.slit_lines(summary["hand"]["slits"])
    return html.part("Slits", html.bullets(lines))


def _stress_rows(summary: Summary) -> list[list[str]]:
    rows, state = [], summary["simulation"]["at_end"]
    for label, key, part in sentences.STRESSES:
        raw = dig(state, f"von_mises_MPa.{part}") if part else None
        limit = dig(summary, f"case.{part}.material.yield") if part else None
        rows.append(
            [
                label,
                quantity(dig(summary, f"hand.refined.stress_MPa.{key}"), "MPa", 3),
                quantity(raw, "MPa", 3),
                quantity(limit, "MPa", 3),
            ]
        )
    return rows
