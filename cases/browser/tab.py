"""What one tab of the browser holds: the form's texts, what follows from them, a simulation and the variants kept beside."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from pathlib import PurePosixPath, PureWindowsPath
from typing import Any

from colletfea.cases.browser import form, keep
from colletfea.cases.browser.form import Fault, Values
from colletfea.cases.casefile import examples
from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.faults import CaseError
from colletfea.cases.casefile.file import tables_of, text_of
from colletfea.cases.casefile.text import dump
from colletfea.cases.drawing.section import section_svg
from colletfea.cases.stored.result import Result
from colletfea.cases.summary import by_hand

MOST_VARIANTS = 8


@dataclass(frozen=True)
class Shown:
    """What follows from the form: the case with its numbers by hand and its drawing, or the faults in place of all three."""

    case: Case | None = None
    hand: dict[str, Any] | None = None
    drawing: str | None = None
    faults: tuple[Fault, ...] = ()


@dataclass(frozen=True)
class Variant:
    """A design kept beside: its name, texts, numbers by hand and, where there are any, by simulation."""

    name: str
    values: Values
    case: Case
    hand: dict[str, Any]
    simulated: dict[str, Any] | None


@dataclass
class Tab:
    """State of one tab. name: file name without folder and ending; text: the opened file as it was read."""

    values: Values = field(default_factory=lambda: form.values({}))
    name: str = "case"
    text: str | None = None
    shown: Shown = field(default_factory=Shown)
    result: Result | None = None
    solved: Case | None = None  # what the result belongs to
    variants: list[Variant] = field(default_factory=list)
    _letters: int = 0

    def open(self, content: bytes, name: str) -> None:
        """Take a case file's content; name: what the user calls the file.

        Raises CaseError where the form can't hold it; values out of range it can.
        """
        text = text_of(content, name)
        tables = tables_of(text, name)
        values = form.values(tables)
        stray = [fault.sentence for fault in form.keyed(_faults(tables)) if fault.key in ("", *form.PRESENT)]
        if stray:
            raise CaseError(stray)
        self.values, self.text, self.name = values, text, plain_name(name)
        self.result = self.solved = None
        self.compute()

    def example(self, name: str) -> None:
        """Take a bundled example. Raises CaseError where there is none of that name."""
        self.open(examples.text(name).encode(), name)

    def type(self, key: str, text: str) -> None:
        """Take one control's text; keys that no control has are let go."""
        if key in self.values:
            self.values = {**self.values, key: str(text)[: form.LONGEST_TEXT]}

    def compute(self) -> Shown:
        """The numbers and the drawing of the texts as they stand."""
        try:
            case = Case.from_tables(form.tables(self.values), self.name)
            self.shown = Shown(case, by_hand(case), section_svg(case))
        except CaseError as error:
            self.shown = Shown(faults=tuple(form.keyed(error.faults)))
        except Exception as error:  # whatever it is, no number may stand beside an input that it is not of
            said = f"Not worked out, unexpected {type(error).__name__}: {' '.join(str(error).split())}. Please report it with the case file."
            self.shown = Shown(faults=(Fault("", (), said),))
        return self.shown

    @property
    def current(self) -> Result | None:
        """The simulation where it belongs to the form as it stands; a title moves no number, and the result bears the form's."""
        case, result, solved = self.shown.case, self.result, self.solved
        if result is None or case is None or replace(case, title=solved.title) != solved:
            return None
        if case.title == solved.title:
            return result
        named = {**result.summary, "title": case.title, "case": {**result.summary["case"], "title": case.title}}
        return replace(result, summary=named, case_text=dump(case.tables()))

    @property
    def simulated(self) -> dict[str, Any] | None:
        """The summary of that simulation."""
        current = self.current
        return current.summary if current else None

    def solve(self, result: Result, case: Case) -> None:
        """Take the result of a simulation of a case."""
        self.result, self.solved = result, case

    def keep(self) -> str | None:
        """Keep the design as it stands beside; a sentence where that can't be."""
        if self.shown.case is None:
            return "Mend the faults first: a design without numbers is not kept."
        if len(self.variants) >= MOST_VARIANTS:
            return f"{MOST_VARIANTS} designs are kept already; drop one first."
        name = chr(ord("A") + self._letters % 26) + (str(self._letters // 26) if self._letters >= 26 else "")
        self._letters += 1
        self.variants.append(Variant(name, self.values, self.shown.case, self.shown.hand, self.simulated))
        return None

    def take(self, name: str) -> None:
        """Put a kept design back into the form."""
        for one in self.variants:
            if one.name == name:
                self.values = one.values
                self.compute()

    def drop(self, name: str) -> None:
        """Let a kept design go."""
        self.variants = [one for one in self.variants if one.name != name]

    def saved(self) -> tuple[str, bool]:
        """The case file's text, and whether the comments of the opened one are in it."""
        return keep.kept(self.text, form.tables(self.values))


def plain_name(name: str) -> str:
    """A file's name that a browser gave, as a word without folders or ending."""
    stem = PurePosixPath(PureWindowsPath(name[-400:]).name).name.removesuffix(".toml")
    return re.sub(r"[^\w\- ]+", "_", stem).strip("_ ")[:60] or "case"


def _faults(tables: dict[str, Any]) -> list[str]:
    try:
        Case.from_tables(tables, "case")
    except CaseError as error:
        return error.faults
    return []
