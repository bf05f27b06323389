"""Tables and keys of a case file: what each may be, and its default."""

from dataclasses import dataclass

from colletfea.cases.casefile.kinds import Band, Choice, Flag, Kind, MaterialValue, Number, Pair, Text, Whole
from colletfea.cases.casefile.materials import DEFAULT


class _Required:
    """Mark of a key that must be given."""


REQUIRED = _Required()


@dataclass(frozen=True)
class Key:
    """A key: its kind and its raw default.

    REQUIRED: must be given. None: may be left out, and stays None or gets a value that depends on other keys.
    """

    kind: Kind
    default: object = REQUIRED


# Limits of lengths only catch slips; what makes sense in a drawing is checked between the keys.
SIZE = Number("mm", least=1e-3, most=1e5)
OPTIONAL_SIZE = Number("mm", least=0, most=1e5)
TAPER = Number("deg", above=0, below=45)
FRICTION = Number(least=0, most=1)
SAFETY = Number(least=1, most=100)
MATERIAL = Key(MaterialValue(), DEFAULT)

THREADS = ("M3", "M4", "M5", "M6", "M8", "M10", "M12", "M14", "M16", "M18", "M20", "M22", "M24")

SCHEMA: dict[str, dict[str, Key]] = {
    "": {"title": Key(Text(), None)},
    "shaft": {
        "diameter": Key(SIZE),
        "bore": Key(OPTIONAL_SIZE, 0),
        "beyond": Key(Pair(SIZE, "[back, front]"), None),
        "material": MATERIAL,
    },
    "sleeve": {
        "length": Key(SIZE),
        "nose_wall": Key(SIZE),
        "taper": Key(TAPER),
        "clearance": Key(OPTIONAL_SIZE, None),
        "fit": Key(Text("bore/shaft such as H8/h7"), None),
        "held": Key(Choice(("axially", "fully")), "axially"),
        "material": MATERIAL,
        "flange_thickness": Key(OPTIONAL_SIZE, 0),
        "flange_diameter": Key(OPTIONAL_SIZE, 0),
        "nose_radius": Key(OPTIONAL_SIZE, 0),
    },
    "sleeve.slits": {
        "pattern": Key(Choice(("none", "through", "fingers", "alternating")), "none"),
        "count": Key(Whole(least=0, most=1000), None),
        "width": Key(OPTIONAL_SIZE, None),
        "depth": Key(OPTIONAL_SIZE, None),
        "cuts_flange": Key(Flag(), None),
        "hoop_stiffness": Key(Number(above=0, most=1), None),
    },
    "ring": {
        "length": Key(SIZE),
        "outer_diameter": Key(SIZE),
        "start": Key(Number("mm", least=-1e5, most=1e5)),
        "taper": Key(TAPER, None),
        "edge_radius": Key(OPTIONAL_SIZE, 0),
        "material": MATERIAL,
    },
    "friction": {"cone": Key(Band(FRICTION)), "bore": Key(Band(FRICTION))},
    "duty": {
        "torque": Key(Number("N m", above=0, most=1e9)),
        "thrust": Key(Number("N", least=-1e9, most=1e9), 0),
        "slip_safety": Key(SAFETY, 1.5),
        "yield_safety": Key(SAFETY, 1.2),
        "carried_by": Key(Choice(("sleeve", "ring")), "sleeve"),
    },
    "push": {
        "travel": Key(Number("mm", above=0, most=1e5), None),
        "force": Key(Number("N", above=0, most=1e10), None),
    },
    "after": {"release": Key(Flag(), False), "twist": Key(Flag(), False), "ring_tied": Key(Flag(), None)},
    "screws": {
        "count": Key(Whole(least=1, most=1000)),
        "size": Key(Choice(THREADS), "M6"),
        "property_class": Key(Choice(("8.8", "10.9", "12.9")), "8.8"),
        "thread_friction": Key(FRICTION, 0.12),
        "head_friction": Key(FRICTION, 0.12),
        "tightening_scatter": Key(Number(least=1, most=10), 1.6),
    },
    "mesh": {"size": Key(SIZE, None)},
    "solver": {
        "augment": Key(Flag(), True),
        "stop_at_yield": Key(Flag(), False),
        "plastic": Key(Flag(), False),
        "penalty": Key(Number("times E/h", above=0, most=1e6), None),
        "increments": Key(Whole(least=1, most=100000), None),
    },
}

# Tables whose absence means something: there is no duty, there are no screws.
OPTIONAL_TABLES = ("duty", "screws")


def dotted(table: str, key: str) -> str:
    """A key with its table before it, as users write it."""
    return f"{table}.{key}" if table else key


ALL_KEYS: dict[str, Key] = {
    dotted(table, key): entry for table, keys in SCHEMA.items() for key, entry in keys.items()
}
