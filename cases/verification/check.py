"""One check of an installation against a value from outside the project."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

EXACT = "closed form, rounding of the printed target"
LAME = (
    "Lamé, thick-walled cylinder with free ends (Timoshenko & Goodier, Theory of Elasticity, section 28, "
    "from memory); target evaluated by hand"
)
LIBRARY = "GetFEM 5.4.2, an open general-purpose finite-element library, frictional contact by Lagrange multipliers"
#: source of what was found for slit sleeves
STUDY = "3D linear-elastic study of slit sleeves, values in the project's repository"


@dataclass(frozen=True)
class Check:
    """One check: `function` measures what `source` gives as `target`; `because`: where the tolerance is from.

    tolerance: relative [-]. row: the row of README's verification table that it belongs to, empty where that has none.
    """

    name: str
    source: str
    unit: str
    target: float
    tolerance: float
    because: str
    function: Callable[[], float]
    row: str = ""


@dataclass(frozen=True)
class Outcome:
    """What was measured, how far it lies from the target (relative), and whether that is allowed."""

    measured: float
    error: float
    holds: bool


def measure(check: Check) -> Outcome:
    """Run one check."""
    measured = check.function()
    error = abs(measured / check.target - 1)
    return Outcome(measured, error, error <= check.tolerance)
