"""Numbers in the sentence that may be signed are rounded to the side that is safe to read off."""

from helpers import decided
from helpers import results as made
import pytest

from colletfea.cases.report import decision, force_words


def pushed(*travels, reason="force"):
    """Results whose corners came to travels [mm]."""
    return {"corners": [{"travel_mm": travel, "stop_reason": reason} for travel in travels]}


@pytest.mark.parametrize(
    "travels, words",
    [
        ((0.3179, 0.45, 0.6121), "0.31 to 0.62 mm"),  # to the nearest these were 0.32 to 0.61
        ((0.3121, 0.6179), "0.31 to 0.62 mm"),
        ((0.29, 0.57), "0.29 to 0.57 mm"),  # 0.29/0.01 is 28.999999999999996 in a machine, 0.57/0.01 56.99999999999999
        ((0.07, 0.14), "0.07 to 0.14 mm"),  # 0.07/0.01 is 7.000000000000001, 0.14/0.01 14.000000000000002
        ((0.0318, 0.0612), "0.031 to 0.062 mm"),
        ((0.0318, 0.1612), "0.03 to 0.17 mm"),
        ((0.31, 0.31), "0.31 mm"),
        ((0.0, 0.3179), "0.318 mm"),
        ((0.0,), ""),
    ],
)
def test_travels_are_rounded_outward(travels, words):
    """The least down, the greatest up, by 0.01 mm, short ones by 0.001; one alone stands as it is."""
    assert force_words.travel(pushed(*travels)) == words


def test_a_push_that_ended_early_has_no_travel_to_give():
    assert force_words.travel({"corners": pushed(0.2, reason="interrupted")["corners"] + pushed(0.3)["corners"]}) == "0.300 mm"


@pytest.mark.parametrize("carried, times", [(92.9, "1.54"), (89.97, "1.5"), (89.94, "1.49"), (120.0, "2"), (1007.9, "16.8")])
def test_a_slip_is_rounded_down(carried, times):
    """N m over the 60 of the duty: 1.5483 is 1.54 and no 1.55; within 5e-4 of the next hundredth 1.4995 counts as 1.5 and 16.798 as 16.8, 1.499 does not."""
    data = decided.holding(made.summary())
    data["verdicts"] = decided.verdicts(slip={"value": carried})
    assert f"slips at {times} times the duty;" in decision.answer(data)
