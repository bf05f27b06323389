"""What is said of a force, a torque or a cone that does not do, and what would: no cure is named that is none."""

from helpers import decided
from helpers import results as made
import pytest

from colletfea.cases.report import decision, failing, key_numbers, screw_lines


def holding(**changes):
    return {**decided.holding(made.summary()), **changes}


def text(data):
    return " ".join(decision.sentences(data))


@pytest.mark.parametrize("reason", ["travel", "collapse", "overstrained"])
def test_a_force_that_no_push_comes_to_is_none_to_apply(reason):
    """Nor are there screws for it; where a travel is asked for, its end is what was asked."""
    data = holding(screws=None)
    data["case"]["screws"], data["case"]["push"] = None, {"travel": None, "force": 23000.0}
    data["corners"] = [{**c, "stop_reason": reason, "push_force_N": force} for c, force in zip(data["corners"], (21e3, 22e3, 19e3, 20e3))]
    shown = text(data)
    assert "; asked for are 23.0 to 36.8 kN, and pushes end before that, at 19.0 to 22.0 kN." in shown and "brings" not in shown and "no set" not in shown
    assert ("23.0 to 36.8 kN", "clamp force, which these pushes do not all reach") in key_numbers.front(data)
    data["case"]["push"] = {"travel": 0.5, "force": None}
    assert dict(key_numbers.front(data))["23.0 to 36.8 kN"] == "clamp force that this travel takes"


@pytest.mark.parametrize("force, would", [(9800.0, "pull harder, or give less sleeve.taper"), (9600.0, "pull with 22.98 kN at least")])
def test_less_taper_is_no_cure_for_a_cone_that_locks(force, would):
    """There the thrust alone, 1.5 times 6400 N, draws the ring off."""
    data = holding(verdicts=decided.verdicts(self_locking={"ok": False, "value": force, "limit": 9000.0, "unit": "N"}))
    data["case"]["duty"]["thrust"] = 6400.0
    assert f"the clamp force may be as low as 9.000 kN: {would}." in decision.answer(data)
    data["clamp"]["needed_N"] = None
    data["corners"][1]["stop_reason"] = "yield"  # no pull does
    assert "pull with" not in text(data)


def test_the_end_of_the_seat_has_one_cure():
    """Found by hand on a soft ring: more seat without more ring carries less, for more of it has to be closed."""
    data = holding(verdicts=decided.verdicts(bottoming={"ok": False, "value": 19.0, "limit": 19.0}))
    data["case"]["sleeve"]["flange_thickness"], data["clamp"]["needed_N"] = 0, None
    data["corners"][1]["stop_reason"] = "travel"
    first, never, *_ = decision.sentences(data)
    cure = ": give ring.start or ring.length more, or choose a tighter sleeve.fit."
    assert "end of its seat" in first and first.endswith(cure) and "end of the seat" in never and never.endswith(cure)


def test_screws_are_not_told_to_be_tightened_for_a_force_that_does_not_carry():
    data = holding()
    assert len(screw_lines.short(data)) == 3
    data["clamp"].update(least_N=20000.0, greatest_N=32000.0)
    assert len(screw_lines.short(data)) == 1 and "Tighten" not in screw_lines.short(data)[0]


@pytest.mark.parametrize("used, said", [(0.852, "85.2"), (1.019, "102")])
def test_screws_that_bear_too_much_are_not_at_a_hundred_percent(used, said):
    data = holding()
    data["screws"]["utilisation"] = used
    assert f"at {said} % of what they bear." in screw_lines.short(data)[0]


def test_a_push_that_a_thrust_alone_outweighs_is_told_as_one():
    """Nothing is carried by friction there: the push keeps the ring on."""
    off = {"name": "cone_slip", "value": 4000.0, "limit": 4500.0, "unit": "N", "margin": 0.889, "ok": False, "because": "", "corner": "grip"}
    data = {**decided.holding(made.summary()), "verdicts": [off]}
    (said,) = failing.clauses(data)
    assert said == "the thrust draws the ring off: it is pushed on with 4.000 kN, and 4.500 kN are asked for (loosest fit, worst friction)"
