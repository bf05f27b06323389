"""The bundled materials: physical sense, and known relations between them."""

import pytest

from colletfea.cases.casefile.kinds import MaterialValue
from colletfea.cases.casefile.materials import DEFAULT, MATERIALS

# Usual ranges of handbooks [MPa], common practice, no single source: modulus by family, told from the designation.
FAMILIES = {
    "steel": (190e3, 220e3, ("C45", "42Cr", "34Cr", "51Cr", "16Mn", "S3", "S2", "X")),
    "bronze": (80e3, 125e3, ("CuSn",)),
    "aluminium": (68e3, 73e3, ("EN AW",)),
    "ductile iron": (160e3, 180e3, ("EN-GJS",)),
}


def family(name):
    matches = [key for key, (_, _, starts) in FAMILIES.items() if name.startswith(starts)]
    assert len(matches) == 1, name
    return matches[0]


@pytest.mark.parametrize("name", MATERIALS)
def test_a_material_has_the_modulus_of_its_family_and_says_where_its_figures_come_from(name):
    entry = MATERIALS[name]
    low, high, _ = FAMILIES[family(name)]
    assert entry.material.name == name
    assert low <= entry.material.young <= high
    assert 0.25 <= entry.material.poisson <= 0.35
    assert 100 <= entry.material.yield_stress <= 1000
    assert entry.material.hardening == 0
    assert entry.sizes and "from memory" in entry.source


@pytest.mark.verification(source="EN 10025-2: the number in the name is the yield stress up to 16 mm")
@pytest.mark.parametrize("name", ["S355J2", "S235JR"])
def test_structural_steel_yields_ten_below_its_name_over_16_mm(name):
    assert MATERIALS[name].material.yield_stress == int(name[1:4]) - 10


def test_quenching_and_tempering_strengthens():
    assert MATERIALS["C45+QT"].material.yield_stress > MATERIALS["C45+N"].material.yield_stress


def test_the_default_is_a_bundled_quenched_and_tempered_carbon_steel():
    assert DEFAULT == "C45+QT" and DEFAULT in MATERIALS


def test_a_material_holds_by_name_or_as_a_sound_table():
    kind = MaterialValue()
    assert kind.holds(DEFAULT) and kind.holds({"young": 70000, "poisson": 0.33})
    assert not any(kind.holds(value) for value in ("C45", 7, {"young": 70000}, {"young": -1, "poisson": 0.3}))
