"""A margin never contradicts its word, whatever value and limit."""

import json

import pytest
from pytest import approx

from colletfea.cases.stored import verdict
from colletfea.cases.stored.verdict import MOST, Verdict

MOST_CASES = [(0.0, 5.0), (1e-300, 5.0), (4.0, 5.0), (4.9999, 5.0), (5.0, 5.0), (5.004, 5.0), (5.006, 5.0), (9.0, 5.0), (3.0, 0.0), (-1.0, 5.0)]


@pytest.mark.parametrize("kind", [Verdict.at_most, Verdict.at_least])
@pytest.mark.parametrize("value, limit", MOST_CASES)
def test_the_word_is_the_margins(kind, value, limit):
    found = kind("slots", value, limit, "mm", "")
    assert found.ok is (found.margin >= 1) and 0 <= found.margin <= MOST
    json.dumps(found.to_dict(), allow_nan=False)


def test_margins_by_hand():
    """Limit over value where it must stay below, value over limit where it must be reached."""
    assert Verdict.at_most("yield_ring", 200.0, 300.0, "MPa", "").margin == 1.5
    assert Verdict.at_most("yield_ring", 400.0, 300.0, "MPa", "").margin == 0.75
    assert Verdict.at_least("slip", 120.0, 90.0, "N m", "").margin == approx(4 / 3)
    assert Verdict.at_least("slip", 67.5, 90.0, "N m", "").margin == 0.75


def test_what_was_landed_on_is_reached_and_nothing_less():
    """5e-4: the duty is landed on to 2e-4, what service takes to 2e-4 more. At 1e-3 a force 0.09 % below the one needed was ok."""
    landed, short = (Verdict.at_least("slip", 90 * (1 - x), 90.0, "N m", "") for x in (4.5e-4, 5.5e-4))
    assert (landed.ok, landed.margin) == (True, 1.0)
    assert short.ok is False and short.margin == approx(1 - 5.5e-4)


def test_nothing_held_is_not_enough_and_nothing_loaded_is_safe():
    for value in (0.0, -3.0):
        nothing = Verdict.at_least("slip", value, 90.0, "N m", "")
        assert (nothing.margin, nothing.ok) == (0.0, False)
    unloaded = Verdict.at_most("yield_shaft", 0.0, 300.0, "MPa", "")
    assert (unloaded.margin, unloaded.ok) == (MOST, True)


@pytest.mark.parametrize("value, margin", [(2.98, 1.0), (3.02, 3 / 3.02)])
def test_a_limit_that_a_push_came_to_rest_on_is_not_ok(value, margin):
    met = Verdict.at_most("bottoming", value, 3.0, "mm", "the ring meets the flange").reached()
    assert met.ok is False and met.margin == approx(margin) and met.value == value


def test_not_judged_keeps_what_is_known():
    found = Verdict.unknown("neck", "no yield stress", value=12.0, unit="MPa")
    assert found.to_dict() == {
        "name": "neck", "value": 12.0, "limit": None, "unit": "MPa", "margin": None, "ok": None, "because": "no yield stress", "corner": None,
    }  # fmt: skip
    open_ended = Verdict.at_most("self_locking", 5.0, 4.0, "deg", "it can let go").unjudged()
    assert open_ended.ok is None and open_ended.margin == 0.8
    assert open_ended.adding(" at once").because == "it can let go at once"


def test_every_name_has_words_and_unknown_ones_are_spelt_as_stored():
    assert all(title[0].isupper() and subject[0].islower() for title, subject in verdict.NAMES.values())
    assert verdict.title("cone_slip") == "Cone holds torque and thrust" and verdict.subject("neck") == "strength of the sleeve's neck"
    assert verdict.title("odd_name") == verdict.subject("odd_name") == "odd name"
