"""The command `sweep`: its options, and what they ask for. Nothing heavy is imported here: the options belong to every start."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from colletfea.cases.casefile.faults import CaseError

if TYPE_CHECKING:
    from colletfea.cases.casefile.case import Case
    from colletfea.cases.study.conduct import Outcome

#: the classic study, where nothing else is asked: friction between ring and sleeve, from well greased to dry
CLASSIC = "friction.cone=0.04:0.2:9"


def options(parser: argparse.ArgumentParser) -> None:
    """Add the options of the command to its parser."""
    parser.add_argument("case", metavar="CASE.toml", type=named, nargs="?", help="without one: the bundled example")
    parser.add_argument("--vary", metavar="KEY=VALUES", action="append", help="V1,V2,... or START:STOP:COUNT; several keys span a grid")
    parser.add_argument("--around", metavar="KEY,...", help="move these keys 5 %% either way")
    parser.add_argument("--random", metavar="N", type=_whole, help="samples between the limits of fit, friction and tightening")
    parser.add_argument("--seed", metavar="S", type=_whole, help="of the samples; default 1")
    parser.add_argument("--clearances", choices=("uniform", "normal"), help="of samples, between the limits of the fit; normal: limits at 3 sigma")
    parser.add_argument("--level", choices=("quick", "default", "fine"), default="default", help="of mesh and steps")
    parser.add_argument("--workers", metavar="N", type=_whole, help="processes of this machine; default one a processor")
    parser.add_argument("--scheduler", metavar="ADDRESS", help="running Dask scheduler that takes the work instead")
    parser.add_argument("--out", metavar="DIR", type=named, help="results folder; default results/, the case file's stem and -sweep")
    parser.add_argument("--yes", action="store_true", help="allow more than 2000 cases")
    parser.add_argument("--json", action="store_true", help="print JSON instead of the short summary")


def named(text: str) -> str:
    """The name of a file or folder as it was given; an empty one is refused."""
    if not text:
        raise argparse.ArgumentTypeError("the name is empty")
    return text


def _whole(text: str) -> int:
    try:
        return int(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"{text!r} is no whole number") from error


def conduct(case: "Case", name: str, given: argparse.Namespace, progress: Any) -> tuple["Outcome", Path]:
    """Do what the options ask for; the outcome and its folder. Raises CaseError, ResultsError."""
    from colletfea.cases.study import conduct as study
    from colletfea.cases.study import vary, workers

    if given.scheduler is not None and given.workers is not None:
        raise CaseError(["--workers and --scheduler: only one of them can be given."])
    if given.random is None and (given.seed, given.clearances) != (None, None):
        raise CaseError([f"--{'seed' if given.clearances is None else 'clearances'}: belongs to --random, and does nothing without it."])
    words = given.vary or ([CLASSIC] if given.around is None and given.random is None else None)
    axes = vary.from_words(words) if words else None
    around = None if given.around is None else [key.strip() for key in given.around.split(",")]
    drawn = {"seed": 1 if given.seed is None else given.seed, "clearances": given.clearances or "uniform"}
    asked = study.question(case, axes, around=around, random=given.random, **drawn, level=given.level, yes=given.yes)
    folder = Path(given.out or Path("results") / f"{name}-sweep")
    try:
        return study.conduct(asked, study.who(given.workers, given.scheduler), folder, progress), folder
    except workers.Unreachable as error:
        raise CaseError([str(error)]) from error


def told(outcome: "Outcome", folder: Path) -> list[str]:
    """Write the page, and say what the command prints."""
    from colletfea.cases.study import page

    reading = page.Reading(outcome)
    page.write(reading, folder)
    return page.lines(reading, folder)


def as_json(outcome: "Outcome") -> dict[str, Any]:
    """What `--json` prints: what was asked, why it did not come to its end, what cases are asked about, how many stored rows are damaged
    and not used, all rows.
    """
    from colletfea.cases.study import trend

    rows = list(outcome.rows)
    told = {"message": outcome.message or None, "checks": trend.checks(rows), "damaged_rows": outcome.rows.damaged}
    return {**outcome.stored, **told, "rows": rows}
