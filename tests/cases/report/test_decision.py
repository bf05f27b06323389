"""Words of the decision: margins beside their word, units in one form."""

import pytest

from colletfea.cases.report import decision


def verdict(margin, ok, **more):
    return {"name": "slip", "value": 67.5, "limit": 90.0, "unit": "N m", "margin": margin, "ok": ok, "because": "", **more}


@pytest.mark.parametrize("margin, ok, text", [
    (0.75, False, "0.750"), (1.0, True, "1.00"), (1.0, False, "1.000"), (0.9989, False, "0.999"), (28.1, True, "28.1"),
    (1e6, True, "over 1000"), (0.0, False, "0"), (None, None, "–"),
])  # fmt: skip
def test_margin_never_reads_as_enough_beside_not_ok(margin, ok, text):
    assert decision.margin(verdict(margin, ok)) == text


def test_moments_are_shown_in_one_form():
    assert decision.against(verdict(0.75, False)) == ("67.50 N·m", "90.00 N·m")
    assert decision.verdict_row(verdict(0.75, False))[:4] == ["Bore holds torque and thrust", "67.50 N·m", "90.00 N·m", "0.750"]
