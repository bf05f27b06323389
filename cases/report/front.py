"""The first page: everything that is signed, on one sheet."""

from typing import Any, Mapping

from colletfea.cases.drawing.section import filling_svg
from colletfea.cases.report import again, decision, failing, html, key_numbers, limits, screw_lines
from colletfea.cases.report.verdict_words import short_row
from colletfea.cases.report.force_words import capital

Summary = Mapping[str, Any]
KINDS = {True: "ok", False: "not-ok", None: "not-judged"}
WORDS = {True: "Holds, within what this model sees", False: "Does not hold", None: "Not fully judged"}
WIDE, HIGH, LOW = 184.0, 118.0, 90.0  # room for the section on the sheet [mm]; low beside a long list of faults
MANY = 3  # faults that still leave it the whole room


def page(summary: Summary) -> str:
    """Title, decision, key numbers, section, screws, verdicts with their worst corners, cautions."""
    return html.group(
        "front",
        f"<h1>{html.escape(summary['title'])}</h1>",
        html.paragraph(f"Tapered sleeve and clamp ring on a plain shaft, colletfea {summary['version']}. {decision.asked(summary)}", "soft"),
        _box(summary),
        html.cards(key_numbers.front(summary)),
        html.drawing(_section(summary)),
        html.bullets(screw_lines.short(summary)),
        _verdicts(summary),
        html.group("caution", html.bullets(limits.CAUTIONS)),
    )


def _box(summary: Summary) -> str:
    """The decision; failed verdicts one below the other, so that none is overlooked."""
    first, *more = decision.sentences(summary)
    stands, failed = decision.standing(summary), failing.clauses(summary)
    word = "No decision" if decision.stopped_early(summary) else WORDS[stands]
    if failed and not decision.stopped_early(summary):
        said = [html.paragraph("It does not hold as it stands:", "answer"), html.bullets(f"{capital(one)}." for one in failed)]
    else:
        said = [html.paragraph(first, "answer")]
    rough = "Made with --quick, on a coarse mesh: for a first look, not to sign off." if summary.get("level") == "quick" else ""
    rest = [html.paragraph(line) for line in [*more, rough]]
    return html.box(KINDS[stands], html.paragraph(word, f"word {KINDS[stands]}"), *said, *rest)


def _verdicts(summary: Summary) -> str:
    rows = [short_row(summary, verdict) for verdict in summary["verdicts"]]
    kinds = [KINDS[verdict["ok"]] for verdict in summary["verdicts"]]
    corner = "worst corner" if len(summary["corners"]) > 1 else "corner"
    return html.table(("Verdict", "", "value", "limit", "margin", corner), rows, (2, 3, 4), kinds, 1)


def _section(summary: Summary) -> str:
    """The section of the stored case, to scale; empty where it can't be built again, which the chapter of figures says."""
    case = again.case_of(summary)
    return filling_svg(case, WIDE, LOW if len(failing.clauses(summary)) > MANY else HIGH) if case else ""
