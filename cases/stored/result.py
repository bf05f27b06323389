"""What one run gives, as an object: fresh from `solve` or read back from a folder, and how it is written."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path
from typing import Any

from colletfea.cases.stored import folder as folders, manifest, names, store
from colletfea.cases.stored.store import Row
from colletfea.cases.stored.verdict import Verdict

Fill = Callable[[Path], object]


@dataclass(frozen=True)
class Result:
    """What one run gives; units stand in the names of the keys and columns.

    summary: as `summary.json` holds it. history: a row an accepted increment. bore, cone: a row an element along the
    pair, at the end. lines: stress along lines, see `simulation.lines`, at the end of the push that their column corner names. section maps array names to arrays: nodes (n, 2) r, z [mm]; displacement (n, 2) [mm]; cells_<body>
    (e, 8); von_mises_<body>, hoop_<body> (e, 8) [MPa] at the elements' nodes; steps_<name> over the increments of the push,
    see `simulation.steps`; None where it was not kept. message: a sentence where the run did not come to its end.
    directory: where it is stored, None where it is not. fields writes the field files into a folder; it holds the whole
    model and is left behind when a result is pickled.
    """

    summary: dict[str, Any]
    history: list[Row]
    bore: list[Row]
    cone: list[Row]
    case_text: str
    section: dict[str, Any] | None = None
    message: str = ""
    directory: Path | None = None
    lines: list[Row] = field(default_factory=list)
    fields: Fill | None = field(default=None, repr=False, compare=False)

    def __getstate__(self) -> dict[str, Any]:
        return {**self.__dict__, "fields": None}

    @cached_property
    def verdicts(self) -> tuple[Verdict, ...]:
        """The verdicts of the summary."""
        known = Verdict.__dataclass_fields__
        return tuple(Verdict(**{k: v for k, v in one.items() if k in known}) for one in self.summary["verdicts"])

    @property
    def exit_code(self) -> int:
        """0; 3 where the push of a corner did not converge or was interrupted."""
        return 3 if any(reason in names.EARLY for reason in self.reasons) else 0

    @property
    def reasons(self) -> list[str]:
        """What ended the pushes: the nominal one's reason, then each corner's."""
        return [self.summary["simulation"]["stop_reason"], *(corner["stop_reason"] for corner in self.summary["corners"])]

    def stage(self, name: str) -> list[Row]:
        """Rows of the history that belong to one stage: push, service, release or twist."""
        return [row for row in self.history if row.get("stage") == name]

    def save(self, folder: Path | str, fields: bool = True) -> Result:
        """Write a results folder, whole or not at all; returns the result with its directory.

        fields: with the VTU series, which a result that was pickled no longer has. An older results folder is replaced;
        files of the user in it stay. Raises ResultsError where the folder is not empty and no results folder, can't be
        written, or another run writes there; ValueError where a value is NaN or infinite.
        """
        with folders.claimed(folder) as place:
            return self.put(place, fields)

    def put(self, place: folders.Place, fields: bool = True, page: Fill | None = None) -> Result:
        """Write into a claimed folder; page is called with the files written and adds to them. Raises NotStored.

        Where page fails for anything but the files' sake, the results are put in place before its error is raised.
        """
        failed: list[Exception] = []

        def fill(folder: Path) -> None:
            self._write(folder, fields)
            manifest.write(folder, manifest.of(folder, self.summary[store.RUN_ID]))
            try:
                if page:
                    page(folder)
            except OSError:
                raise
            except Exception as error:
                failed.append(error)

        try:
            place.put(self.summary[store.RUN_ID], fill)
        except store.NotStored as error:
            error.result = self
            raise
        if failed:
            raise failed[0]
        return replace(self, directory=place.shown)

    def _write(self, folder: Path, fields: bool) -> None:
        store.write_rows(folder / store.HISTORY, self.history)
        store.write_rows(folder / store.PAIRS["bore"], self.bore)
        store.write_rows(folder / store.PAIRS["cone"], self.cone)
        if self.lines:
            store.write_rows(folder / store.LINES, self.lines)
        store.write_text(folder / store.CASE, self.case_text)
        if self.section is not None:
            store.write_arrays(folder / store.SECTION, self.section)
        if fields and self.fields:
            self.fields(folder / store.FIELDS)
        store.write_text(folder / store.SUMMARY, store.to_json(self.summary))
