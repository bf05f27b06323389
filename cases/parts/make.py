"""Files of a case's parts: each as a solid, all together, and the drawing; and what they weigh."""

from collections.abc import Mapping
from functools import partial
from pathlib import Path
from typing import Any, NamedTuple

from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.fits import deviations
from colletfea.cases.drawing import sheet, words
from colletfea.cases.drawing.profile import Profile
from colletfea.cases.parts.bodies import bodies, to_make
from colletfea.cases.stored.adding import add
from colletfea.cases.stored.folder import opened
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


class Made(NamedTuple):
    """What a case comes to: its parts' weights, texts by file name, and sentences on what is not plain."""

    weighed: tuple[Weighed, ...]
    texts: dict[str, str]
    notes: tuple[str, ...]


def make(case: Case, version: str, torque: sheet.Torque | None = None) -> Made:
    """Shaft, sleeve, ring and coupling as STEP, and the drawing as SVG; nothing is written.

    torque: of a screw for the drawing, where the case gives none; left blank, for after a run, where neither does. Raises CaseError where screws
    don't leave the parts whole, MeshError where the solid modeller fails.
    """
    parts = to_make(case)
    made = solids.make(bodies(parts), case.title)
    weighed = tuple(_weighed(case, name, measures) for name, measures in made.measures.items())
    drawing = sheet.sheet_svg(case, parts, _facts(case, parts, weighed, version, torque))
    texts = {f"{name}.step": text for name, text in made.texts.items()}
    return Made(weighed, {**texts, COUPLING: made.together, DRAWING: drawing}, _notes(parts))


def torque_of(found: Mapping[str, Any]) -> sheet.Torque | None:
    """The torque of a result, or of a hand calculation as `colletfea hand --json` prints it; None where its screws are not judged ok."""
    screws = found.get("screws")
    if not screws or not any(v["ok"] for v in found["verdicts"] if v["name"] == "screws"):
        return None
    simulated = "by a quick run" if found.get("level") == "quick" else "by simulation"
    return sheet.Torque(screws["tightening_torque_Nm"], simulated if "simulation" in found else "by hand, confirm")


def write(made: Made, directory: Path | str) -> list[Path]:
    """Write each file whole or not at all into an empty folder, a new one or one of ours, beside what that holds; their paths.

    Raises ResultsError where the folder is another one, a run writes there or a file of the user's is in the way.
    """
    with opened(directory) as folder:
        return add(folder, {name: partial(write_text, text=text) for name, text in made.texts.items()})


def lines(made: Made) -> list[str]:
    """What `parts` prints before the names of its files."""
    table = [
        f"{_title(part.name):<12}{part.volume:>12.1f} mm³ {1000 * part.mass:>10.1f} g "
        f"{part.inertia:>12.4g} kg·mm² about the axis"
        for part in made.weighed
    ]
    densities = ", ".join(f"{part.name} {part.density:g}" for part in made.weighed)
    return [*table, *made.notes, f"With densities in kg/m³: {densities}.", "The drawing is a design sketch: check it before making."]


def _notes(parts: Profile) -> tuple[str, ...]:
    notes = []
    if parts.pieces == 2:
        notes.append("The sleeve is in two halves: two slits run right through it.")
    if parts.bolting and parts.low and not parts.tapped:
        notes.append("The screws' circle lies outside the flange, which gets no threads.")
    return tuple(notes)


def _weighed(case: Case, name: str, measures: solids.Measures) -> Weighed:
    density = getattr(case, name).material.density
    per_volume = 1e-9 * density
    return Weighed(name, measures.volume, density, per_volume * measures.volume, per_volume * measures.inertia)


def _facts(case: Case, parts: Profile, weighed: tuple[Weighed, ...], version: str, torque: sheet.Torque | None) -> sheet.Facts:
    made = [sheet.Listed(_title(w.name), getattr(case, w.name).material.name, w.density, w.mass) for w in weighed]
    if case.screws and case.screws.torque:
        torque = sheet.Torque(case.screws.torque, "as given")
    return sheet.Facts(made, _limits(case, parts), torque, version)


def _limits(case: Case, parts: Profile) -> list[sheet.Limits]:
    """Limits of bore and shaft by the fit's tables; blank where only a clearance was given."""
    sizes = (2 * parts.sizes.wall.bore_radius, 2 * parts.sizes.shaft_radius)
    found = zip(("Sleeve's bore", "Shaft"), sizes, words.fit_of(case))
    rows = [(name, size, f"{words.diameter(size)} {half}".rstrip()) for name, size, half in found]
    if case.sleeve.fit is None:
        return [sheet.Limits(name, text, None, None) for name, _, text in rows]
    pairs = deviations(case.sleeve.fit, case.shaft.diameter)
    return [sheet.Limits(name, text, size + high / 1000, size + low / 1000) for (name, size, text), (low, high) in zip(rows, pairs)]


def _title(name: str) -> str:
    return {"shaft": "Shaft piece", "sleeve": "Sleeve", "ring": "Ring"}[name]
