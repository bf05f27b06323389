"""What a study shows of its rows: a name in words, a unit, where its value stands, and the limit that it is held against."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from colletfea.cases.stored.store import Row
from colletfea.cases.stored.verdict import REACHED

Value = Callable[[Row], float | None]


@dataclass(frozen=True)
class Quantity:
    """Name in a file name, words, unit that is shown, value [that unit] of a row, limit; least: whether the limit is a lower one.

    parts: what a limit parts that is no demand, in words; no row fails it.
    """

    name: str
    words: str
    unit: str
    of: Value
    limit: Value = lambda row: None
    least: bool = False
    parts: str = ""

    def over(self, row: Row) -> float | None:
        """By how much a row's value passes its limit, over the limit; 0 within what a push is landed on to, None without either."""
        value, limit = self.of(row), self.limit(row)
        if value is None or not limit:
            return None
        over = value / limit - 1
        return 0.0 if abs(over) <= REACHED else over

    def fails(self, row: Row) -> bool:
        """Whether the row's value is on the wrong side of a limit that is asked for."""
        over = None if self.parts else self.over(row)
        return over is not None and (over < 0 if self.least else over > 0)


def at(column: str, scale: float = 1.0) -> Value:
    """The value of a column times a scale; None where it is empty."""
    return lambda row: None if row.get(column) is None else scale * row[column]


def _over(above: str, below: str) -> Value:
    return lambda row: row[above] / row[below] if row.get(above) is not None and row.get(below) else None


def _one(row: Row) -> float:
    return 1.0


def _margin(name: str, words: str) -> Quantity:
    return Quantity(name, words, "", at(f"verdicts.{name}.margin"), _one, least=True)


def _state(state: str) -> tuple[Quantity, ...]:
    """The classic questions to friction between ring and sleeve, of at_duty or at_end."""
    when = {"at_duty": "at the duty", "at_end": "at the end of the push"}[state]
    return (
        Quantity("push_force", f"push force {when}", "kN", at(f"{state}.push_force_N", 1e-3)),
        Quantity("travel", f"ring travel {when}", "mm", at(f"{state}.travel_mm")),
        Quantity("shaft_force", f"axial force into the shaft {when}", "kN", at(f"{state}.shaft_reaction_N", 1e-3)),
        Quantity("drag", f"drag of the sleeve's nose along the shaft {when}", "µm", at(f"{state}.nose_drift_mm", 1e3)),
        Quantity("evenness", f"evenness of the pressure on the bore {when}, mean over peak", "",
                 _over(f"{state}.bore.mean_pressure_MPa", f"{state}.bore.peak_pressure_MPa")),
    )  # fmt: skip


OF_THE_CASE = (
    Quantity("clamp_force", "clamp force needed in the worst corner", "kN", at("clamp.needed_N", 1e-3)),
    Quantity("usable", "what the bore carries in the worst corner", "N·m", at("verdicts.slip.value"), at("verdicts.slip.limit"), True),
    _margin("cone_slip", "margin of the cone against slip"),
    _margin("yield_shaft", "margin of the shaft against yield"),
    _margin("yield_sleeve", "margin of the sleeve against yield"),
    _margin("yield_ring", "margin of the ring against yield"),
    _margin("bottoming", "margin of the way to the flange"),
    _margin("screws", "margin of the screws"),
    Quantity("self_locking", "self-locking at the low end of friction: friction angle over taper", "", at("self_locking"), _one, True,
             "above this line the ring stays on its own"),
)

OF_SAMPLES = (
    Quantity("usable", "usable torque", "N·m", at("corners.sample.usable_torque_Nm"), at("verdicts.slip.limit"), True),
    Quantity("travel", "ring travel", "mm", at("corners.sample.travel_mm"), at("verdicts.bottoming.limit")),
    Quantity("stress_sleeve", "von Mises stress of the sleeve", "MPa", at("verdicts.yield_sleeve.value"), at("verdicts.yield_sleeve.limit")),
    Quantity("stress_ring", "von Mises stress of the ring", "MPa", at("verdicts.yield_ring.value"), at("verdicts.yield_ring.limit")),
    Quantity("stress_shaft", "von Mises stress of the shaft", "MPa", at("verdicts.yield_shaft.value"), at("verdicts.yield_shaft.limit")),
    Quantity("release", "release force", "kN", at("release_force_N", 1e-3)),
    Quantity("push_force", "push force", "kN", at("corners.sample.push_force_N", 1e-3)),
)


def of_rows(rows: list[Row], random: bool) -> list[Quantity]:
    """The quantities that some row has a value of; states at the duty where every finished row passed it, else at the end."""
    done = [row for row in rows if row.get("exit_code") == 0]
    state = "at_duty" if done and all(row.get("at_duty.travel_mm") is not None for row in done) else "at_end"
    asked = OF_SAMPLES if random else (*OF_THE_CASE[:2], *_state(state), *OF_THE_CASE[2:])
    return [q for q in asked if any(q.of(row) is not None for row in done)]


#: what quantities, trends, questions and lists of failures read of a row
_READ = re.compile(
    r"clamp\.needed_N|corners\.sample\.(push|travel|usable)\w+|at_(duty|end)\.(\w+|bore\.(mean|peak)_pressure_MPa)|"
    r"verdicts\.\w+\.\w+|checks|exit_code|message|holds|self_locking|release_force_N|times_the_duty"
)


def read_of(row: Row, keys: tuple[str, ...]) -> Row:
    """A row without what nothing here reads, so that many fit in memory; keys are those that are varied."""
    return {name: value for name, value in row.items() if name in keys or _READ.fullmatch(name)}
