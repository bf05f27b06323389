"""Materials by the designations of open (European) standards.

Every figure is from memory of the standard named beside it; check it against the standard, or better
against the material certificate, before anything is built. Strengths are the least 0.2 % proof (or upper
yield) stress for the size stated; a part of another size or condition gets a table of its own in the case.
"""

from dataclasses import dataclass

#: [1/K] and [kg/m^3] of carbon steel, where a material names none
EXPANSION, DENSITY = 11.5e-6, 7850.0


@dataclass(frozen=True)
class Material:
    """Isotropic elastic, with von Mises yield where a yield stress is known.

    young, yield_stress, hardening [MPa]; hardening is the slope of stress over equivalent plastic strain, or rows of
    (plastic strain, stress [MPa]) from strain 0 on; yield_stress None: no verdict on yield is possible.
    expansion [1/K], from 20 to 100 degrees C; density [kg/m^3].
    """

    name: str
    young: float
    poisson: float
    yield_stress: float | None
    hardening: float | tuple[tuple[float, float], ...] = 0.0
    expansion: float = EXPANSION
    density: float = DENSITY


@dataclass(frozen=True)
class Entry:
    """A bundled material, the sizes its yield stress is guaranteed for, and where the figures come from.

    source: of the strength. physical: of expansion and density.
    """

    material: Material
    sizes: str
    source: str
    physical: str


USUAL = "usual value of data sheets, from memory"
STAINLESS = "EN 10088-1, from memory"
IRON = "EN 1563, informative annex, from memory"


def _entry(
    name: str, young: float, poisson: float, strength: float, sizes: str, source: str,
    expansion: float = EXPANSION, density: float = DENSITY, physical: str = USUAL,
) -> tuple[str, Entry]:  # fmt: skip
    material = Material(name, float(young), poisson, float(strength), 0.0, expansion, float(density))
    return name, Entry(material, sizes, f"{source}, from memory", physical)


MATERIALS: dict[str, Entry] = dict([
    # Steels. Elastic constants: the usual values of design practice.
    _entry("C45+QT", 210000, 0.30, 430, "round bar over 16 up to 40 mm", "EN ISO 683-1"),
    _entry("C45+N", 210000, 0.30, 305, "round bar over 16 up to 100 mm", "EN ISO 683-1"),
    _entry("42CrMo4+QT", 210000, 0.30, 750, "round bar over 16 up to 40 mm", "EN ISO 683-2"),
    _entry("34CrNiMo6+QT", 210000, 0.30, 900, "round bar over 16 up to 40 mm", "EN ISO 683-2"),
    _entry("51CrV4+QT", 210000, 0.30, 800, "round bar over 16 up to 40 mm", "EN ISO 683-2"),
    _entry("16MnCr5", 210000, 0.30, 590, "core, blank-hardened round bar of 30 mm", "DIN 17210:1986"),
    _entry("S355J2", 210000, 0.30, 345, "over 16 up to 40 mm", "EN 10025-2"),
    _entry("S235JR", 210000, 0.30, 225, "over 16 up to 40 mm", "EN 10025-2"),
    _entry("X5CrNi18-10", 200000, 0.30, 190, "solution annealed bar up to 160 mm", "EN 10088-3", 16e-6, 7900, STAINLESS),
    _entry("X20Cr13+QT800", 215000, 0.30, 600, "bar up to 160 mm", "EN 10088-3", 10.5e-6, 7700, STAINLESS),
    _entry("X5CrNiCuNb16-4+P930", 200000, 0.30, 720, "bar up to 100 mm", "EN 10088-3", 10.9e-6, 7800, STAINLESS),
    # Bronze, aluminium, cast iron. The standards give no elastic constants: usual data-sheet values.
    _entry("CuSn8-R390", 115000, 0.34, 260, "rod, a guiding value of the standard", "EN 12163", 18.5e-6, 8800),
    _entry("CuSn12-C-GZ", 95000, 0.34, 150, "centrifugal casting, test bar", "EN 1982", 18.5e-6, 8700),
    _entry("EN AW-6082-T6", 70000, 0.33, 260, "extruded round bar over 20 up to 150 mm", "EN 755-2", 23.4e-6, 2700),
    _entry("EN AW-7075-T6", 71000, 0.33, 480, "extruded round bar up to 25 mm", "EN 755-2", 23.4e-6, 2810),
    _entry("EN-GJS-400-15", 169000, 0.275, 250, "wall up to 30 mm", "EN 1563", 12.5e-6, 7100, IRON),
])

_FOLDED = {name.casefold(): entry for name, entry in MATERIALS.items()}

DEFAULT = "C45+QT"


def named(name: str) -> Entry | None:
    """The bundled material of a name, capitals and spaces around it aside; None where there is none."""
    return _FOLDED.get(name.strip().casefold())
