"""The page of a study and what its command prints, made from the stored rows alone."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from pathlib import Path

from colletfea.cases.report import html
from colletfea.cases.report.figures.canvas import Drawing
from colletfea.cases.report.wording import NOTHING, deviation, number
from colletfea.cases.stored import store
from colletfea.cases.stored.adding import add
from colletfea.cases.stored.folder import opened
from colletfea.cases.stored.store import Row
from colletfea.cases.study import figures, table, trend, vary
from colletfea.cases.study.conduct import Outcome
from colletfea.cases.study.quantities import Quantity, of_rows, read_of
from colletfea.cases.study.scatter import percentile, told

#: failed cases that are listed one by one
_LISTED = 30
_DASH = f"{NOTHING}: one of the two cases has no such number, or it is near zero in the case as it is, so that no change in parts of it can be told."


class Reading:
    """Rows of a study with what can be said of them."""

    def __init__(self, outcome: Outcome) -> None:
        self.outcome, self.study = outcome, outcome.study
        self.rows: list[Row] = [read_of(row, self.study.keys) for row in outcome.rows]
        self.quantities: list[Quantity] = of_rows(self.rows, self.study.random)

    @property
    def around(self) -> bool:
        """Whether keys were moved 5 % either way."""
        return "around" in self.study.asked

    @property
    def beside_the_case(self) -> list[Row]:
        """Rows of `--around`, the case as it is first; none where that one is missing, as there is nothing to tell a change from."""
        return self.rows if 0 in self.outcome.rows else []

    def sentences(self) -> list[str]:
        """What the study says, shortest first."""
        if self.study.random:
            return trend.of_samples(self.rows)
        if self.around:
            return [_DASH] if any(NOTHING in _changes(self, q) for q in self.quantities) else []
        said = trend.where_it_holds(self.study.keys, self.rows) if any(row["exit_code"] == 0 for row in self.rows) else []
        if len(self.study.keys) == 1:
            said += [words for q in self.quantities if (words := trend.of_key(self.study.keys[0], q, self.rows))]
        return said

    def failures(self) -> list[Row]:
        """Rows of the cases that did not come to their end."""
        return [row for row in self.rows if row["exit_code"] != 0]

    def head(self) -> list[str]:
        """What was asked, what of the case does not enter, how far it came, what failed, what is damaged, what cases are asked about."""
        failed = self.failures()
        done = f"{len(self.rows)} of {self.study.count} cases are computed" + (f", {len(failed)} of them failed" if failed else "")
        count = self.outcome.rows.damaged
        lost = f"{count} {'line' if count == 1 else 'lines'} of {table.JOURNAL} can't be read and {'is' if count == 1 else 'are'} not used."
        left_out = vary.replaced(self.study.case, self.study.asked.get("vary", {}))
        return [trend.asked_in_words(self.outcome.stored), *left_out, f"{done}.", *([lost] if count else []), *trend.checks(self.rows)]

    def drawings(self) -> list[Drawing]:
        """The figures that the rows allow."""
        keys, made = self.study.keys, []
        for q in self.quantities:
            if self.study.random:
                made.append(figures.histogram(q, self.rows))
            elif self.around:
                made.append(figures.bars(keys, q, self.beside_the_case))
            elif len(keys) == 1:
                made.append(figures.curve(keys[0], q, self.rows))
            elif len(keys) == 2:
                made.append(figures.heatmap(keys, q, self.rows))
        return [drawing for drawing in made if drawing is not None]


def lines(reading: Reading, folder: Path) -> list[str]:
    """What the command prints."""
    failed = [f"Failed, exit code {row['exit_code']}: {_which(reading, row)}: {row['message']}" for row in reading.failures()[:5]]
    files = [f"Wrote {folder / name}" for name in (table.TABLE, table.PAGE)]
    return [*reading.head(), *reading.sentences(), *_table_lines(reading), *failed, *files]


def write(reading: Reading, folder: Path) -> None:
    """Write `sweep.html` and its figures, each whole or not at all. Raises ResultsError where another process writes there."""
    drawings = reading.drawings()
    made = {f"{store.FIGURES}/{drawing.name}.png": partial(store.write_bytes, data=drawing.png) for drawing in drawings}
    with opened(folder) as held:
        add(held, {**made, table.PAGE: partial(store.write_text, text=page(reading, drawings))})


def page(reading: Reading, drawings: Sequence[Drawing]) -> str:
    """The whole page as text."""
    head, *more = reading.head()
    top, rows = _table(reading)
    failed = [[str(row["exit_code"]), _which(reading, row), str(row["message"])] for row in reading.failures()]
    title = f"{reading.outcome.stored['case']['title']} · study"
    body = [
        f"<h1>{html.escape(title)}</h1>",
        html.paragraph(head),
        *(html.paragraph(text) for text in more),
        html.chapter("What it says", html.bullets(reading.sentences())),
        html.chapter("In numbers", html.table(top, rows, range(1, len(top)))),
        html.chapter("Figures", *(html.picture(d.png, d.title, d.reading) for d in drawings)),
        html.chapter("Failed cases", html.table(["exit code", "case", "why"], failed[:_LISTED]),
                     html.paragraph(f"{len(failed) - _LISTED} more stand in sweep.csv." if len(failed) > _LISTED else "")),
        html.chapter("Before you rely on it", html.paragraph(_CAUTION)),
    ]  # fmt: skip
    return html.page(title, "\n".join(part for part in body if part))


_CAUTION = (
    "Static strength of the seat only, judged as a run judges it; what a run does not judge is not judged here. A stress is the "
    "largest one clear of the ends of the contacts. Friction scatters: test the real pair of surfaces. Take a case that you mean to "
    "build through a run of its own, and read its report."
)


def _table(reading: Reading) -> tuple[list[str], list[list[str]]]:
    """Head and rows of the table of numbers: percentiles of samples or, of a few, their ends and middle, changes around a case, else ranges."""
    if reading.study.random:
        found = [(q, [v for row in reading.rows if row["exit_code"] == 0 and (v := q.of(row)) is not None]) for q in reading.quantities]
        places = told(min((len(values) for _, values in found), default=0))
        return ["", *places], [[_named(q), *(number(float(percentile(values, p))) for p in places.values())] for q, values in found]
    if reading.around:
        head = ["", *(f"{key}, {side}" for key in reading.study.keys for side in ("less", "more"))]
        return head, [[_named(q), *_changes(reading, q)] for q in reading.quantities]
    found = [(q, [v for row in reading.rows if (v := q.of(row)) is not None]) for q in reading.quantities]
    return ["", "least", "greatest"], [[_named(q), number(float(min(v))), number(float(max(v)))] for q, v in found if v]


def _table_lines(reading: Reading) -> list[str]:
    head, rows = _table(reading)
    if not rows or not (reading.study.random or reading.around):
        return []
    wide = max(len(row[0]) for row in rows)
    return [f"{row[0]:<{wide}}" + "".join(f"{cell:>{max(len(name) + 2, 10)}}" for cell, name in zip(row[1:], head[1:])) for row in [head, *rows]]


def _changes(reading: Reading, quantity: Quantity) -> list[str]:
    changes = [change for key in reading.study.keys for change in trend.steepness(key, quantity, reading.beside_the_case)]
    return [NOTHING if change is None else deviation(1 + change, 1) for change in changes]


def _named(quantity: Quantity) -> str:
    return f"{quantity.words} [{quantity.unit}]" if quantity.unit else quantity.words


def _which(reading: Reading, row: Row) -> str:
    return ", ".join(f"{key} {trend.shown(row.get(key))}" for key in reading.study.keys)
