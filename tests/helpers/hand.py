"""Two couplings that the tests of the hand calculation vary: a closed sleeve of 14 mm and a slit one of 22 mm."""

from types import SimpleNamespace

from colletfea.cases.casefile.case import Case
from colletfea.cases.hand.slit_model import Slits

STEEL = {"young": 205000.0, "poisson": 0.29}


def closed_case(**changed):
    """The closed sleeve of 14 mm that was computed with the library."""
    tables = {
        "shaft": {"diameter": 14.0, "bore": 0.0, "material": STEEL},
        "sleeve": {"length": 12.0, "nose_wall": 1.4, "taper": 3.0, "clearance": 0.06, "material": STEEL},
        "ring": {"length": 12.0, "outer_diameter": 30.0, "start": 1.5, "material": STEEL},
        "friction": {"cone": 0.08, "bore": 0.12},
        "duty": {"torque": 40.0},
        "push": {"travel": 1.2},
    }
    return Case.from_tables(with_changes(tables, changed), "x1")


def with_changes(tables, changed):
    """Tables with dotted keys (written with __) replaced; None takes a key or a section away."""
    for key, value in changed.items():
        *sections, name = key.split("__")
        table = tables
        for section in sections:
            table = table.setdefault(section, {})
        table[name] = value
        if value is None:
            del table[name]
    return tables


def slit_case(slits=None, flange=(0.0, 0.0), **changed):
    """A slit sleeve of 22 mm as for a sprocket hub; plain numbers, so that nothing is refused."""
    material = SimpleNamespace(young=206000.0, poisson=0.3)
    parts = {
        "shaft": {"diameter": 22.0, "bore": 0.0, "material": material},
        "sleeve": {
            "length": 26.0,
            "nose_wall": 2.2,
            "taper": 5.0,
            "clearance": 0.027,
            "fit": None,
            "held": "axially",
        },
        "ring": {"length": 22.0, "outer_diameter": 46.0, "start": 3.0, "taper": 5.0, "material": material},
        "duty": {
            "torque": 60.0,
            "thrust": 0.0,
            "slip_safety": 1.5,
            "yield_safety": 1.2,
            "carried_by": "sleeve",
        },
        "friction": {"cone": friction(0.07, 0.10, 0.13), "bore": friction(0.09, 0.12, 0.15)},
    }
    parts["sleeve"].update(material=material, slits=slits or Slits("through", 1, 1.5))
    parts["sleeve"].update(flange_thickness=flange[0], flange_diameter=flange[1])
    for key, value in changed.items():
        part, name = key.split("__")
        parts[part][name] = value
    return SimpleNamespace(**{name: SimpleNamespace(**part) for name, part in parts.items()})


def friction(low, nominal, high):
    return SimpleNamespace(low=low, nominal=nominal, high=high)


def noted(hand):
    """Keys of the notes of a hand calculation."""
    return {note["key"] for note in hand["notes"]}
