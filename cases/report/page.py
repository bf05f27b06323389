"""The report: one self-contained page and its figures, made from stored results alone."""

from pathlib import Path

from colletfea.cases.report import chapters, html, limits
from colletfea.cases.report.figures import Drawing, draw
from colletfea.cases.stored import store


def make(directory: Path | str) -> Path:
    """Write `report.html` and `figures/*.png` into a results folder; returns the page's path.

    Raises store.ResultsError where the folder holds no results. Nothing is solved.
    """
    result = store.load(directory)
    drawings = draw(result)
    figures = result.directory / "figures"
    figures.mkdir(exist_ok=True)
    for old in figures.glob("*.png"):
        old.unlink()
    for drawing in drawings:
        store.write_bytes(figures / f"{drawing.name}.png", drawing.png)
    path = result.directory / store.REPORT
    store.write_text(path, page(result, drawings))
    return path


def page(result: store.StoredResult, drawings: list[Drawing]) -> str:
    """The whole page as text."""
    summary = result.summary
    parts = [
        chapters.decision_box(summary),
        chapters.key_numbers(summary),
        chapters.comparison(summary),
        chapters.figures(drawings, result.section is not None),
        chapters.stresses(summary),
        chapters.checks(summary),
        limits.assumptions(summary),
        limits.blind_spots(summary),
        limits.cautions(),
        chapters.case_file(result.case_text),
    ]
    return html.page(
        f"{summary['title']} · tapered sleeve", "\n".join(part for part in parts if part)
    )
