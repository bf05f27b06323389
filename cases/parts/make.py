"""Files of a case's parts: each as a solid, all together, and the drawing; and what they weigh."""

from pathlib import Path
from typing import NamedTuple

from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.fits import deviations
from colletfea.cases.drawing import words
from colletfea.cases.drawing.profile import Profile
from colletfea.cases.drawing.sheet import Facts, Limits, Made, sheet_svg
from colletfea.cases.parts.bodies import bodies, to_make
from colletfea.cases.stored.store import write_text
from colletfea.meshing import solids

COUPLING, DRAWING = "coupling.step", "drawing.svg"


class Weighed(NamedTuple):
    """A part: name, volume [mm3], density [kg/m3], mass [kg], inertia about the axis [kg mm2]."""

    name: str
    volume: float
    density: float
    mass: float
    inertia: float


class Files(NamedTuple):
    """What was made: parts with their weight, the files in the order they were written, and sentences on what is not plain."""

    weighed: tuple[Weighed, ...]
    paths: tuple[Path, ...]
    notes: tuple[str, ...]


def make(case: Case, folder: Path, version: str, torque: float | None = None) -> Files:
    """Write shaft, sleeve, ring and coupling as STEP files and the drawing as SVG into a folder that is there.

    Everything is made before anything is written, and only these five names are. torque [N·m]: tightening torque of a
    screw, for the drawing. Raises CaseError where screws don't leave the parts whole.
    """
    parts = to_make(case)
    made = solids.make(bodies(parts), case.title)
    weighed = tuple(_weighed(case, name, measures) for name, measures in made.measures.items())
    texts = {f"{name}.step": text for name, text in made.texts.items()}
    texts |= {COUPLING: made.together, DRAWING: sheet_svg(case, parts, _facts(case, parts, weighed, version, torque))}
    for name, text in texts.items():
        write_text(folder / name, text)
    return Files(weighed, tuple(folder / name for name in texts), _notes(parts))


def lines(files: Files) -> list[str]:
    """What `parts` prints."""
    names = [f"{_title(part.name):<12}" for part in files.weighed]
    table = [
        f"{name}{part.volume:>12.1f} mm³ {1000 * part.mass:>10.1f} g {part.inertia:>12.4g} kg·mm² about the axis"
        for name, part in zip(names, files.weighed)
    ]
    densities = ", ".join(f"{part.name} {part.density:g}" for part in files.weighed)
    wrote = [f"Wrote {path}" for path in files.paths]
    return [*table, *files.notes, f"With densities in kg/m³: {densities}.", *wrote, "The drawing is a design sketch: check it before making."]


def _notes(parts: Profile) -> tuple[str, ...]:
    notes = []
    if parts.pieces == 2:
        notes.append("The sleeve is in two halves: two slits run right through it.")
    if parts.bolting and parts.low and not parts.tapped:
        notes.append("The screws' circle lies outside the flange, which gets no threads.")
    return tuple(notes)


def _weighed(case: Case, name: str, measures: solids.Measures) -> Weighed:
    density = getattr(getattr(case, name).material, "density", 7850.0)
    per_volume = 1e-9 * density
    return Weighed(name, measures.volume, density, per_volume * measures.volume, per_volume * measures.inertia)


def _facts(case: Case, parts: Profile, weighed: tuple[Weighed, ...], version: str, torque: float | None) -> Facts:
    made = [Made(_title(w.name), getattr(case, w.name).material.name, w.density, w.mass) for w in weighed]
    return Facts(made, _limits(case, parts), torque, version)


def _limits(case: Case, parts: Profile) -> list[Limits]:
    """Limits of bore and shaft by the fit's tables; blank where only a clearance was given."""
    sizes = (2 * parts.sizes.wall.bore_radius, 2 * parts.sizes.shaft_radius)
    found = zip(("Sleeve's bore", "Shaft"), sizes, words.fit_of(case))
    rows = [(name, size, f"{words.diameter(size)} {half}".rstrip()) for name, size, half in found]
    if case.sleeve.fit is None:
        return [Limits(name, text, None, None) for name, _, text in rows]
    pairs = deviations(case.sleeve.fit, case.shaft.diameter)
    return [Limits(name, text, size + high / 1000, size + low / 1000) for (name, size, text), (low, high) in zip(rows, pairs)]


def _title(name: str) -> str:
    return {"shaft": "Shaft piece", "sleeve": "Sleeve", "ring": "Ring"}[name]
