"""Chapters of the report that show results: decision, key numbers, comparison, figures, stresses, checks."""

from typing import Any, Mapping

from colletfea.cases.report import decision, html, sentences
from colletfea.cases.report.comparison import reasons, table
from colletfea.cases.report.figures.canvas import Drawing
from colletfea.cases.report.wording import number, percent, quantity
from colletfea.cases.stored.names import dig

Summary = Mapping[str, Any]
KINDS = {True: "ok", False: "not-ok", None: "not-judged"}
PEAK_KEYS = ("part", "quantity", "value", "unit", "r_mm", "z_mm", "verdict")


def decision_box(summary: Summary) -> str:
    """Title, what was asked, does it hold, and the verdicts."""
    rows = [decision.verdict_row(verdict) for verdict in summary["verdicts"]]
    kinds = [f"{KINDS[verdict['ok']]}-text" for verdict in summary["verdicts"]]
    return "\n".join(
        [
            f"<h1>{html.escape(summary['title'])}</h1>",
            html.paragraph(
                "Tapered sleeve and clamp ring on a plain shaft: hand calculation and contact simulation, "
                f"colletfea {summary['version']}.",
                "soft",
            ),
            html.box(
                KINDS[decision.standing(summary)],
                html.paragraph(decision.asked(summary)),
                html.paragraph(decision.answer(summary), "answer"),
                html.paragraph(decision.next_step(summary)),
                html.paragraph(decision.ending(summary)),
            ),
            html.table(("Verdict", "value", "limit", "margin", "because", ""), rows, (1, 2, 3), kinds),
            html.paragraph(
                "Margin above 1 is good. Low friction on the bore is used for capacity, high friction on "
                "the cone for clamp and release force, low friction on the cone for self-locking.",
                "soft",
            )
            if rows
            else "",
        ]
    )


def key_numbers(summary: Summary) -> str:
    """The numbers a designer looks for first."""
    keys = decision.key_numbers(summary)
    return html.chapter("Key numbers", html.cards(keys)) if keys else ""


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
            "Plain: the trade's two-stage sheet. Refined: with the ring's expansion and the "
            "pressure that the sleeve passes on. Nominal friction throughout; the last column is simulated against refined."
        ),
        html.table(("", "plain", "refined", "simulated", "difference"), rows, (1, 2, 3, 4)),
        "<h3>Why they differ</h3>" + words if words else "",
        "<h3>Reservations on hand values</h3>" + html.bullets(notes) if notes else "",
        _fits(summary),
        _slits(summary),
        _cheaper(summary),
    )


def figures(drawings: list[Drawing], with_fields: bool) -> str:
    """Figures with what can be read off them."""
    left_out = "" if with_fields else "The fields were not kept, so the section and the stress are not drawn."
    return html.chapter(
        "Figures", *(html.picture(d.png, d.title, d.reading) for d in drawings), html.paragraph(left_out)
    )


def stresses(summary: Summary) -> str:
    """Hand stresses, raw largest values, and the peaks with their verdicts."""
    where, state = decision.reference(summary)
    peaks = summary["simulation"]["peaks"]
    rows = [
        [
            peak["part"],
            peak["quantity"],
            quantity(peak["value"], peak["unit"]),
            f"r {number(peak['r_mm'], 3)}, z {number(peak['z_mm'], 3)} mm",
            _peak_said(peak),
        ]
        for peak in peaks
    ]
    return html.chapter(
        "Stresses, and which peaks can be believed",
        html.table(
            ("Part", "refined hand value", f"simulated, raw, {where}", "yield"),
            _stress_rows(summary, state),
            (1, 2, 3),
        ),
        html.paragraph(
            "Raw: the largest value at an integration point, edges of contact and corners included. At a sharp "
            "one the elastic stress is unbounded: it grows with every refinement and is not a stress. At an edge "
            "with a radius it settles, unless the radius is very small. Hand values are for the clamp force, evenly spread.",
            "soft",
        ),
        html.table(("Part", "quantity", "value", "place", "verdict"), rows, (2,)),
        ""
        if rows
        else html.paragraph("No study of the peaks is stored with this run: judge raw values with care."),
    )


def checks(summary: Summary) -> str:
    """Balance of the accepted increments, and what the run took."""
    balance, effort = summary["simulation"]["balance"], summary["simulation"]["effort"]
    rows = [
        [
            "Ring push less sleeve and shaft reactions, over the largest force",
            number(balance["axial_relative"], 2),
        ],
        ["Work of the ring less stored and lost energy, over that work", number(balance["work_relative"], 2)],
        [
            "Deepest penetration, over the larger of radial clearance and d/10 000",
            number(balance["penetration_over_clearance"], 2),
        ],
    ]
    took = (
        f"{number(effort['unknowns'])} unknowns, {number(effort['increments'])} accepted increments, "
        f"{number(effort['iterations'])} iterations, {number(effort['cutbacks'])} cut-backs; push "
        f"{quantity(effort['seconds'], 's', 3)}, mesh {quantity(effort['mesh_seconds'], 's', 3)}, all "
        f"{quantity(effort['total_seconds'], 's', 3)}."
    )
    return html.chapter(
        "Balance checks and effort",
        html.table(("Largest over all accepted increments", "value"), rows, (1,)),
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
    return "<h3>Closing over the fit</h3>" + html.table(head, rows, range(1, 6))


def _slits(summary: Summary) -> str:
    lines = sentences.slit_lines(summary["hand"]["slits"])
    return "<h3>Slits</h3>" + html.bullets(lines) if lines else ""


def _cheaper(summary: Summary) -> str:
    """Changes of the design that lower the clamp force, by the refined hand calculation; none in older results."""
    lines = sentences.advice_lines(summary["hand"].get("advice") or [])
    return "<h3>What would lower the clamp force, by hand</h3>" + html.bullets(lines) if lines else ""


def _stress_rows(summary: Summary, state: Mapping[str, Any] | None) -> list[list[str]]:
    rows = []
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


def _peak_said(peak: Mapping[str, Any]) -> str:
    """The verdict and whatever else the run stored with the peak."""
    more = [
        f"{key.replace('_', ' ')} {percent(value) if key.endswith('relative') else number(value)}"
        for key, value in peak.items()
        if key not in PEAK_KEYS and value is not None
    ]
    return "; ".join([str(peak["verdict"]), *more])
