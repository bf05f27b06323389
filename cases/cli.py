"""Command line: results on stdout, progress and faults on stderr.

Exit codes: 0 done, 1 unexpected, 2 bad input, 3 stopped before the end with partial results kept. Imports
that cost time happen in the command that needs them.
"""

import argparse
import os
import sys
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Iterable, NoReturn, Sequence, TextIO

from colletfea.cases.casefile.faults import CaseError
from colletfea.cases.casefile.text import printable
from colletfea.cases.stored.store import NotStored, ResultsError
from colletfea.cases.report.wording import NARROW_SPACE
from colletfea.cases.study import command as study

if TYPE_CHECKING:
    from colletfea.cases.casefile.case import Case
    from colletfea.cases.stored.result import Result

# Matrices here are small: a second BLAS thread costs more in waiting than it gives (measured: 2.5 times slower).
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

DONE, UNEXPECTED, BAD_INPUT, STOPPED = 0, 1, 2, 3
PROCESSES = 2  # that share the pushes of a run
DEBUG = "COLLETFEA_DEBUG"  # environment variable: any value lets an unexpected error show its traceback


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit code."""
    _open_streams()
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    try:
        given = _parser().parse_args(arguments)
        return given.command(given)
    except CaseError as error:
        return _refuse(error.faults)
    except ResultsError as error:
        return _refuse([str(error)])
    except KeyboardInterrupt:
        _complain("Interrupted.")
        return STOPPED
    except MemoryError:
        _complain("Memory does not suffice: give a larger mesh.size, run with --quick, or close other programs.")
        return STOPPED
    except Exception as error:
        if isinstance(error, OSError) and error.strerror:  # a full disk, no permission: no fault of the program
            return _refuse([f"{error.filename or 'Output'}: {error.strerror}."])
        if os.environ.get(DEBUG):
            raise
        _complain(
            f"Unexpected {type(error).__name__}: {' '.join(str(error).split())} "
            f"(set {DEBUG}=1 to see where; please report it with the case file)."
        )
        return UNEXPECTED


def new(given: argparse.Namespace) -> int:
    """Write a commented starter case."""
    from colletfea.cases.casefile import starter

    starter.write(given.case, given.example)
    _show([f"Wrote {given.case}. Next: colletfea hand {given.case}"])
    return DONE


def hand(given: argparse.Namespace) -> int:
    """Hand calculation only."""
    from colletfea.cases.casefile.case import Case
    from colletfea.cases.summary import by_hand

    data = by_hand(Case.read(given.case))
    if given.json:
        from colletfea.cases.stored.store import to_json

        _print(to_json(data))
    else:
        from colletfea.cases.report.lines import hand_lines

        _show(hand_lines(data))
    return DONE


def run(given: argparse.Namespace) -> int:
    """The whole job: hand calculation, simulation, stored results, report."""
    if given.quick and given.fine:
        return _refuse(["--quick and --fine: only one of them can be given."])
    case, name = _case(given.case)
    from colletfea.cases.interrupts import terminable
    from colletfea.cases.progress import Progress
    from colletfea.cases.report import page as pages
    from colletfea.cases.run import run_case

    folder = Path(given.out or Path("results") / name)
    progress = None if given.json else Progress(sys.stderr)
    level = "quick" if given.quick else "fine" if given.fine else "default"
    fault = None
    try:
        with terminable():
            result = run_case(
                case, folder, level=level, processes=PROCESSES, fields=not given.no_fields, progress=progress,
                page=pages, check=given.check,
            )
    except NotStored as error:
        result, fault = error.result, str(error)
    except ResultsError as error:
        return _refuse([f"--out {error}"])
    finally:
        if progress:
            progress.close()
    return _hand_over(result, fault, given.json)


def parts(given: argparse.Namespace) -> int:
    """The parts as solids (STEP), with slits, holes and rounded edges, and a drawing (SVG)."""
    from colletfea.cases.parts import make as parts_of
    from colletfea.cases.summary import known, version

    case, name = _case(given.case)
    folder = given.out or Path("results") / name
    made = parts_of.make(case, version(), parts_of.torque_of(known(case, folder)))
    try:
        paths = parts_of.write(made, folder)
    except ResultsError as error:
        return _refuse([f"--out {error}"])
    _show([*parts_of.lines(made), *(f"Wrote {path}" for path in paths)])
    return DONE


def sweep(given: argparse.Namespace) -> int:
    """Many cases of one coupling: over keys, around it, or at random between its limits."""
    from colletfea.cases.interrupts import terminable
    from colletfea.cases.progress import Progress

    case, name = _case(given.case)
    progress = None if given.json else Progress(sys.stderr)
    try:
        with terminable():
            outcome, folder = study.conduct(case, name, given, progress)
    except ResultsError as error:
        return _refuse([f"--out {error}"])
    finally:
        if progress:
            progress.close()
    if outcome.message:
        _complain(f"{outcome.message} What was computed is kept; the same command goes on from there.")
    lines = study.told(outcome, folder) if len(outcome.rows) else []
    if given.json:
        from colletfea.cases.stored.store import to_json

        _print(to_json(study.as_json(outcome)))
    else:
        _show(lines)
    return STOPPED if outcome.message else DONE


def page(given: argparse.Namespace) -> int:
    """A page in the browser to design on: form, drawing and results, served to this machine only."""
    from colletfea.cases.browser import page as pages
    from colletfea.cases.browser.serve import NotServed

    try:
        pages.run(given.case, given.port, not given.no_browser, lambda address: _show([f"Page: {address} (Ctrl-C ends it)"]))
    except NotServed as error:
        return _refuse([str(error)])
    return DONE


def report(given: argparse.Namespace) -> int:
    """Make the report again from stored results."""
    from colletfea.cases.report import page

    _show([f"Report: {page.make(given.directory)}"])
    return DONE


def materials(given: argparse.Namespace) -> int:
    """The bundled materials with their values and sources."""
    from colletfea.cases.report.lines import material_lines

    _show(material_lines())
    return DONE


def verify(given: argparse.Namespace) -> int:
    """Published checks on this installation."""
    from colletfea.cases import verify as checks
    from colletfea.cases.verification.check import measure

    held = True
    for check in checks.CHECKS:
        outcome = measure(check)
        held = held and outcome.holds
        _show(checks.lines(check, outcome))
    _show([checks.coverage(), "All checks hold." if held else "A check does not hold: don't use results of this installation."])
    return DONE if held else UNEXPECTED


class _Parser(argparse.ArgumentParser):
    """Says what is wrong in one sentence, without the usage text around it."""

    def error(self, message: str) -> NoReturn:
        self.exit(BAD_INPUT, printable(f"{message[0].upper()}{message[1:]} (see {self.prog} --help).") + "\n")


@cache
def _parser() -> argparse.ArgumentParser:
    """Of all commands; kept, for to make it takes longer than to read a case."""
    parser = _Parser(
        prog="colletfea",
        allow_abbrev=False,
        description="Tapered clamping sleeve on a plain shaft: hand calculation and contact simulation.",
    )
    commands = parser.add_subparsers(required=True, metavar="COMMAND", parser_class=_Parser)

    one = _command(commands, "new", new)
    one.add_argument("case", metavar="CASE.toml", type=study.named, help="file to write; must not exist")
    one.add_argument("--from", dest="example", metavar="EXAMPLE", help="bundled example to start from")

    one = _command(commands, "hand", hand)
    one.add_argument("case", metavar="CASE.toml", type=study.named)
    one.add_argument("--json", action="store_true", help="print JSON instead of a table")

    one = _command(commands, "run", run)
    one.add_argument("case", metavar="CASE.toml", type=study.named, nargs="?", help="without one: the bundled example")
    one.add_argument("--out", metavar="DIR", type=study.named, help="results folder; default results/ and the case file's stem")
    one.add_argument("--quick", action="store_true", help="coarser mesh and larger steps")
    one.add_argument("--fine", action="store_true", help="finer mesh and smaller steps")
    one.add_argument("--check", action="store_true", help="push once more with half the mesh size and increments, and tell what that moves")
    one.add_argument("--no-fields", action="store_true", help="keep no field files")
    one.add_argument("--json", action="store_true", help="print summary.json instead of the short summary")

    study.options(_command(commands, "sweep", sweep))

    one = _command(commands, "parts", parts)
    one.add_argument("case", metavar="CASE.toml", type=study.named)
    one.add_argument("--out", metavar="DIR", type=study.named, help="folder for the files; default results/ and the case file's stem")

    one = _command(commands, "page", page)
    one.add_argument("case", metavar="CASE.toml", type=study.named, nargs="?", help="without one: the bundled example")
    one.add_argument("--port", type=int, metavar="N", help="port of this machine to serve it at; default any that is free")
    one.add_argument("--no-browser", action="store_true", help="print the page's address and open nothing")

    one = _command(commands, "report", report)
    one.add_argument("directory", metavar="DIR", type=study.named, help="results folder")

    _command(commands, "materials", materials)
    _command(commands, "verify", verify)
    return parser


def _command(commands, name: str, function) -> argparse.ArgumentParser:
    words = function.__doc__.split("\n")[0].rstrip(".")
    parser = commands.add_parser(
        name, help=words[0].lower() + words[1:], description=function.__doc__, allow_abbrev=False
    )
    parser.set_defaults(command=function)
    return parser


def _case(path: str | None) -> tuple["Case", str]:
    """The case of a file, or the first bundled example, with the name its results are filed under."""
    from colletfea.cases.casefile import examples
    from colletfea.cases.casefile.case import Case

    if path is not None:
        return Case.read(path), Path(path).stem.strip(". ") or "case"  # "...toml" must not lead out of results/
    name = examples.names()[0]
    return Case.example(name), name


def _hand_over(result: "Result", fault: str | None, as_json: bool) -> int:
    """Short summary of what a run gave; fault: why it could not be stored."""
    for sentence in (result.message, *result.summary.get("checks", []), fault):
        if sentence:
            _complain(sentence)
    if as_json:
        from colletfea.cases.stored.store import to_json

        _print(to_json(result.summary))
    else:
        from colletfea.cases.report.lines import run_lines
        from colletfea.cases.stored.store import REPORT

        lines = run_lines(result.summary, (result.directory or Path()) / REPORT)
        _show(lines[:-1] if fault else lines)  # the last one says where the report is
    return STOPPED if fault else result.exit_code


def _refuse(faults: Iterable[str]) -> int:
    for fault in faults:
        _complain(fault)
    return BAD_INPUT


def _complain(sentence: str) -> None:
    _write(f"{printable(sentence.replace(NARROW_SPACE, ' '))}\n", sys.stderr)


def _show(lines: Iterable[str]) -> None:
    for line in lines:
        _print(line.replace(NARROW_SPACE, " ") + "\n")


def _print(text: str) -> None:
    _write(text, sys.stdout)


def _write(text: str, stream: TextIO) -> None:
    """Write at once. Where the reader has gone, `head` say, it has seen enough, and the command goes on to its end."""
    try:
        print(text, end="", file=stream, flush=True)
    except OSError as error:
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
        if not isinstance(error, BrokenPipeError):
            raise


def _open_streams() -> None:
    """Lead streams that were closed (`2>&-`) nowhere: else the next file opened takes their number and gets their text."""
    while (number := os.open(os.devnull, os.O_RDWR)) <= 2:
        pass
    os.close(number)
    sys.stdout = sys.stdout or open(os.devnull, "w", encoding="utf-8")
    sys.stderr = sys.stderr or open(os.devnull, "w", encoding="utf-8")
