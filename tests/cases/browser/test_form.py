import pytest

from colletfea.cases.browser import form
from colletfea.cases.casefile import examples
from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.faults import CaseError
from colletfea.cases.casefile.schema import ALL_KEYS

OWN = {"name": "own bronze", "young": 95000, "poisson": 0.34, "yield": 150.5, "expansion": 1.85e-5, "density": 8700}


@pytest.mark.parametrize("name", examples.names())
def test_an_example_goes_through_the_form_and_comes_back_equal(name):
    case = Case.example(name)
    assert Case.from_tables(form.tables(form.values(case.given)), name) == case
    assert Case.from_tables(form.tables(form.values(case.tables())), name) == case


@pytest.mark.parametrize(
    "changes",
    [
        {"sleeve.material": OWN},
        {"sleeve.material": {**OWN, "hardening": 1200}},
        {"ring.material": {"young": 2.1e5, "poisson": 0.3, "yield": 430, "hardening": [[0, 430], [0.01, 450.5], [0.2, 600]]}},
        {"shaft.beyond": [10, 12.5], "friction.cone": 0.08},
        {"screws": None},
        {"duty": None, "push.force": 20000.0},
        {"service.speed": 1500, "sleeve.fit": None, "sleeve.clearance": 0.03},
        {"shaft.material": "  c45+qt "},
        {"after.ring_tied": False, "solver.augment": False, "sleeve.slits.hoop_stiffness": 1e-3},
    ],
)
def test_a_changed_case_comes_back_equal(changes):
    case = Case.example("sprocket_hub").changed(changes)
    assert Case.from_tables(form.tables(form.values(case.given)), "") == case


def test_every_key_has_a_control_and_words():
    found = {control.key: control for control in form.controls()}
    assert set(ALL_KEYS) <= set(found)
    assert all(c.label and c.help for c in found.values())
    assert set(form.GROUPS) == {c.group for c in found.values()}
    assert found["sleeve.taper"].unit == "deg" and "0.01" in found["sleeve.taper"].allowed
    assert found["friction.cone"].options is None and "own" in found["ring.material"].options


def test_a_table_that_is_there_but_empty_is_not_the_same_as_none():
    given = form.values(Case.example("sprocket_hub").given)
    assert given["service"] == "" and "service" not in form.tables(given)
    assert form.tables({**given, "service": form.YES})["service"] == {}


def faults_of(**changes):
    given = {**form.values(Case.example("sprocket_hub").given), **{k.replace("__", "."): v for k, v in changes.items()}}
    with pytest.raises(CaseError) as caught:
        Case.from_tables(form.tables(given), "x")
    return form.keyed(caught.value.faults)


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("sleeve.taper", "-3"), ("sleeve.taper", "5,5"), ("sleeve.taper", "five"), ("friction.cone", "0.2, 0.1"), ("screws.count", "2.5"),
        ("shaft.diameter", ""), ("shaft.beyond", "3"), ("sleeve.length", "9" * 400), ("title", "\x07"),
    ],
)
def test_a_fault_stands_at_its_field(key, text):
    found = faults_of(**{key.replace(".", "__"): text})
    assert key in [fault.key for fault in found]
    assert not any("quotes" in fault.sentence for fault in found)


def test_faults_of_an_own_material_stand_at_its_fields():
    found = faults_of(sleeve__material="own", sleeve__material__young="3", sleeve__material__poisson="")
    assert {"sleeve.material.young", "sleeve.material.poisson"} <= {fault.key for fault in found}


def test_a_fault_names_the_other_keys_of_its_sentence():
    (fault,) = form.keyed(["sleeve.fit = \"H8/h7\": must not be given beside sleeve.clearance; sleeve.slits.width is as given"])
    assert fault.key == "sleeve.fit" and set(fault.others) == {"sleeve.clearance", "sleeve.slits.width"}
    (free,) = form.keyed(["case.toml: can't be read"])
    assert free.key == "" and free.others == ()


def test_what_is_left_out_shows_the_value_used():
    case = Case.example("sprocket_hub").changed({"ring.material": None})
    shown = form.used(case)
    assert shown["ring.taper"] == "5" and shown["shaft.beyond"] == "11, 11" and shown["push.scatter"] == "1.6"
    assert shown["ring.material"] == "C45+QT"
    assert form.used(None)["push.scatter"] == "1.6" and "ring.taper" not in form.used(None)


def test_at_its_field_a_fault_leaves_out_key_and_value():
    bare, valued, free = form.keyed(["sleeve.taper: missing; must be a number: half angle", 'sleeve.fit = "a: b": must be', "no key: x"])
    assert bare.at_field == "Missing; must be a number: half angle" and free.at_field == "No key: x"
    assert valued.at_field == "Must be"
