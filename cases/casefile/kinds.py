"""Kinds of value in a case file: each says what it allows, finds faults in a raw value and converts it."""

import math
import re
from abc import ABC, abstractmethod
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from colletfea.cases.casefile.faults import fault, listed, nearest
from colletfea.cases.casefile.materials import DENSITY, EXPANSION, MATERIALS, Material, named
from colletfea.cases.casefile.text import name_shown


class Kind(ABC):
    """A kind of value. A subclass says what is allowed and what holds; the rest follows."""

    @abstractmethod
    def allowed(self) -> str:
        """What may stand here, to follow "must be"."""

    @abstractmethod
    def holds(self, value: object) -> bool:
        """Whether a raw value is allowed."""

    def faults(self, key: str, value: object) -> list[str]:
        """Sentences on what is wrong with the raw value of a dotted key; empty where nothing is."""
        return [] if self.holds(value) else [fault(key, value, f"must be {self.allowed()}")]

    def convert(self, value: Any) -> Any:
        """The value of a raw value without faults."""
        return value


@dataclass(frozen=True)
class Number(Kind):
    """A real number inside limits: `above` and `below` leave the limit out, `least` and `most` let it in.

    or_zero lets 0 in, too, below the least: what is meant as nothing is 0, and not a number too small to compute with.
    """

    unit: str = ""
    above: float | None = None
    least: float | None = None
    below: float | None = None
    most: float | None = None
    or_zero: bool = False

    def allowed(self) -> str:
        if self.least is not None and self.most is not None:
            limits = f"from {self.least:.12g} to {self.most:.12g}"
        else:
            words = {"above": self.above, "at least": self.least, "below": self.below, "at most": self.most}
            limits = " and ".join(f"{word} {at:.12g}" for word, at in words.items() if at is not None)
        return f"{'0 or ' if self.or_zero else ''}a number {limits} {self.unit}".rstrip()

    def faults(self, key: str, value: object) -> list[str]:
        found = super().faults(key, value)
        meant = re.fullmatch(r"\s*([+-]?\d*)[.,](\d+)\s*|\s*([+-]?\d+)\s*", value[:40]) if isinstance(value, str) else None
        if meant:
            number = meant[3] or f"{meant[1] or '0'}.{meant[2]}"
            return [f"{found[0]}; write {number}, with a point and without quotes"]
        return found

    def holds(self, value: object) -> bool:
        if self.or_zero and _is_finite(value) and value == 0:
            return True
        return _is_finite(value) and not (
            (self.above is not None and value <= self.above)
            or (self.least is not None and value < self.least)
            or (self.below is not None and value >= self.below)
            or (self.most is not None and value > self.most)
        )

    def convert(self, value: float) -> float:
        return float(value)


@dataclass(frozen=True)
class Whole(Number):
    """A whole number inside limits; 2.0 counts as one, so that a range of a sweep can fill it."""

    def allowed(self) -> str:
        return super().allowed().replace("a number", "a whole number", 1)

    def holds(self, value: object) -> bool:
        return super().holds(value) and value == int(value)

    def convert(self, value: float) -> int:
        return int(value)


@dataclass(frozen=True)
class Flag(Kind):
    """true or false."""

    def allowed(self) -> str:
        return "true or false"

    def holds(self, value: object) -> bool:
        return isinstance(value, bool)


@dataclass(frozen=True)
class Choice(Kind):
    """One of a few words."""

    options: tuple[str, ...]

    def allowed(self) -> str:
        return listed(f'"{option}"' for option in self.options) + ", in quotes"

    def holds(self, value: object) -> bool:
        return value in self.options


@dataclass(frozen=True)
class Text(Kind):
    """A line of text, described by what it should say."""

    says: str = "a line of text"

    def allowed(self) -> str:
        return f"{self.says}, in quotes"

    def holds(self, value: object) -> bool:
        return isinstance(value, str) and bool(value.strip()) and value.isprintable()


@dataclass(frozen=True)
class TwoNumbers(Kind):
    """A list of two numbers of one kind, with names for the two; read as a tuple."""

    each: Number
    names: str

    def allowed(self) -> str:
        return f"a list {self.names}, each {self.each.allowed()}"

    def holds(self, value: object) -> bool:
        return isinstance(value, (list, tuple)) and len(value) == 2 and all(map(self.each.holds, value))

    def convert(self, value: list[float]) -> tuple[float, float]:
        return float(value[0]), float(value[1])


@dataclass(frozen=True)
class Band(Kind):
    """A scattering value: [low, nominal, high], or one number for all three; read as a tuple of three."""

    each: Number

    def allowed(self) -> str:
        return f"{self.each.allowed()}, or a list [low, nominal, high] of such numbers in rising order"

    def holds(self, value: object) -> bool:
        if not isinstance(value, (list, tuple)):
            return self.each.holds(value)
        return len(value) == 3 and all(map(self.each.holds, value)) and value[0] <= value[1] <= value[2]

    def convert(self, value: float | list[float]) -> tuple[float, float, float]:
        low, nominal, high = value if isinstance(value, (list, tuple)) else (value,) * 3
        return float(low), float(nominal), float(high)


@dataclass(frozen=True)
class Hardening(Kind):
    """Slope of stress over plastic strain, or a table of them from plastic strain 0; read as a number or a tuple of pairs."""

    slope: Number = Number("MPa", least=0, most=1e6)
    strain: Number = Number(least=0, most=10)
    stress: Number = Number("MPa", least=1, most=1e5)

    def allowed(self) -> str:
        return (
            f"{self.slope.allowed()}, or a table [[0, stress], [plastic strain, stress], ...] of at least two rows, strains rising "
            "and stresses in MPa never falling"
        )

    def holds(self, value: object) -> bool:
        if not isinstance(value, (list, tuple)):
            return self.slope.holds(value)
        if not 2 <= len(value) <= 1000 or not all(map(self._row, value)) or value[0][0] != 0:
            return False
        return all(a[0] < b[0] and a[1] <= b[1] for a, b in pairwise(value))

    def _row(self, row: object) -> bool:
        return isinstance(row, (list, tuple)) and len(row) == 2 and self.strain.holds(row[0]) and self.stress.holds(row[1])

    def convert(self, value: Any) -> float | tuple[tuple[float, float], ...]:
        if not isinstance(value, (list, tuple)):
            return float(value)
        return tuple((float(strain), float(stress)) for strain, stress in value)


#: greatest yield stress [MPa] of a material; beyond any there is
STRONGEST = 1e5
# Least modulus: under any metal, and over one that was given in GPa.
OWN_MATERIAL: dict[str, Kind] = {
    "name": Text("a name"),
    "young": Number("MPa", least=500, most=1e6),
    # nearer 0.5 the bulk modulus is over 1700 times Young's, and rounding of displacements alone leaves stresses unbalanced
    "poisson": Number(least=0, most=0.4999),
    "yield": Number("MPa", least=1, most=STRONGEST),
    "hardening": Hardening(),
    "expansion": Number("1/K", least=0, most=1e-4),
    "density": Number("kg/m³", least=100, most=25000),
}


@dataclass(frozen=True)
class MaterialValue(Kind):
    """A material: a name of the bundled table, or a table of its own."""

    def allowed(self) -> str:
        return "a bundled material, in quotes, or a table { young, poisson, yield, hardening, expansion, density }"

    def holds(self, value: object) -> bool:
        return not self.faults("material", value)

    def faults(self, key: str, value: object) -> list[str]:
        if isinstance(value, dict):
            return _table_faults(key, {name: v for name, v in value.items() if v is not None})
        if isinstance(value, str) and named(value):
            return []
        close = nearest(value, MATERIALS) if isinstance(value, str) else None
        hint = f'did you mean "{close}"?' if close else f"bundled are {listed(MATERIALS, 'and')}"
        return [fault(key, value, f"must be {self.allowed()}; {hint}")]

    def convert(self, value: str | dict[str, Any]) -> Material:
        if isinstance(value, str):
            return named(value).material
        given = {key: kind.convert(value[key]) for key, kind in OWN_MATERIAL.items() if value.get(key) is not None}
        elastic = given.get("name", "own"), given["young"], given["poisson"]
        rest = given.get("hardening", 0.0), given.get("expansion", EXPANSION), given.get("density", DENSITY)
        return Material(*elastic, given.get("yield"), *rest)


def _table_faults(key: str, table: dict[str, object]) -> list[str]:
    found = []
    for name in (name for name in table if name not in OWN_MATERIAL):
        close = nearest(name, OWN_MATERIAL)
        hint = f"did you mean {key}.{close}?" if close else f"a material takes {listed(OWN_MATERIAL, 'and')}"
        found.append(fault(f"{key}.{name_shown(name)}", table[name], f"no such key; {hint}"))
    for name, kind in OWN_MATERIAL.items():
        if name in table:
            found += kind.faults(f"{key}.{name}", table[name])
        elif name in ("young", "poisson"):
            found.append(fault(f"{key}.{name}", None, f"missing; must be {kind.allowed()}"))
    return found or _hardening_faults(key, table)


def _hardening_faults(key: str, table: dict[str, Any]) -> list[str]:
    """A table of hardening begins where the material yields."""
    rows = table.get("hardening")
    if not isinstance(rows, (list, tuple)):
        return []
    if table.get("yield") is None:
        return [fault(f"{key}.yield", None, f"missing; must be given beside a table of {key}.hardening")]
    if rows[0][1] < table["yield"]:
        return [fault(f"{key}.hardening", rows, f"must not start below {key}.yield = {table['yield']:.12g} MPa")]
    return []


def _is_finite(value: object) -> bool:
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return False
    try:
        return math.isfinite(value)
    except OverflowError:  # a whole number too large for a float
        return False
