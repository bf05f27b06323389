"""A case: the frozen, checked contents of one case file.

Lengths in mm, forces in N, torque in N m, angles in deg; friction, safeties and ratios are plain numbers.
"""

import tomllib
from collections.abc import Mapping
from copy import deepcopy
from dataclasses import dataclass, field, fields, is_dataclass
from functools import reduce
from pathlib import Path
from typing import Any

from colletfea.cases.casefile import examples
from colletfea.cases.casefile.file import read_tables
from colletfea.cases.casefile.materials import Material
from colletfea.cases.casefile.reading import read, with_changes
from colletfea.cases.casefile.schema import ALL_KEYS, YIELD_SAFETY, Values
from colletfea.cases.hand.corners import drawn_off

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
class SlitSizes:
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
    slits: SlitSizes


@dataclass(frozen=True)
class Ring:
    """Clamp ring; start is the z of its leading face at travel 0, and can be off by start_tolerance either way."""

    length: float
    outer_diameter: float
    start: float
    start_tolerance: float
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
    """What the seat must carry; thrust > 0 pushes the shaft toward -z relative to the hub.

    radial: a pull across the shaft whose line of action lies at z = radial_at; rotating: it turns against the shaft. torque may be
    0 beside a thrust, and radial is 0 where there is no pull.
    """

    torque: float
    thrust: float
    slip_safety: float
    yield_safety: float
    carried_by: str
    radial: float
    radial_at: float
    rotating: bool


@dataclass(frozen=True)
class PushSettings:
    """Where the push ends: at a travel, at a force, or (both None) when the duty is reached.

    scatter: greatest clamp force over the least.
    """

    travel: float | None
    force: float | None
    scatter: float


@dataclass(frozen=True)
class Service:
    """What service changes: speed [1/min], ring less shaft and all parts less assembly [K]."""

    speed: float
    ring_hotter: float
    warmer: float


@dataclass(frozen=True)
class AfterSettings:
    """Stages after the push; ring_tied: the screws keep the ring from turning on the sleeve."""

    release: bool
    twist: bool
    ring_tied: bool


@dataclass(frozen=True)
class Screws:
    """Clamp screws; tightening_scatter is the greatest preload over the least.

    torque: of each screw, 0 where it is to be found. settling [micrometre]; circle: diameter they stand on; jacking: number of
    threaded holes to push the ring off again.
    """

    count: int
    size: str
    property_class: str
    thread_friction: float
    head_friction: float
    tightening_scatter: float
    torque: float
    settling: float
    circle: float
    jacking: int


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
    """One coupling, its duty, and how to compute it. Attributes bear the names of the case file's keys.

    given: the raw tables that it was read from.
    """

    title: str
    shaft: Shaft
    sleeve: Sleeve
    ring: Ring
    friction: FrictionPairs
    duty: Duty | None
    push: PushSettings
    service: Service | None
    after: AfterSettings
    screws: Screws | None
    mesh: MeshSettings
    solver: SolverSettings
    given: Tables = field(default_factory=dict, compare=False, repr=False)

    @property
    def yield_safety(self) -> float:
        """Yield safety of the duty, the default where there is no duty."""
        return self.duty.yield_safety if self.duty else YIELD_SAFETY

    @property
    def drawn_off(self) -> float:
        """Thrust [N] with its slip safety that draws a ring off which carries the hub; 0 where there is none."""
        return drawn_off(self.duty) if self.duty else 0.0

    @staticmethod
    def read(path: str | Path) -> "Case":
        """The case of a file. Raises CaseError."""
        return Case.from_tables(read_tables(path), Path(path).stem)

    @staticmethod
    def example(name: str) -> "Case":
        """A bundled example by its name. Raises CaseError, with the nearest name, where there is none."""
        return Case.from_tables(tomllib.loads(examples.text(name)), name)

    @staticmethod
    def from_tables(tables: Mapping[str, Any], stem: str) -> "Case":
        """The case of raw tables; stem is the default title, a key that is None counts as left out.

        Raises CaseError with every fault found.
        """
        return build(read(tables, stem), tables)

    def changed(self, changes: Mapping[str, Any]) -> "Case":
        """The same case with the raw values of dotted keys changed and everything checked anew; None takes a key away.

        What was left out follows: a default that depends on a changed key changes with it. A clearance drops a fit and
        the reverse, a travel of the push drops its force and the reverse. A table may be taken away whole: {"screws": None}.
        Raises CaseError, with the nearest valid key for one that does not exist.
        """
        return Case.from_tables(with_changes(self.given, changes), self.title)

    def value(self, key: str) -> Any:
        """Value of a dotted key of the case file, None where its table is left out."""
        return reduce(lambda table, name: None if table is None else getattr(table, name), key.split("."), self)

    def tables(self) -> Tables:
        """Tables and keys of the case file, every default filled in; None for what does not exist or apply.

        Where a fit was given, clearance is None. `Case.from_tables` of the result gives an equal case.
        """
        tables = _plain(self)
        del tables["given"]
        sleeve, slits = tables["sleeve"], tables["sleeve"]["slits"]
        if self.sleeve.fit is not None:
            sleeve["clearance"] = None
        for key in ("count", "width", "depth"):
            slits[key] = slits[key] or None
        if self.sleeve.slits.pattern != "through":
            slits["cuts_flange"] = None
        return tables


def build(values: Values, given: Mapping[str, Any]) -> Case:
    """The case of checked values under dotted keys, and of the raw tables that gave them."""
    cut = values["sleeve.slits.cuts_flange"]
    through = values["sleeve.slits.pattern"] == "through"
    slits = SlitSizes(
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
        None if values.absent("duty.torque") else Duty(**_keys(values, "duty")),
        PushSettings(**_keys(values, "push")),
        None if values.absent("service.speed") else Service(**_keys(values, "service")),
        AfterSettings(**_keys(values, "after")),
        None if values.absent("screws.count") else Screws(**_keys(values, "screws")),
        MeshSettings(**_keys(values, "mesh")),
        SolverSettings(**_keys(values, "solver")),
        deepcopy(dict(given)),
    )


def _keys(values: Values, table: str) -> Tables:
    names = [name.rpartition(".") for name in ALL_KEYS]
    return {key: values[f"{table}.{key}"] for path, _, key in names if path == table}


def _plain(value: Any) -> Any:
    """Numbers, text, lists and tables of a value, as a case file has them."""
    if isinstance(value, Friction):
        return value.low if value.low == value.high else [value.low, value.nominal, value.high]
    if is_dataclass(value):
        names = [entry.name for entry in fields(value)]
        return {"yield" if name == "yield_stress" else name: _plain(getattr(value, name)) for name in names}
    return [_plain(part) for part in value] if isinstance(value, tuple) else value
