"""What the terminal shows: decision, corners, verdicts, screws and advice, for a run and by hand."""

from pathlib import Path

from helpers import decided
from helpers import results as made
import pytest

from colletfea.cases.casefile.case import Case
from colletfea.cases.report import corner_words, helps, lines
from colletfea.cases.summary import by_hand


def test_a_run_shows_what_was_decided_first():
    found = lines.run_lines(decided.holding(made.summary()), Path("r/report.html"))
    text = "\n".join(found)
    assert found[0].startswith("Six M5 8.8 at 5.17 N·m: clamp force 23.0 to 36.8 kN")
    for piece in (
        "clamp force to apply, least to greatest", "loosest fit, worst friction     54.0 µm      23.0 kN     0.447 mm", "144, 180, 330 MPa",
        "ok         Ring does not yield away from edges: 330.0 MPa against 358.0 MPa, margin 1.08 (tightest fit,", "Tighten crosswise in rounds",
        "three jacking screws M5, up to 3.3 kN each", "Report: r/report.html",
    ):  # fmt: skip
        assert piece in text
    assert max(map(len, found)) <= 130


@pytest.mark.parametrize("name", ["sprocket_hub", "closed_hub", "spindle", "stainless_fingers", "bronze_sleeve"])
def test_hand_shows_the_same_as_far_as_formulas_judge(name):
    found = lines.hand_lines(by_hand(Case.example(name)))
    text = "\n".join(found)
    assert "Clamp force needed: " in text and "not judged Shaft does not yield away from edges: " in text and "refined" in text
    assert "Ring stays when the clamp force is removed: yes" not in text and "None" not in text


@pytest.mark.parametrize("name, data", [(name, data) for name, data, _ in made.variants()])
def test_the_terminal_survives_every_null(name, data):
    text = "\n".join(lines.run_lines(data, Path("r")))
    assert "None" not in text and "nan" not in text


def test_corners_bear_the_names_that_a_designer_uses():
    data = made.summary()
    assert [corner_words.name(data, c) for c in ("nominal", "grip", "tight", "loose")] == [
        "middle fit, nominal friction", "loosest fit, worst friction", "tightest fit, greatest force", "loosest fit, greatest force",
    ]  # fmt: skip
    data["case"]["sleeve"]["fit"] = None
    assert [corner_words.name(data, c) for c in ("nominal", "grip", "tight")] == ["nominal friction", "worst friction", "greatest force"]
    data["case"]["friction"] = {"cone": 0.1, "bore": [0.12, 0.12, 0.12]}
    assert corner_words.name(data, "nominal") == "as given" and corner_words.at(data, "nominal") == ""
    assert corner_words.name(data, None) == ""


@pytest.mark.parametrize("reason, words", [
    ("travel", ""), ("force", ""), ("duty", ""), ("flange met", "the ring met the flange"), ("slots shut", "the slots shut"),
    ("yield", "a part reached its permitted stress"), ("collapse", "a part flowed through its wall and carried no more"),
    ("overstrained", "a part was strained past all elasticity"), ("interrupted", "the run was interrupted"),
    ("not converged", "no equilibrium was found beyond this point"),
])  # fmt: skip
def test_a_corner_that_ended_short_of_what_was_asked_says_why(reason, words):
    """Beside its travel."""
    data = decided.holding(made.summary())
    data["corners"] = [{**data["corners"][0], "stop_reason": reason}]
    assert corner_words.rows(data)[0][3] == "0.317 mm" + f" ({words})" * bool(words)


def entry(key, torque, force, margin):
    return {
        "key": key, "value": 2.2, "unit": "mm", "changed_to": 2.09, "torque_capacity_Nm": torque, "clamp_force_N": force, "travel_mm": 0.3,
        "yield_margin": margin,
    }  # fmt: skip


def test_what_helps_is_ranked_for_the_verdict_that_fails_first():
    changes = [entry(None, 90.1, 22976.8, 1.0), entry("sleeve.nose_wall", 95.0, 22500.0, 0.98), entry("sleeve.taper", 99.0, 22800.0, 1.2)]
    data = {**decided.holding(made.summary()), "sensitivities": changes}
    keys = lambda: [line.split()[0] for line in helps.lines(data)[1:]]  # noqa: E731
    assert "less clamp force" in helps.lines(data)[0] and keys() == ["sleeve.nose_wall", "sleeve.taper"]
    data["verdicts"] = decided.verdicts(slip={"ok": False}, yield_ring={"ok": False})
    assert "more torque" in helps.lines(data)[0] and keys() == ["sleeve.taper", "sleeve.nose_wall"]
    assert "torque 99.0 N·m instead of 90.1 N·m (+9.9 %)" in helps.lines(data)[1]
    data["verdicts"] = decided.verdicts(yield_ring={"ok": False})
    assert "less stress" in helps.lines(data)[0] and keys() == ["sleeve.taper"]
    assert helps.lines({**data, "sensitivities": [changes[0], entry("sleeve.length", 90.1, 22976.8, 1.014)]}) == []  # runs were 2 % worse than told
    assert helps.lines({**data, "sensitivities": []}) == []
    data["sensitivities"] = [changes[0], entry("sleeve.nose_wall", 90.1, 22976.8, 1.003)]  # +0.3 %: less than what is known
    assert helps.lines(data) == []
