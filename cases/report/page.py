"""The report: one self-contained page and its figures, made from stored results alone."""

from collections.abc import Iterable
from functools import partial
from pathlib import Path

from colletfea.cases.report import chapters, decided, figures, front, html, limits
from colletfea.cases.report.figures import Drawing
from colletfea.cases.report.slider import slider
from colletfea.cases.stored import manifest, store
from colletfea.cases.stored.adding import add
from colletfea.cases.stored.lock import locked
from colletfea.cases.stored.reading import load
from colletfea.cases.stored.result import Result


def make(directory: Path | str) -> Path:
    """Write `report.html` and `figures/*.png` into a results folder; returns the page's path.

    Nothing is solved. Raises ResultsError where the folder holds no results, they are damaged, a run is writing there, or
    the page can't be written.
    """
    folder = Path(directory)
    load(folder)  # where there is nothing, nothing is locked
    with locked(folder.resolve(), folder):
        try:
            return write(folder)
        except OSError as error:
            raise store.ResultsError(f"{error.filename or folder}: the report can't be written: {error.strerror}.") from error
        except store.ResultsError:
            raise
        except Exception as error:  # what a run stored it has drawn once: these values come from elsewhere
            said = f"{folder}: no report can be made of these results, some value is none that a run stores ({type(error).__name__})"
            raise store.ResultsError(f"{said}; run the case again.") from error


def prepare() -> None:
    """Load what `drawings` will need."""
    figures.prepare()


def drawings(result: Result, start: int = 0, step: int = 1) -> list[Drawing | None]:
    """Figures of a result, every step-th from start on: those that its stored files give, to the byte; None for one it has not."""
    return figures.some(result, start, step)


def write(folder: Path, drawings: Iterable[Drawing | None] | None = None) -> Path:
    """As `make`, in a folder that is held already. Raises ResultsError, and OSError where a file can't be written.

    drawings: the figures, where they were made before.
    """
    result = load(folder)
    drawings = figures.draw(result) if drawings is None else [drawing for drawing in drawings if drawing is not None]
    made = {f"{store.FIGURES}/{drawing.name}.png": partial(store.write_bytes, data=drawing.png) for drawing in drawings if drawing.png}
    made[store.REPORT] = partial(store.write_text, text=page(result, drawings))
    listed = manifest.read(folder).files
    add(folder, made, [name for name in listed if name.startswith(f"{store.FIGURES}/") and not manifest.beside(name)])
    return folder / store.REPORT


def page(result: Result, drawings: list[Drawing]) -> str:
    """The whole page as text."""
    summary = result.summary
    parts = [
        front.page(summary),
        decided.corners(summary),
        decided.reasons(summary),
        decided.screws(summary),
        decided.service(summary),
        decided.radial(summary),
        decided.what_helps(summary),
        decided.nominal_push(summary),
        chapters.comparison(summary),
        chapters.figures(summary, drawings, slider(result), result.section is not None),
        chapters.stresses(summary, drawings),
        chapters.checks(summary),
        limits.assumptions(summary),
        limits.blind_spots(summary),
        chapters.case_file(result.case_text),
    ]
    return html.page(
        f"{summary['title']} · tapered sleeve", "\n".join(part for part in parts if part)
    )
