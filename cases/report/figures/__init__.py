"""Figures made from stored results; matplotlib is imported in `canvas` only, when something is drawn."""

from colletfea.cases.report.figures.canvas import Drawing
from colletfea.cases.stored.result import Result


def prepare() -> None:
    """Load what drawing needs, which takes as long as a drawing."""
    from colletfea.cases.report.figures import along, canvas, curves, meridian, pressure, stress  # noqa: F401

    canvas.prepare()


def draw(result: Result) -> list[Drawing]:
    """All figures the stored results allow, in the order of the report."""
    return [drawing for drawing in some(result) if drawing is not None]


def some(result: Result, start: int = 0, step: int = 1) -> list[Drawing | None]:
    """Every step-th figure from start on, in the order of the report; None for one the stored results do not allow."""
    from colletfea.cases.report.figures import along, curves, meridian, pressure, stress

    early = (meridian.section, curves.force, pressure.pressure, stress.stress, along.along)
    every = (*early, curves.service, curves.twist, curves.release)
    return [draw(result) for draw in every[start::step]]
