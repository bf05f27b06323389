"""Figures made from stored results; matplotlib is imported in `canvas` only, when something is drawn."""

from colletfea.cases.report.figures.canvas import Drawing
from colletfea.cases.stored.result import Result


def prepare() -> None:
    """Load what drawing needs, which takes as long as a drawing."""
    from colletfea.cases.report.figures import canvas, curves, meridian, pressure, stress  # noqa: F401

    canvas.prepare()


def draw(result: Result) -> list[Drawing]:
    """All figures the stored results allow, in the order of the report."""
    from colletfea.cases.report.figures import curves, meridian, pressure, stress

    made = (
        meridian.section(result),
        curves.force(result),
        pressure.pressure(result),
        stress.stress(result),
        curves.twist(result),
        curves.release(result),
    )
    return [drawing for drawing in made if drawing is not None]
