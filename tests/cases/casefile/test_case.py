"""Case files: what is read, what is filled in, what goes round, and what is refused as unknown or of the wrong kind."""

import copy
import math
import subprocess
import sys
import tomllib

import pytest

from colletfea.cases.casefile.faults import CaseError
from colletfea.cases.casefile.materials import MATERIALS, Material
from colletfea.cases.casefile.case import Case, Duty, Friction, PushSettings, Service, SlitSizes, build
from colletfea.cases.casefile.file import read_tables
from colletfea.cases.casefile.reading import read
from colletfea.cases.casefile.schema import ALL_KEYS, REQUIRED
from colletfea.cases.casefile.text import dump

LEAST = {
    "shaft": {"diameter": 22},
    "sleeve": {"length": 26, "nose_wall": 2.2, "taper": 5, "clearance": 0.027},
    "ring": {"length": 22, "outer_diameter": 46, "start": 3},
    "friction": {"cone": 0.1, "bore": [0.09, 0.12, 0.15]},
    "push": {"travel": 0.4},
}
FULL = {
    "title": 'Hub "A", ø22',
    "shaft": {"diameter": 22, "bore": 6, "beyond": [10, 12], "material": "42CrMo4+QT"},
    "sleeve": {
        "length": 26, "nose_wall": 2.2, "taper": 5, "fit": "H8/h7", "held": "fully", "nose_radius": 0.3,
        "flange_thickness": 6, "flange_diameter": 52,
        "material": {"name": "test bar", "young": 2.0e5, "poisson": 0.29, "yield": 500, "hardening": [[0, 500], [0.02, 560]],
                     "expansion": 16e-6, "density": 7900},
        "slits": {"pattern": "through", "count": 2, "width": 1.5, "cuts_flange": False, "hoop_stiffness": 0.01},
    },
    "ring": {"length": 22, "outer_diameter": 46, "start": 3, "start_tolerance": 0.1, "taper": 5.1, "edge_radius": 0.4,
             "material": {"young": 2.1e5, "poisson": 0.3}},
    "friction": {"cone": [0.07, 0.1, 0.13], "bore": 0.12},
    "duty": {"torque": 60, "thrust": -500, "slip_safety": 1.4, "yield_safety": 1.1, "carried_by": "ring",
             "radial": 1500, "radial_at": -30, "rotating": False},
    "push": {"force": 20000, "scatter": 1.3},
    "service": {"speed": 3000, "ring_hotter": -20, "warmer": 40},
    "after": {"release": True, "twist": True, "ring_tied": True},
    "screws": {"count": 6, "size": "M5", "property_class": "10.9", "thread_friction": 0.1, "head_friction": 0.11,
               "tightening_scatter": 1.4, "torque": 5, "settling": 8, "circle": 40, "jacking": 2},
    "mesh": {"size": 0.2},
    "solver": {"augment": False, "stop_at_yield": True, "plastic": True, "penalty": 20, "increments": 12},
}
SLITS = {
    "none": {},
    "through": {"count": 1, "width": 1.5},
    "fingers": {"count": 6, "width": 1, "depth": 18},
    "alternating": {"count": 4, "width": 1, "depth": 18},
}


def changed(base, **keys):
    """A copy of raw tables with dotted keys (table__key) set; None takes a key out."""
    tables = copy.deepcopy(base)
    for path, value in keys.items():
        *outer, key = path.split("__")
        inner = tables
        for name in outer:
            inner = inner.setdefault(name, {})
        inner[key] = value
        if value is None:
            del inner[key]
    return tables


def case_of(tables):
    """The case, whatever this version computes of it."""
    return build(read(tables, "stem"), tables)


def faults_of(tables):
    with pytest.raises(CaseError) as refusal:
        read(tables, "stem")
    return refusal.value.faults


def test_what_is_left_out_has_its_documented_default():
    case = case_of(LEAST)
    steel = MATERIALS["C45+QT"].material
    assert case.title == "stem"
    assert (case.shaft.bore, case.shaft.beyond, case.shaft.material) == (0, (11, 11), steel)
    sleeve = case.sleeve
    assert (sleeve.fit, sleeve.held, sleeve.material, sleeve.nose_radius) == (None, "axially", steel, 0)
    assert (sleeve.flange_thickness, sleeve.flange_diameter) == (0, 0)
    assert sleeve.slits == SlitSizes("none", 0, 0, 0, False, None)
    assert (case.ring.taper, case.ring.edge_radius, case.ring.material) == (5, 0, steel)
    assert case.duty is None and case.screws is None and case.service is None
    assert case.ring.start_tolerance == 0
    assert case.push == PushSettings(0.4, None, 1.6)
    assert (case.after.release, case.after.twist, case.after.ring_tied) == (False, False, True)
    assert case.mesh.size is None
    solver = case.solver
    assert (solver.augment, solver.stop_at_yield, solver.plastic) == (True, False, False)
    assert solver.penalty is None and solver.increments is None


def test_tables_with_one_required_key_have_their_documented_defaults():
    case = case_of(changed(LEAST, duty__torque=60, screws__count=6))
    assert case.duty == Duty(60, 0, 1.5, 1.2, "sleeve", 0, 13, True)
    assert case_of(changed(LEAST, service={})).service == Service(0, 0, 0)
    screws = case.screws
    assert (screws.torque, screws.settling, screws.jacking) == (0, 0, 3)
    assert (screws.size, screws.property_class, screws.tightening_scatter) == ("M6", "8.8", 1.6)
    assert (screws.thread_friction, screws.head_friction) == (0.12, 0.12)


def test_defaults_that_hang_on_other_keys():
    assert case_of(changed(LEAST, sleeve__taper=4)).ring.taper == 4
    assert case_of(changed(LEAST, shaft__diameter=20)).shaft.beyond == (10, 10)
    carried = changed(LEAST, duty={"torque": 60, "carried_by": "ring"})
    assert case_of(carried).after.ring_tied is False
    assert case_of(changed(carried, after__ring_tied=True)).after.ring_tied is True
    through = changed(LEAST, sleeve__slits={"pattern": "through", **SLITS["through"]})
    assert case_of(through).sleeve.slits.cuts_flange is True


def test_screws_stand_halfway_between_cone_and_outside_at_the_ring_s_mid_length():
    """Cone at z = 14: 11.0135 + 2.2 + 12 tan 5 deg = 14.26336 mm; with 23 mm outside their circle is 37.26336 mm."""
    case = case_of(changed(LEAST, screws__count=7))
    assert case.screws.circle == pytest.approx(37.26336, abs=1e-5) and case.screws.jacking == 3
    assert case_of(changed(LEAST, screws__count=7, screws__circle=38, screws__jacking=0)).screws.jacking == 0


def test_a_thrust_alone_is_a_duty_and_keeps_its_sign():
    for thrust in (800, -800):
        duty = case_of(changed(LEAST, duty__thrust=thrust)).duty
        assert (duty.torque, duty.thrust, duty.radial, duty.radial_at) == (0, thrust, 0, 13)


def test_friction_is_one_number_or_a_band():
    case = case_of(LEAST)
    assert case.friction.cone == Friction(0.1, 0.1, 0.1)
    assert case.friction.bore == Friction(0.09, 0.12, 0.15)


@pytest.mark.verification(source="ISO 286-2: H8 of 22 mm 0/+33, h7 0/-21 micrometre")
def test_a_fit_gives_the_middle_clearance():
    case = case_of(changed(LEAST, sleeve__clearance=None, sleeve__fit="H8/h7"))
    assert case.sleeve.clearance == pytest.approx(0.027, abs=1e-12)
    assert case.sleeve.fit == "H8/h7"


def test_materials_come_by_name_or_as_a_table_of_their_own():
    case = case_of(FULL)
    assert case.shaft.material == MATERIALS["42CrMo4+QT"].material
    assert case.sleeve.material == Material("test bar", 2e5, 0.29, 500, ((0, 500), (0.02, 560)), 16e-6, 7900)
    assert case.ring.material == Material("own", 2.1e5, 0.3, None, 0, 11.5e-6, 7850)


@pytest.mark.parametrize("tables", [LEAST, FULL, *(
    changed(LEAST, sleeve__slits={"pattern": pattern, **keys}) for pattern, keys in SLITS.items())])
def test_filled_tables_and_their_text_give_the_case_again(tables):
    case = case_of(tables)
    filled = case.tables()
    assert case_of(filled) == case
    assert case_of(tomllib.loads(dump(filled))) == case
    assert case_of(filled).tables() == filled


def test_filled_tables_hold_every_key_of_the_case_file():
    filled = case_of(changed(LEAST, duty__torque=60, screws__count=6, service={})).tables()
    for key in ALL_KEYS:
        inner = filled
        for name in key.split("."):
            inner = inner[name]
    assert set(filled["shaft"]["material"]) == {
        "name", "young", "poisson", "yield", "hardening", "expansion", "density"}
    assert filled["friction"] == {"cone": 0.1, "bore": [0.09, 0.12, 0.15]}


def test_filled_tables_show_what_does_not_exist_as_none():
    filled = case_of(changed(LEAST, sleeve__clearance=None, sleeve__fit="H8/h7")).tables()
    assert filled["duty"] is None and filled["screws"] is None
    assert filled["sleeve"]["clearance"] is None and filled["sleeve"]["fit"] == "H8/h7"
    assert filled["sleeve"]["slits"]["count"] is None


def test_a_case_can_be_loaded_from_a_file(tmp_path):
    path = tmp_path / "hub.toml"
    path.write_text(dump(LEAST), encoding="utf-8")
    assert Case.read(path) == Case.from_tables(LEAST, "hub")
    assert read_tables(path) == LEAST


@pytest.mark.parametrize(("unknown", "hint"), [
    ({"sleve": {"length": 3}}, "sleve: no such table; did you mean sleeve?"),
    ({"sleeve__tapper": 5}, "sleeve.tapper = 5: no such key; did you mean sleeve.taper?"),
    ({"sleeve__slits": {"patern": "none"}}, 'sleeve.slits.patern = "none": no such key; did you mean sleeve.slits.pattern?'),
    ({"ring__outside_diameter": 46}, "ring.outside_diameter = 46: no such key; did you mean ring.outer_diameter?"),
    ({"ring__carried_by": "ring"}, 'ring.carried_by = "ring": no such key; did you mean duty.carried_by?'),
    ({"slits": {"count": 1}}, "slits: no such table; did you mean sleeve.slits?"),
    ({"after__zzz": 1}, "after.zzz = 1: no such key; there are after.release, after.twist and after.ring_tied"),
    ({"shaft__material": {"young": 2e5, "poisson": 0.3, "yeild": 400}},
     "shaft.material.yeild = 400: no such key; did you mean shaft.material.yield?"),
])
def test_unknown_names_are_refused_with_the_nearest_valid_one(unknown, hint):
    assert faults_of(changed(LEAST, **unknown)) == [hint]


@pytest.mark.parametrize("key", [key for key, entry in ALL_KEYS.items() if entry.default is REQUIRED])
def test_a_required_key_that_is_missing_is_named(key):
    table, name = key.split(".")
    tables = changed(LEAST, duty__torque=60, screws__count=6)
    del tables[table][name]
    assert faults_of(tables)[0].startswith((f"{key}: missing; must be a ", f"{key}: missing; must be 0 or a "))


@pytest.mark.parametrize("key", [key for key, entry in ALL_KEYS.items() if key not in ("title", "sleeve.fit")])
@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, [], "", [1, 2, 3, 4], 10**400, -7.5e9], ids=str)
def test_no_key_takes_a_value_of_another_kind(key, value):
    assert any(f.startswith(f"{key} = ") for f in faults_of(changed(LEAST, **{key.replace(".", "__"): value})))


@pytest.mark.parametrize("key", [k for k in ALL_KEYS if "Flag" not in type(ALL_KEYS[k].kind).__name__])
def test_a_truth_value_is_no_number_and_no_text(key):
    for value in (True, False):
        assert any(f.startswith(f"{key} = {str(value).lower()}: must be ")
                   for f in faults_of(changed(LEAST, **{key.replace(".", "__"): value})))


@pytest.mark.parametrize("table", ["shaft", "sleeve", "sleeve__slits", "ring", "friction", "duty", "screws", "solver"])
def test_a_table_is_a_table(table):
    key = table.replace("__", ".")
    assert f"{key} = 3: must be a table, [{key}] on a line of its own with its keys below" in faults_of(
        changed(LEAST, **{table: 3}))


@pytest.mark.parametrize(("key", "value", "allowed"), [
    ("sleeve__taper", 88, "sleeve.taper = 88: must be a number at least 0.01 and below 45 deg"),
    ("sleeve__taper", 0, "sleeve.taper = 0: must be a number at least 0.01 and below 45 deg"),
    ("sleeve__taper", 45, "sleeve.taper = 45: must be a number at least 0.01 and below 45 deg"),
    ("sleeve__nose_wall", 0, "sleeve.nose_wall = 0: must be a number from 0.001 to 100000 mm"),
    ("sleeve__clearance", -0.01, "sleeve.clearance = -0.01: must be a number from 0 to 100000 mm"),
    ("sleeve__held", "loosely", 'sleeve.held = "loosely": must be "axially" or "fully", in quotes'),
    ("push__travel", 0, "push.travel = 0: must be a number from 1e-06 to 100000 mm"),
    ("screws", {"count": 2.5}, "screws.count = 2.5: must be a whole number from 3 to 1000"),
    ("screws", {"count": 3, "size": "M7"}, 'screws.size = "M7": must be "M3", '),
    ("screws", {"count": 3, "property_class": 8.8}, 'screws.property_class = 8.8: must be "8.8", "10.9", "12.9", "70" or "80", in'),
    ("duty", {"torque": 0}, "duty.torque = 0: must be above 0 N·m, or duty.thrust at least 0.001 N one way or the other"),
    ("duty", {"torque": 1, "carried_by": "hub"}, 'duty.carried_by = "hub": must be "sleeve" or "ring", in quotes'),
    ("duty", {"torque": 1, "slip_safety": 0.9}, "duty.slip_safety = 0.9: must be a number from 1 to 100"),
    ("friction__bore", -0.1, "friction.bore = -0.1: must be 0 or a number from 0.0001 to 1, or a list [low, nominal, high]"),
    ("friction__bore", 1.2, "friction.bore = 1.2: must be 0 or a number from 0.0001 to 1"),
    ("friction__cone", [0.1, 0.2], "friction.cone = [0.1, 0.2]: must be"),
    ("friction__cone", [0.1, 0.2, 0.15], "friction.cone = [0.1, 0.2, 0.15]: must be 0 or a number from 0.0001 to 1, or a list"),
    ("shaft__beyond", [5], "shaft.beyond = [5]: must be a list [back, front], each a number from"),
    ("solver__increments", 0, "solver.increments = 0: must be a whole number from 1 to 100000"),
    ("title", "two\nlines", 'title = "two\\nlines": must be a line of text, in quotes'),
    ("shaft__material", "C45-QT", 'shaft.material = "C45-QT": must be a bundled material, in quotes, or a table'),
    ("shaft__material", {"young": 2e5, "poisson": 0.5}, "shaft.material.poisson = 0.5: must be a number from 0 to 0.4999"),
    ("shaft__material", {"young": 210, "poisson": 0.3}, "shaft.material.young = 210: must be a number from 500 to"),
    ("shaft__material", {"young": 2e5}, "shaft.material.poisson: missing; must be a number from 0 to 0.4999"),
])
def test_a_value_out_of_range_is_told_what_is_allowed(key, value, allowed):
    faults = faults_of(changed(LEAST, **{key: value}))
    assert len(faults) == 1 and faults[0].startswith(allowed)


def test_a_material_is_refused_with_the_nearest_name():
    assert faults_of(changed(LEAST, ring__material="42CrMo4"))[0].endswith('did you mean "42CrMo4+QT"?')


def test_all_faults_come_at_once_across_kinds():
    tables = changed(LEAST, sleeve__tapper=4, sleeve__taper=88, shaft__bore=30, ring__start=None, push=None)
    keys = [fault.split(" = ")[0].split(":")[0] for fault in faults_of(tables)]
    assert keys == ["sleeve.tapper", "sleeve.taper", "ring.start", "push.travel", "shaft.bore"]


def test_the_case_file_is_read_without_heavy_libraries():
    code = "import sys, colletfea.cases.casefile.case, colletfea.cases.casefile.starter; print(*sys.modules)"
    loaded = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split()
    assert not {"numpy", "scipy", "gmsh", "meshio", "matplotlib"} & set(loaded)
