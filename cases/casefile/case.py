"""A case: the frozen, checked contents of one case file.

Lengths in mm, forces in N, torque in N m, angles in deg; friction, safeties and ratios are plain numbers.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass
from pathlib import Path
from typing import Any

from colletfea.cases.casefile.faults import CaseError
from colletfea.cases.casefile.materials import Material
from colletfea.cases.casefile.reading import read
from colletfea.cases.casefile.schema import ALL_KEYS
from colletfea.cases.casefile.values import Values

Tables = dict[str, Any]


@dataclass(frozen=True)
class Shaft:
    """Shaft of a nominal diameter, hollow where bore > 0.

    beyond: lengths modelled past the held back face and past the nose.
    """

    diameter: float
    bore: float
    beyond: tuple[float, float]
    material: Material


@dataclass(frozen=True)
class Slits:
    """Slits of a sleeve; count, width, depth are 0 and cuts_flange is False where the pattern has none."""

    pattern: str
    count: int
    width: float
    depth: float
    cuts_flange: bool
    hoop_stiffness: float | None


@dataclass(frozen=True)
class Sleeve:
    """Tapered sleeve; clearance is the middle one where a fit was given."""

    length: float
    nose_wall: float
    taper: float
    clearance: float
    fit: str | None
    held: str
    material: Material
    flange_thickness: float
    flange_diameter: float
    nose_radius: float
    slits: Slits


@dataclass(frozen=True)
class Ring:
    """Clamp ring; start is the z of its leading face at travel 0."""

    length: float
    outer_diameter: float
    start: float
    taper: float
    edge_radius: float
    material: Material


@dataclass(frozen=True)
class Friction:
    """Friction coefficient with its scatter."""

    low: float
    nominal: float
    high: float


@dataclass(frozen=True)
class FrictionPairs:
    """Friction of ring on sleeve (cone) and of sleeve on shaft (bore)."""

    cone: Friction
    bore: Friction


@dataclass(frozen=True)
class Duty:
    """What the seat must carry; thrust > 0 pushes the shaft toward -z relative to the hub."""

    torque: float
    thrust: float
    slip_safety: float
    yield_safety: float
    carried_by: str


@dataclass(frozen=True)
class Push:
    """Where the push ends: at a travel, at a force, or (both None) when the duty is reached."""

    travel: float | None
    force: float | None


@dataclass(frozen=True)
class After:
    """Stages after the push; ring_tied: the screws keep the ring from turning on the sleeve."""

    release: bool
    twist: bool
    ring_tied: bool


@dataclass(frozen=True)
class Screws:
    """Clamp screws; tightening_scatter is the greatest preload over the least."""

    count: int
    size: str
    property_class: str
    thread_friction: float
    head_friction: float
    tightening_scatter: float


@dataclass(frozen=True)
class MeshSettings:
    """Element size at the contact; None: from wall, length and clearance."""

    size: float | None


@dataclass(frozen=True)
class SolverSettings:
    """How the contact problem is solved; penalty in units of E/h; None: the solver's own choice."""

    augment: bool
    stop_at_yield: bool
    plastic: bool
    penalty: float | None
    increments: int | None


@dataclass(frozen=True)
class Case:
    """One coupling, its duty, and how to compute it. Attributes bear the names of the case file's keys."""

    title: str
    shaft: Shaft
    sleeve: Sleeve
    ring: Ring
    friction: FrictionPairs
    duty: Duty | None
    push: Push
    after: After
    screws: Screws | None
    mesh: MeshSettings
    solver: SolverSettings

    @staticmethod
    def load(path: str | Path) -> "Case":
        """The case of a file. Raises CaseError."""
        return Case.from_tables(load_tables(path), Path(path).stem)

    @staticmethod
    def from_tables(tables: Mapping[str, Any], stem: str) -> "Case":
        """The case of raw tables; stem is the default title, a key that is None counts as left out.

        Raises CaseError with every fault found.
        """
        return build(read(tables, stem))

    def tables(self) -> Tables:
        """Tables and keys of the case file, every default filled in; None for what does not exist or apply.

        Where a fit was given, clearance is None. `Case.from_tables` of the result gives an equal case.
        """
        tables = _plain(self)
        sleeve, slits = tables["sleeve"], tables["sleeve"]["slits"]
        if self.sleeve.fit is not None:
            sleeve["clearance"] = None
        for key in ("count", "width", "depth"):
            slits[key] = slits[key] or None
        if self.sleeve.slits.pattern != "through":
            slits["cuts_flange"] = None
        return tables


def load_tables(path: str | Path) -> Tables:
    """Raw tables of a case file, as written. Raises CaseError where it can't be read or is no TOML."""
    try:
        with open(path, "rb") as file:
            return tomllib.load(file)
    except OSError as error:
        raise CaseError([f"{path}: can't be read: {error.strerror or error}"]) from error
    except ValueError as error:  # also text that is not UTF-8
        raise CaseError([f"{path}: is not valid TOML: {error}"]) from error


def build(values: Values) -> Case:
    """The case of checked values under dotted keys."""
    cut = values["sleeve.slits.cuts_flange"]
    through = values["sleeve.slits.pattern"] == "through"
    slits = Slits(
        values["sleeve.slits.pattern"],
        values["sleeve.slits.count"] or 0,
        values["sleeve.slits.width"] or 0.0,
        values["sleeve.slits.depth"] or 0.0,
        through if cut is None else cut,
        values["sleeve.slits.hoop_stiffness"],
    )
    return Case(
        values["title"],
        Shaft(**_keys(values, "shaft")),
        Sleeve(**_keys(values, "sleeve"), slits=slits),
        Ring(**_keys(values, "ring")),
        FrictionPairs(Friction(*values["friction.cone"]), Friction(*values["friction.bore"])),
        None if values["duty.torque"] is None else Duty(**_keys(values, "duty")),
        Push(**_keys(values, "push")),
        After(**_keys(values, "after")),
        None if values["screws.count"] is None else Screws(**_keys(values, "screws")),
        MeshSettings(**_keys(values, "mesh")),
        SolverSettings(**_keys(values, "solver")),
    )


def _keys(values: Values, table: str) -> Tables:
    names = [name.rpartition(".") for name in ALL_KEYS]
    return {key: values[f"{table}.{key}"] for path, _, key in names if path == table}


def _plain(value: Any) -> Any:
    """Numbers, text, lists and tables of a value, as a case file has them."""
    if isinstance(value, Friction):
        return value.low if value.low == value.high else [value.low, value.nominal, value.high]
    if is_dataclass(value):
        names = [field.name for field in fields(value)]
        return {"yield" if name == "yield_stress" else name: _plain(getattr(value, name)) for name in names}
    return list(value) if isinstance(value, tuple) else value
