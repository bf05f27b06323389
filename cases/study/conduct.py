"""A study from question to table: which cases, who computes them, and what is kept when it does not come to its end."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

from colletfea.cases.casefile import fits
from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.faults import CaseError, fault
from colletfea.cases.simulation.plan import LEVELS
from colletfea.cases.stored.folder import opened
from colletfea.cases.stored.store import SCHEMA, Row
from colletfea.cases.study import one, scatter, table, vary, workers
from colletfea.cases.summary import version

Progress = Callable[[float, str], None]

#: more cases than this need a word that they are meant
MANY = 2000


@dataclass(frozen=True)
class Study:
    """What is asked: the case as it is varied, the question as it is stored, number of cases, changes of each, keys varied.

    random: whether each case is one push of a sample.
    """

    case: Case
    asked: dict[str, Any]
    count: int
    changes: Callable[[int], dict[str, Any]]
    keys: tuple[str, ...]
    random: bool = False

    @property
    def level(self) -> str:
        """Level of mesh and steps."""
        return self.asked["level"]


@dataclass(frozen=True)
class Outcome:
    """What came of a study: its rows, what is stored of the question, why it did not come to its end (empty where it did)."""

    study: Study
    stored: dict[str, Any]
    rows: table.Rows
    message: str


def sweep(
    case: Case,
    vary: Mapping[str, Sequence[Any]] | None = None,
    *,
    around: Sequence[str] | None = None,
    random: int | None = None,
    seed: int = 1,
    clearances: str = scatter.UNIFORM,
    level: str = "default",
    workers: int = 1,
    scheduler: str | None = None,
    out: Path | str | None = None,
    yes: bool = False,
    progress: Progress | None = None,
) -> list[Row]:
    """Rows of a study of a case, in the order of its cases: one of a grid over `vary` (dotted key to values), of keys moved 5 % either
    way (`around`), or of `random` samples between the limits of fit, friction and tightening.

    Of samples, clearances says how they lie between the limits of the fit: "uniform", or "normal" (limits at 3 standard deviations).
    A row maps the names of `sweep.csv` to values; exit_code, seconds and message say how its case ended, checks which of its numbers
    look like another unit or decide nothing. workers: processes of this machine (more than one: call from a script's
    `if __name__ == "__main__"`); scheduler: address of a Dask cluster in their place. out: a folder in which
    rows are stored as they come, and a study that was cut short there goes on. Raises CaseError for a question that can't be
    answered, ResultsError for the folder, Unreachable and Gone for the cluster, KeyboardInterrupt; what is stored stays.
    """
    study = question(case, vary, around=around, random=random, seed=seed, clearances=clearances, level=level, yes=yes)
    outcome = conduct(study, who(workers, scheduler), out, progress)
    if outcome.message:
        raise KeyboardInterrupt if outcome.message == INTERRUPTED else _gone(outcome.message)
    return list(outcome.rows)


INTERRUPTED = "Interrupted."


def _gone(message: str) -> Exception:
    return workers.Gone(message)


def question(
    case: Case, varied: Mapping[str, Sequence[Any]] | None = None, *, around: Sequence[str] | None = None, random: int | None = None,
    seed: int = 1, clearances: str = scatter.UNIFORM, level: str = "default", yes: bool = False,
) -> Study:
    """The study that is asked for. Raises CaseError."""
    given = [name for name, asked in (("--vary", varied), ("--around", around), ("--random", random)) if asked is not None]
    if len(given) != 1:
        raise CaseError([f"{' and '.join(given)}: only one of them can be given." if given else "A study needs one of --vary, --around and --random."])
    if level not in LEVELS:
        raise CaseError([fault("--level", level, f"must be one of {', '.join(LEVELS)}")])
    case = case.changed(vary.NO_STAGES)
    if varied is not None:
        axes = vary.checked(varied)
        count, asked = vary.count(axes), {"vary": {key: list(values) for key, values in axes.items()}}
        study = Study(case, {**asked, "level": level}, count, partial(vary.changes_at, axes), tuple(axes))
    elif around is not None:
        moved = vary.around(case, around)
        keys = tuple(dict.fromkeys(around))
        study = Study(case, {"around": list(keys), "level": level}, len(moved), moved.__getitem__, keys)
    else:
        if random < 1:
            raise CaseError([fault("--random", random, "must be a whole number of at least 1")])
        if clearances not in scatter.CLEARANCES:
            raise CaseError([fault("--clearances", clearances, f"must be one of {', '.join(scatter.CLEARANCES)}")])
        keys = ("sleeve.clearance", "friction.cone", "friction.bore", "push.force")
        keys = keys if case.push.travel is None else keys[:3]
        asked = {"random": random, "seed": seed, "clearances": clearances, "level": level, "drawn": scatter.drawn(case, clearances)}
        study = Study(case, asked, random, lambda index: {}, keys, True)
    if study.count > MANY and not yes:
        raise CaseError([f"{study.count} cases are more than {MANY}: add --yes where they are meant."])
    return study if study.random else _possible(study)


def _possible(study: Study) -> Study:
    """The study, where at least one of its cases can be built; else the first one's faults are raised."""
    first = None
    for index in range(study.count):
        try:
            study.case.changed(study.changes(index))
            return study
        except CaseError as error:
            first = first or error
    raise first


def who(count: int | None, scheduler: str | None) -> workers.Opened:
    """Who computes: a cluster, this process, or several of this machine; count None for as many as it has processors."""
    if scheduler is not None:
        return partial(workers.cluster, scheduler)
    count = workers.default_count() if count is None else count
    if count < 1:
        raise CaseError([fault("--workers", count, "must be a whole number of at least 1")])
    return workers.here if count == 1 else partial(workers.local, count)


def conduct(study: Study, pool: workers.Opened, out: Path | str | None = None, progress: Progress | None = None) -> Outcome:
    """Compute what is not stored yet, and store each row as it comes; an interrupt or a lost cluster ends it early.

    Raises ResultsError for a folder of another study, Unreachable for a cluster that can't be used: before anything is solved or stored.
    """
    with ExitStack() as held:
        folder = None if out is None else held.enter_context(opened(out))
        asked = {
            "schema": SCHEMA, "version": version(), "case": study.case.tables(), "asked": study.asked, "count": study.count,
        }
        stored = table.take(folder, asked) if folder else asked
        rows, message = table.Rows(folder, study.count), ""
        try:
            if len(rows.finished) < study.count:
                with pool():
                    pass  # where a cluster can't be used, that is said before the folder is made or the case solved
            stored = _ready(study, stored, folder)
            _compute(study, stored, pool, rows, progress or (lambda done, text: None))
        except KeyboardInterrupt:
            message = INTERRUPTED
        except workers.Gone as error:
            message = str(error)
        if folder and len(rows):
            table.write_table(folder, study.keys, rows)
        return Outcome(study, stored, rows, message)


def _ready(study: Study, stored: dict[str, Any], folder: Path | None) -> dict[str, Any]:
    """What is stored of the question, with the limits between which samples are drawn; they take one solve of the case."""
    if study.random and "limits" not in stored:
        stored = {**stored, "limits": limits(study)}
    if folder:
        table.begin(folder, stored)
    return stored


def limits(study: Study) -> dict[str, list[float] | None]:
    """Ends of what is drawn: clearance [mm], friction, force [N] from the clamp forces of one solve. Raises CaseError, KeyboardInterrupt."""
    from colletfea.cases.run import solve

    case, fit, force = study.case, fits.of(study.case), None
    if case.push.travel is None:
        result = solve(case, study.level)
        clamp = result.summary["clamp"]
        if result.exit_code:
            raise CaseError([f"The case itself did not come to its end, so no clamp force can be scattered: {result.message}"])
        force = [clamp["least_N"], clamp["greatest_N"]]
    clearance = [fit.tightest, fit.loosest] if fit else [case.sleeve.clearance] * 2
    cone, bore = ([band.low, band.high] for band in (case.friction.cone, case.friction.bore))
    return {"clearance": clearance, "cone": cone, "bore": bore, "force": force}


def _compute(study: Study, stored: dict[str, Any], pool: workers.Opened, rows: table.Rows, progress: Progress) -> None:
    done = rows.finished
    before, clock = len(done), time.monotonic()
    todo = study.count - before
    if not todo:
        return
    progress(before / study.count, f"{before} of {study.count} cases are there" if before else f"{study.count} cases")
    for ended, (task, result) in enumerate(workers.share(pool, one.row, _tasks(study, stored, done)), 1):
        rows.add(task.index, {**_varied(study, task), **(_fault(result) if isinstance(result, Exception) else result)})
        left = (time.monotonic() - clock) / ended * (todo - ended)
        failed = f", {rows.failed} failed" if rows.failed else ""
        progress((before + ended) / study.count, f"{before + ended} of {study.count} cases{failed}, {duration(left)} left")


def _tasks(study: Study, stored: dict[str, Any], done: set[int]) -> Iterator[one.Task]:
    ends = scatter.Limits(**{k: v and tuple(v) for k, v in stored["limits"].items()}) if study.random else None
    for index in range(study.count):
        if index not in done:
            drawn = scatter.draw(ends, study.asked["seed"], index, study.asked["clearances"]) if ends else None
            yield one.Task(index, study.case.title, study.case.given, study.changes(index), study.level, drawn)


def _varied(study: Study, task: one.Task) -> Row:
    """The varied keys of a row: as changed, as drawn, or as the case has them."""
    if task.sample is not None:
        return dict(zip(study.keys, task.sample))
    return {key: vary.in_a_row(task.changes.get(key, _raw(study.case, key))) for key in study.keys}


def _raw(case: Case, key: str) -> Any:
    """The value of a key as a case file has it."""
    value: Any = case.tables()
    for name in key.split("."):
        value = None if value is None else value.get(name)
    return case.value(key) if value is None else value


def _fault(error: Exception) -> Row:
    return {"exit_code": one.UNEXPECTED, "seconds": None, "message": f"{type(error).__name__}: {' '.join(str(error).split())}"}


def duration(seconds: float) -> str:
    """A time in words: 40 s, 3 min, 2.5 h."""
    return f"{seconds:.0f} s" if seconds < 90 else f"{seconds / 60:.0f} min" if seconds < 5400 else f"{seconds / 3600:.1f} h"
