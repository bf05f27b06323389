"""Tables and keys of a case file: what each is, what it may be, and its default; and values under dotted keys."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from colletfea.cases.casefile.kinds import Band, Choice, Flag, Kind, MaterialValue, Number, Text, TwoNumbers, Whole
from colletfea.cases.casefile.materials import DEFAULT
from colletfea.cases.hand.threads import CLASSES, SIZES


class _Required:
    """Mark of a key that must be given."""


REQUIRED = _Required()


@dataclass(frozen=True)
class Key:
    """A key: its kind, words to label it, one sentence saying what it is, and its raw default.

    REQUIRED: must be given. None: may be left out, and stays None or gets a value that depends on other keys.
    """

    kind: Kind
    label: str
    help: str
    default: object = REQUIRED


# Limits of lengths only catch slips; what makes sense in a drawing is checked between the keys.
SIZE = Number("mm", least=1e-3, most=1e5)
OPTIONAL_SIZE = Number("mm", least=0, most=1e5)
TAPER = Number("deg", least=0.01, below=45)
FRICTION = Number(least=1e-4, most=1, or_zero=True)
SAFETY = Number(least=1, most=100)
SCATTER = Number(least=1, most=10)
ANY_FORCE = Number("N", least=-1e9, most=1e9)
YIELD_SAFETY = 1.2  # where there is no [duty], too


def _material(part: str) -> Key:
    words = f"Bundled material of the {part}, or a table of its own values."
    return Key(MaterialValue(), f"material of the {part}", words, DEFAULT)


SCHEMA: dict[str, dict[str, Key]] = {
    "": {"title": Key(Text(), "title", "A line that names the case in every report.", None)},
    "shaft": {
        "diameter": Key(SIZE, "diameter", "Nominal diameter of the shaft in the seat."),
        "bore": Key(OPTIONAL_SIZE, "bore", "Diameter of the hole through the shaft, 0 for a solid one.", 0),
        "beyond": Key(TwoNumbers(SIZE, "[back, front]"), "length beyond the sleeve",
                      "Lengths of shaft modelled past the held back face and past the nose.", None),
        "material": _material("shaft"),
    },
    "sleeve": {
        "length": Key(SIZE, "length", "Length from the back face to the nose, flange left out."),
        "nose_wall": Key(SIZE, "wall at the nose", "Thickness of the wall at its thin end."),
        "taper": Key(TAPER, "taper", "Half angle of the cone."),
        "clearance": Key(OPTIONAL_SIZE, "clearance", "Clearance of the bore on the shaft, on diameter, before the push.", None),
        "fit": Key(Text("bore/shaft such as H8/h7"), "fit", "Fit of bore and shaft in place of a clearance.", None),
        "held": Key(Choice(("axially", "fully")), "back face held", "Whether the back face is held axially only or in radius, too.", "axially"),
        "material": _material("sleeve"),
        "flange_thickness": Key(OPTIONAL_SIZE, "flange thickness", "Thickness of a flange behind the back face, 0 for none.", 0),
        "flange_diameter": Key(OPTIONAL_SIZE, "flange diameter", "Outer diameter of that flange.", 0),
        "nose_radius": Key(OPTIONAL_SIZE, "radius at the nose", "Radius of both corners of the nose.", 0),
    },
    "sleeve.slits": {
        "pattern": Key(Choice(("none", "through", "fingers", "alternating")), "slit pattern",
                       "How the sleeve is slit: over its whole length, from the nose, or from both ends in turn.", "none"),
        "count": Key(Whole(least=0, most=1000), "slits", "Number of slits; of alternating ones, from each end.", None),
        "width": Key(OPTIONAL_SIZE, "slit width", "Width of a slit.", None),
        "depth": Key(OPTIONAL_SIZE, "slit depth", "Depth of a slit from the end it begins at.", None),
        "cuts_flange": Key(Flag(), "slit cuts the flange", "Whether a through slit cuts the flange as well.", None),
        "hoop_stiffness": Key(Number(least=1e-6, most=1), "hoop stiffness",
                              "Hoop stiffness over that of a closed sleeve, in place of the slit formulas.", None),
    },
    "ring": {
        "length": Key(SIZE, "length", "Axial length of the clamp ring."),
        "outer_diameter": Key(SIZE, "outer diameter", "Outer diameter of the clamp ring."),
        "start": Key(Number("mm", least=-1e5, most=1e5), "start",
                     "Distance of the ring's leading face from the sleeve's back face where the cones touch without pressure."),
        "start_tolerance": Key(OPTIONAL_SIZE, "tolerance of the start", "How much the start can be off either way, by tolerances of the cones.", 0),
        "taper": Key(TAPER, "taper", "Half angle of the ring's bore.", None),
        "edge_radius": Key(OPTIONAL_SIZE, "radius of the edges", "Radius of the edges at both ends of the ring's bore.", 0),
        "material": _material("ring"),
    },
    "friction": {
        "cone": Key(Band(FRICTION), "friction on the cone", "Friction coefficient between ring and sleeve."),
        "bore": Key(Band(FRICTION), "friction in the bore", "Friction coefficient between sleeve and shaft."),
    },
    "duty": {
        "torque": Key(Number("N·m", least=1e-6, most=1e9, or_zero=True), "torque", "Torque that the seat must carry.", 0),
        "thrust": Key(ANY_FORCE, "thrust", "Axial force that the seat must carry, > 0 where it pushes the shaft toward the back face.", 0),
        "slip_safety": Key(SAFETY, "safety against slip", "Factor on torque and thrust before the seat may slip.", 1.5),
        "yield_safety": Key(SAFETY, "safety against yield", "Factor on stress before a part may yield.", YIELD_SAFETY),
        "carried_by": Key(Choice(("sleeve", "ring")), "hub sits on", "The part that the hub is fixed to.", "sleeve"),
        "radial": Key(Number("N", least=0, most=1e9), "radial pull", "Pull across the shaft by a belt, chain or gear.", 0),
        "radial_at": Key(Number("mm", least=-1e6, most=1e6), "place of the pull",
                         "Distance of the pull's line of action from the sleeve's back face, toward the nose.", None),
        "rotating": Key(Flag(), "pull turns", "Whether the radial pull turns against the shaft.", True),
    },
    "push": {
        "travel": Key(Number("mm", least=1e-6, most=1e5), "travel", "Travel of the ring that the push ends at.", None),
        "force": Key(Number("N", least=1e-3, most=1e10), "force", "Clamp force that is reached at the least.", None),
        "scatter": Key(SCATTER, "scatter of the force", "Greatest clamp force over the least.", 1.6),
    },
    "service": {
        "speed": Key(Number("1/min", least=0, most=1e6), "speed", "Speed of the shaft.", 0),
        "ring_hotter": Key(Number("K", least=-1000, most=1000), "ring hotter than the shaft", "Temperature of the ring less that of the shaft.", 0),
        "warmer": Key(Number("K", least=-300, most=1000), "warmer than assembled", "Temperature of all parts above that of assembly.", 0),
    },
    "after": {
        "release": Key(Flag(), "pull the ring off", "Whether the ring is pushed off again after the push.", False),
        "twist": Key(Flag(), "twist until it slips", "Whether the shaft is twisted after the push until the seat slips.", False),
        "ring_tied": Key(Flag(), "ring tied to the sleeve", "Whether the screws keep the ring from turning on the sleeve.", None),
    },
    "screws": {
        "count": Key(Whole(least=3, most=1000), "screws", "Number of clamp screws."),
        "size": Key(Choice(SIZES), "thread", "Thread of the screws.", "M6"),
        "property_class": Key(Choice(CLASSES), "property class", "Property class of the screws, 70 and 80 for stainless ones.", "8.8"),
        "thread_friction": Key(FRICTION, "friction in the thread", "Friction coefficient in the thread, the low end of what it may be.", 0.12),
        "head_friction": Key(FRICTION, "friction under the head", "Friction coefficient under the head, the low end of what it may be.", 0.12),
        "tightening_scatter": Key(SCATTER, "scatter of the preload", "Greatest preload over the least.", 1.6),
        "torque": Key(Number("N·m", least=1e-3, most=1e6, or_zero=True), "tightening torque", "Tightening torque of each screw, 0 where it is to be found.", 0),
        "settling": Key(Number("µm", least=0, most=1000), "settling", "Settling of the joint that is taken from the least preload.", 0),
        "circle": Key(SIZE, "screw circle", "Diameter of the circle that the screws stand on.", None),
        "jacking": Key(Whole(least=0, most=1000), "jacking threads", "Number of threaded holes to push the ring off again.", None),
    },
    "mesh": {"size": Key(SIZE, "element size", "Size of the elements at the contact.", None)},
    "solver": {
        "augment": Key(Flag(), "augment", "Whether contact pressures are solved for, so that parts hardly overlap; else springs give way.", True),
        "stop_at_yield": Key(Flag(), "stop at yield", "Whether the push ends where a part first yields.", False),
        "plastic": Key(Flag(), "plastic flow", "Whether parts flow where they yield.", False),
        "penalty": Key(Number("times E/h", least=1e-3, most=1e6), "penalty", "Stiffness of the contact.", None),
        "increments": Key(Whole(least=1, most=100000), "increments", "First guess of the number of increments of the push.", None),
    },
}

# Tables whose absence means something: there is no duty, no speed or warmth is given, there are no screws.
OPTIONAL_TABLES = ("duty", "service", "screws")


def dotted(table: str, key: str) -> str:
    """A key with its table before it, as users write it."""
    return f"{table}.{key}" if table else key


ALL_KEYS: dict[str, Key] = {
    dotted(table, key): entry for table, keys in SCHEMA.items() for key, entry in keys.items()
}


class Unread(Exception):
    """A value was asked for that could not be read; its own fault has been noted."""


class Values(dict):
    """Dotted key to value; asking for a key of the case file that has a fault raises Unread."""

    def __missing__(self, key: str) -> None:
        if key in ALL_KEYS:
            raise Unread(key)
        raise KeyError(key)

    def absent(self, key: str) -> bool:
        """Whether a key belongs to a table that may be left out and was."""
        table = key.rpartition(".")[0]
        return table in OPTIONAL_TABLES and all(self.get(dotted(table, own), ...) is None for own in SCHEMA[table])


# A rule takes the values and yields (key, sentence) for each fault; the sentence says what is allowed.
Faults = Iterator[tuple[str, str]]
Rule = Callable[[Values], Faults]
