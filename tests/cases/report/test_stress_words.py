"""What stands under a part's peaks: error of its field, and the wall that would do."""

import pytest

from colletfea.cases.report import stress_words

ERROR = {"relative": 0.021, "clear_relative": 0.0123, "at_peak_MPa": 5.0}
WALL = {"part": "ring", "key": "ring.outer_diameter", "value": 46.0, "changed_to": 49.2, "wall_mm": 10.42, "unit": "mm", "stress_MPa": 350.0}


def data(value=300.0, limit=358.0, walls=(), error=ERROR):
    verdict = {"name": "yield_ring", "value": value, "limit": limit, "ok": value <= limit}
    return {"verdicts": [verdict], "stress_error": {"ring": error}, "walls": list(walls)}


@pytest.mark.parametrize(
    "value, said",
    [(300.0, "58 MPa to spare: more than this error"), (400.0, "42 MPa too much: more than this error"), (355.0, "within this error: run with --fine"), (361.0, "within this error")],
)
def test_error_of_the_field_beside_the_verdict_s_room(value, said):
    (line,) = stress_words.lines(data(value), "ring")
    assert "2.1 % of the part's stress" in line and "1.2 % clear" in line and "off by about 5.0 MPa" in line and said in line


def test_a_wall_is_told_with_its_key_and_is_to_be_confirmed():
    _, line = stress_words.lines(data(400.0, walls=[WALL]), "ring")
    assert "a wall of about 10 mm at its thinnest place (ring.outer_diameter = 49.20) would bring it to 350 MPa" in line
    assert "to be confirmed by a run" in line


def test_no_wall_that_does_is_told_too():
    _, line = stress_words.lines(data(400.0, walls=[{**WALL, "changed_to": None, "wall_mm": None, "stress_MPa": None}]), "ring")
    assert "no other wall from half to twice this one" in line


def test_older_results_have_neither():
    assert stress_words.lines({"verdicts": []}, "ring") == [] and stress_words.source({}) == ""
    assert stress_words.lines(data(error=None), "shaft") == [] and "Zienkiewicz" in stress_words.source(data())


def test_what_slits_do_stands_beside_the_sleeve_s_field():
    slits = {"cone_peak_factor": 1.65, "bending_stress_MPa": 43.0}
    told = {"verdicts": [], "hand": {"slits": slits}, "case": {"sleeve": {"clearance": 0.027}}}
    (line,) = stress_words.lines(told, "sleeve")
    assert "at the slot edges: about 1.65 times its mean" in line and "43.0 MPa by hand for a clearance of 27.0 µm" in line and "adds it in full" in line
    slits |= {"bending_stress_MPa": None}
    (line,) = stress_words.lines(told, "sleeve")
    assert "no simple formula, and the verdict leaves it out" in line and "by hand" not in line
    assert stress_words.lines(told, "ring") == [] and stress_words.lines({**told, "hand": {"slits": None}}, "sleeve") == []


def test_bending_by_hand_names_the_middle_clearance_of_a_fit():
    """A case with a fit has no clearance of its own."""
    hand = {"slits": {"cone_peak_factor": 1.65, "bending_stress_MPa": 43.0}, "fit": {"middle": {"clearance_mm": 0.027}}}
    (line,) = stress_words.lines({"verdicts": [], "hand": hand, "case": {"sleeve": {"clearance": None}}}, "sleeve")
    assert "43.0 MPa by hand for a clearance of 27.0 µm" in line
