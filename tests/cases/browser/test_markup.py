"""What the page's results leave out."""

import pytest

from colletfea.cases.browser import markup
from colletfea.cases.browser.tab import Shown
from colletfea.cases.casefile.case import Case
from colletfea.cases.summary import by_hand


@pytest.mark.parametrize("given, there", [({}, False), ({"push.force": 2700.0}, True)])
def test_a_search_that_ended_in_vain_leaves_no_force_to_apply(given, there):
    """The ring meets the flange before anything is carried: no clamp force, no torque of a screw and no word of tightening, but for a force that was asked for."""
    hand = by_hand(Case.example("sprocket_hub").changed({"ring.start": 0.3, **given}))
    shown = markup.results(Shown(hand=hand), None)
    assert hand["clamp"]["needed_N"] is None and hand["clamp"]["least_N"] > 0
    for words in ("Clamp force, least", "Clamp force, greatest", "Tightening torque of a screw", "Preload of a screw", "Use of a screw", "How to tighten"):
        assert (words in shown) is there, words
    assert "Torque that can be used" in shown and "Screw circle" in shown
