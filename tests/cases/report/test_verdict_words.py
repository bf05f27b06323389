"""Verdicts as they are shown: margins beside their word, units in one form."""

from helpers import decided, results
import pytest

from colletfea.cases.report import verdict_words


def verdict(margin, ok, **more):
    return {"name": "slip", "value": 67.5, "limit": 90.0, "unit": "N m", "margin": margin, "ok": ok, "because": "", "corner": "grip", **more}


@pytest.mark.parametrize("margin, ok, text", [
    (0.75, False, "0.750"), (1.0, True, "1.00"), (1.0, False, "1.000"), (0.9989, False, "0.999"), (28.1, True, "28.1"),
    (1e6, True, "over 1000"), (0.0, False, "0"), (None, None, "–"),
])  # fmt: skip
def test_margin_never_reads_as_enough_beside_not_ok(margin, ok, text):
    assert verdict_words.margin(verdict(margin, ok)) == text


def test_moments_are_shown_in_one_form_and_the_corner_by_its_name():
    assert verdict_words.against(verdict(0.75, False)) == ("67.50 N·m", "90.00 N·m")
    assert verdict_words.short_row(results.summary(), verdict(0.75, False)) == [
        "Bore holds torque and thrust", "not ok", "67.50 N·m", "90.00 N·m", "0.750", "loosest fit, worst friction",
    ]  # fmt: skip


def test_what_only_tells_is_not_missing():
    """A ring that can let go is no gap in the decision, nor are jacking screws where nothing must be pushed off."""
    data = decided.holding(results.summary())
    assert verdict_words.missing(data) == []
    data["verdicts"] = decided.verdicts(jacking={"ok": None}, neck={"ok": None})
    assert [v["name"] for v in verdict_words.missing(data)] == ["neck", "jacking"]
    data["screws"]["jacking"].update(force_N=0.0)
    assert [v["name"] for v in verdict_words.missing(data)] == ["neck"]


def test_the_reason_of_what_formulas_do_not_judge_is_the_last_part():
    assert verdict_words.reason(verdict(1.0, None, because="stress at 3 kN. Not judged by hand: fingers; run the case")) == "fingers; run the case"
    assert verdict_words.reason(verdict(1.0, None, because="there is no simple formula.")) == "there is no simple formula"
