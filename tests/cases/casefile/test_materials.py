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
    assert entry.sizes and "from memory" in entry.source and "from memory" in entry.physical


# Expansion [1e-6/K] and density [kg/m^3] by family, common practice, no single source.
PHYSICAL = {
    "steel": ((10, 17), (7600, 8000)), "bronze": ((17, 19), (8600, 8900)), "aluminium": ((23, 24), (2650, 2850)),
    "ductile iron": ((10, 13), (7000, 7300)),
}  # fmt: skip


@pytest.mark.parametrize("name", MATERIALS)
def test_expansion_and_density_are_those_of_the_family(name):
    material, (expansion, density) = MATERIALS[name].material, PHYSICAL[family(name)]
    assert expansion[0] <= 1e6 * material.expansion <= expansion[1]
    assert density[0] <= material.density <= density[1]


def test_austenitic_steel_expands_more_than_carbon_steel_and_that_more_than_chromium_steel():
    expansion = [MATERIALS[name].material.expansion for name in ("X5CrNi18-10", "C45+QT", "X20Cr13+QT800")]
    assert expansion == [16e-6, 11.5e-6, 10.5e-6]


def test_names_are_matched_without_regard_to_case():
    kind = MaterialValue()
    for name in ("c45+qt", " C45+Qt", "en aw-6082-t6", "cusn12-c-gz"):
        assert kind.holds(name) and kind.convert(name).name in MATERIALS
    assert kind.faults("ring.material", "cusn12")[0].endswith('did you mean "CuSn12-C-GZ"?')


OWN = {"young": 2e5, "poisson": 0.3, "yield": 400}


@pytest.mark.parametrize(("hardening", "wanted"), [
    (1500, 1500.0), (0, 0.0), ([[0, 400], [0.01, 450], [0.1, 450]], ((0, 400), (0.01, 450), (0.1, 450))), ([[0, 410], [0.01, 450]], ((0, 410), (0.01, 450))),
])
def test_hardening_is_a_slope_or_a_table(hardening, wanted):
    kind = MaterialValue()
    assert kind.faults("m", {**OWN, "hardening": hardening}) == []
    assert kind.convert({**OWN, "hardening": hardening}).hardening == wanted


@pytest.mark.parametrize(("hardening", "sentence"), [
    (-1, "m.hardening = -1: must be a number from 0 to 1000000 MPa, or a table"),
    ([[0, 400], [0.01, 390]], "m.hardening = [[0, 400], [0.01, 390]]: must be"),
    ([[0, 400], [0, 450]], "must be"), ([[0.01, 400], [0.02, 450]], "must be"), ([[0, 400]], "must be"), ([], "must be"),
    ([[0, 400, 1], [0.01, 450, 1]], "must be"), ([0, 400], "must be"), ([[0, "400"], [0.01, 450]], "must be"), ("much", "must be"),
    ([[0, 399], [0.01, 450]], "m.hardening = [[0, 399], [0.01, 450]]: must not start below m.yield = 400 MPa"),
])
def test_hardening_that_falls_or_starts_below_yield_is_refused(hardening, sentence):
    faults = MaterialValue().faults("m", {**OWN, "hardening": hardening})
    assert len(faults) == 1 and sentence in faults[0]


def test_a_table_of_hardening_needs_a_yield_stress():
    table = {"young": 2e5, "poisson": 0.3, "hardening": [[0, 400], [0.01, 450]]}
    assert MaterialValue().faults("m", table) == ["m.yield: missing; must be given beside a table of m.hardening"]


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
