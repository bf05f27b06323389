"""Checks of this installation against values from outside the project, run one after the other.

An entry is a name, the source of its target, the target with its tolerance, and a function that measures.
To add one, write a function without arguments that returns a number and append a Check to the CHECKS of its subject.
"""

from colletfea.cases.report.wording import percent, quantity
from colletfea.cases.verification import contacts, couplings, formulas, friction, half_space, slits, solids
from colletfea.cases.verification.check import Check, Outcome

CHECKS: list[Check] = [
    *formulas.CHECKS, *solids.CHECKS, *contacts.CHECKS, *half_space.CHECKS, *friction.CHECKS, *slits.CHECKS, *couplings.CHECKS,
]
#: rows of README's verification table
ROWS = 29


def lines(check: Check, outcome: Outcome) -> list[str]:
    """A check's outcome in words."""
    return [
        f"{'holds' if outcome.holds else 'FAILS'}  {check.name}: "
        f"{quantity(outcome.measured, check.unit, 5)}, expected {quantity(check.target, check.unit, 5)} "
        f"(off by {percent(outcome.error)}, allowed {percent(check.tolerance)}: {check.because})",
        f"       Source: {check.source}.",
    ]


def coverage() -> str:
    """How much of README's verification table these checks run."""
    own = len({check.row for check in CHECKS if check.row})
    return (
        f"These {len(CHECKS)} checks run {own} of the {ROWS} rows of README's verification table, each at one or a few of its values; "
        "all of its values, and the row that compares with a library which is not installed here, run with the tests."
    )
