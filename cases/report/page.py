"""The report: one self-contained page and its figures, made from stored results alone."""

from pathlib import Path

from colletfea.cases.report import figures as plots, html, limits, chapters as report_parts
from colletfea.cases.stored import store


def make(directory: Path | str) -> Path:
    """Write `report.html` and `figures/*.png` into a results folder; returns the page's path.

    Raises store.ResultsError where the folder holds no results. Nothing is solved.
    """
    result = store.load(directory)
    drawings = plots.draw(result)
    figures = result.directory / "figures"
    figures.mkdir(exist_ok=True)
    for old in figures.glob("*.png"):
        old.unlink()
    for drawing in drawings:
        store.write_bytes(figures / f"{drawing.name}.png", drawing.png)
    path = result.directory / store.REPORT
    store.write_text(path, page(result, drawings))
    return path


def page(result: store.StoredResult, drawings: list[plots.Drawing]) -> str:
    """The whole page as text."""
    summary = result.summary
    chapters = [
        report_parts.decision_box(summary),
        report_parts.key_numbers(summary),
        report_parts.comparison(summary),
        report_parts.figures(drawings, result.section is not None),
        report_parts.stresses(summary),
        report_parts.checks(summary),
        limits.assumptions(summary),
        limits.blind_spots(summary),
        limits.cautions(),
        report_parts.case_file(result.case_text),
    ]
    return html.page(
        f"{summary['title']} · tapered sleeve", "\n".join(chapter for chapter in chapters if chapter)
    )
