"""The bundled examples, and files started from them."""

import tomllib

import pytest

from colletfea.cases.casefile import examples, starter
from colletfea.cases.casefile.faults import CaseError
from colletfea.cases.casefile.case import Case


@pytest.mark.parametrize("name", examples.names())
def test_an_example_is_a_case_with_its_own_title_and_comments(name):
    case = Case.from_tables(tomllib.loads(examples.text(name)), name)
    assert case.title != name
    assert case.duty is not None
    assert examples.text(name).startswith("# ")


def test_the_main_example_comes_first_and_has_a_flange_and_screws():
    case = Case.from_tables(tomllib.loads(examples.text(examples.names()[0])), "main")
    assert case.shaft.diameter == 22
    assert (case.sleeve.flange_thickness, case.sleeve.flange_diameter) == (6, 52)
    assert (case.screws.count, case.screws.size) == (6, "M4")
    assert case.friction.bore.low < case.friction.bore.nominal < case.friction.bore.high


def test_an_unknown_example_has_no_text():
    with pytest.raises(CaseError, match="no such example; there are sprocket_hub"):
        examples.text("../params")


@pytest.mark.parametrize("name", [None, *examples.names()])
def test_a_new_case_is_the_text_of_an_example(tmp_path, name):
    path = tmp_path / "new.toml"
    starter.write(path, name)
    assert path.read_text(encoding="utf-8") == examples.text(name or examples.names()[0])
    assert Case.read(path).title != "new"


def test_a_new_case_never_replaces_a_file(tmp_path):
    path = tmp_path / "mine.toml"
    path.write_text("mine")
    with pytest.raises(CaseError, match="exists already"):
        starter.write(path)
    assert path.read_text() == "mine"


def test_an_unknown_example_is_refused_with_the_nearest(tmp_path):
    with pytest.raises(CaseError, match="did you mean spindle"):
        starter.write(tmp_path / "new.toml", "spindel")
    assert not (tmp_path / "new.toml").exists()


def test_a_place_that_does_not_exist_is_refused(tmp_path):
    with pytest.raises(CaseError, match="can't be written"):
        starter.write(tmp_path / "nowhere" / "new.toml")
