"""Figures made from stored results; matplotlib is imported in `canvas` only, when something is drawn."""

from cases.plots.canvas import Drawing
from cases.store import StoredResult


def draw(result: StoredResult) -> list[Drawing]:
    """All figures the stored results allow, in the order of the report."""
    from cases.plots import curves, pressure, section

    made = (
        section.section(result),
        curves.force(result),
        pressure.pressure(result),
        section.stress(result),
        curves.twist(result),
        curves.release(result),
    )
    return [drawing for drawing in made if drawing is not None]
