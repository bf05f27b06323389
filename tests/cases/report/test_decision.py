"""The decision: what may be signed, what fails and would do, what no pull can save, what was not judged."""

from pathlib import Path

from helpers import decided
from helpers import results as made
import pytest

from colletfea.cases.report import corner_words, decision, helps, key_numbers, lines, screw_lines
from colletfea.cases.report import decided as chapters

SIGNED = (
    "Six M5 8.8 at 5.17 N·m: clamp force 23.0 to 36.8 kN, ring travel 0.31 to 0.62 mm; at the loosest fit and the worst friction "
    "the seat slips at 1.5 times the duty; away from edges of contact everything stays elastic at the greatest preload; three M5 push the ring off with 3.3 kN each."
)


def holding(**changes):
    return {**decided.holding(made.summary()), **changes}


def weak():
    """The block of screws that are too weak."""
    return {**decided.screws(), "strong": False, "utilisation": 1.2, "because": "each screw gets up to 6133 N, and bears 5110 N"}


def failing(**verdicts):
    more = {"screws": weak()} if "screws" in verdicts else {}
    return holding(verdicts=decided.verdicts(**{name: {"ok": False, **more} for name, more in verdicts.items()}), **more)


def text(data):
    return " ".join(decision.sentences(data))


def test_the_first_sentence_may_be_signed():
    data = holding()
    assert decision.answer(data) == SIGNED and decision.standing(data) is True
    assert "Clamp force needed: 22.98 kN at least (loosest fit, worst friction); to apply: 23.0 to 36.8 kN." in text(data)
    assert "never loosen them under load" in text(data)


@pytest.mark.parametrize(
    "name, gone",
    [
        ("slip", "slips at"), ("yield_ring", "everything stays elastic"), ("yield_shaft", "everything stays elastic"),
        ("neck", "everything stays elastic"),
        ("screws", "Six M5 8.8 at"), ("screws", "at the greatest preload"), ("screw_room", "Six M5 8.8 at"), ("jacking", "push the ring off"),
    ],
)  # fmt: skip
def test_nothing_is_signed_that_was_not_judged_ok(name, gone):
    data = holding(verdicts=decided.verdicts(**{name: {"ok": None, "because": "no numbers"}}))
    assert gone not in decision.answer(data) and decision.standing(data) is None
    assert "Not judged: " in text(data) and "(no numbers)" in text(data)


@pytest.mark.parametrize("pattern", ["fingers", "alternating"])
def test_bending_between_slots_is_told_to_be_left_out(pattern):
    data = holding()
    data["case"]["sleeve"]["slits"]["pattern"] = pattern
    assert "stays elastic at the greatest preload, but for bending between the slots, which is not judged;" in decision.answer(data)


@pytest.mark.parametrize(
    "name, more, words",
    [
        ("yield_ring", {"value": 418.0}, "the ring comes to 418.0 MPa, against 358.0 MPa permitted (tightest fit, greatest force): give ring.material a yield of 502 MPa"),
        ("yield_ring", {"value": 418.0}, "tighten with less scatter (screws.tightening_scatter)"),
        ("bottoming", {"value": 3.2}, "the ring travels 3.200 mm and has 3.000 mm to the flange (loosest fit, greatest force): give ring.start more"),
        ("slots", {}, "give sleeve.slits.width more"),
        ("self_locking", {"value": 9800.0, "limit": 9000.0, "unit": "N"}, "the ring is driven off the cone with 9.800 kN, and the clamp force may be as low as 9.000 kN: pull harder"),
        ("neck", {}, "give sleeve.nose_wall more"),
        ("slip", {"value": 67.5}, "the bore carries 67.50 of 90.00 N·m"),
        ("screws", {}, "six M5 8.8 are too weak (each screw gets up to 6133 N, and bears 5110 N): six M4 10.9 at 4.22 N·m on a circle of 37.30 mm would do"),
        ("jacking", {"value": 1.2}, "give screws.jacking = 4 or more"),
    ],
)  # fmt: skip
def test_a_failed_verdict_is_named_with_its_corner_and_what_would_do(name, more, words):
    data = failing(**{name: more})
    assert decision.answer(data).startswith("It does not hold as it stands: ") and words in decision.answer(data)
    assert decision.standing(data) is False and "Clamp force needed: 22.98 kN" in text(data)


def test_a_ring_that_meets_the_flange_says_that_the_rest_of_the_pull_is_of_no_use():
    data = holding()
    data["corners"] = [{**c, "stop_reason": "flange met", "push_force_N": 28100.0} if c["name"] == "loose" else c for c in data["corners"]]
    words = "at the loosest fit and the greatest force the ring meets the flange at 28.1 kN, and the rest of the pull stands on the flange;"
    assert words in decision.answer(data)


def test_one_push_has_one_travel():
    data = holding()
    data["corners"] = [{**data["corners"][0], "travel_mm": 0.2721}]
    assert "ring travel 0.272 mm;" in decision.answer(data)


def test_a_seat_that_opens_is_not_helped_by_more_torque():
    data = failing(seat_open={})
    data["sensitivities"] = [{"key": "friction.bore", "torque_capacity_Nm": 99.0, "clamp_force_N": 22e3}]
    data["verdicts"] = [v for v in data["verdicts"] if v["name"] != "bottoming"]
    assert helps.lines({**data, "verdicts": [{"name": "seat_open", "ok": False}]}) == []


def test_a_pull_that_is_too_small_is_told_with_the_one_that_does():
    data = failing(slip={"value": 67.5, "margin": 0.75})
    data["clamp"] = {**data["clamp"], "least_N": 20000.0, "greatest_N": 32000.0}
    data["case"]["push"]["force"] = 20000.0
    assert "the bore carries 67.50 of 90.00 N·m (loosest fit, worst friction): pull with 22.98 kN at least" in decision.answer(data)
    assert "what is asked for brings 20.0 to 32.0 kN" in text(data)


@pytest.mark.parametrize(
    "reason, key", [("flange met", "ring.start"), ("slots shut", "sleeve.slits.width"), ("yield", "stronger material"), ("travel", "ring.length")]
)  # fmt: skip
def test_a_duty_that_no_pull_carries_names_the_end_and_the_key(reason, key):
    data = failing(slip={"value": 20.0, "margin": 0.22})
    data["clamp"] = {**data["clamp"], "needed_N": None}
    data["corners"] = [{**c, "stop_reason": reason} if c["name"] == "grip" else c for c in data["corners"]]
    never = decision.sentences(data)[1]
    assert never.startswith("It cannot work at any pull, because at the loosest fit and the worst friction") and key in never
    assert "Clamp force needed: no pull carries the duty (loosest fit, worst friction)" in text(data)


def test_a_ring_that_comes_to_the_end_of_its_seat_is_told_so():
    data = failing(bottoming={"value": 19.0, "limit": 19.0})
    data["case"]["sleeve"]["flange_thickness"] = 0
    said = decision.answer(data)
    assert "the ring comes to the end of its seat after 19.00 mm (loosest fit, greatest force), and no greater pull can be reached: " in said
    assert "give ring.start or ring.length more, or choose" in said and "to the flange" not in said


def test_a_push_that_yield_ended_does_not_tell_how_strong_a_part_must_be():
    data = failing(yield_ring={"value": 358.3})
    data["corners"] = [{**c, "stop_reason": "yield"} if c["name"] == "tight" else c for c in data["corners"]]
    first = decision.answer(data)
    assert "the push ended there, and what the rest of it asks for is not known: give ring.outer_diameter more, or a stronger ring.material" in first
    assert "a yield of" not in first


def test_a_travel_that_a_corner_did_not_come_to_has_no_force():
    data = holding()
    data["case"]["push"] = {"travel": 0.6}
    data["corners"] = [{**c, "stop_reason": "travel"} for c in data["corners"]]
    assert "; at the travel that is asked for it is" in text(data)
    data["corners"] = [{**c, "stop_reason": "yield"} if c["name"] == "grip" else c for c in data["corners"]]
    assert "; before the travel that is asked for, a part reached its permitted stress there" in text(data)


def test_where_a_search_ended_is_no_force_to_apply():
    """No card, no screws and no word of tightening for a force that carries nothing; one that was given is told all the same."""
    data = failing(slip={"value": 0.0, "margin": 0.0})
    data["clamp"] = {**data["clamp"], "needed_N": None, "least_N": 2290.0, "greatest_N": 3664.0}
    cards = dict((what, value) for value, what in key_numbers.front(data))
    assert cards["push at which the search for a force that carries ended"] == "2.29 kN"
    assert not any("to apply" in what or "screws" in what for what in cards) and screw_lines.short(data) == []
    assert "Tighten" not in chapters.screws(data) and "Clamp force: none to apply." in chapters.corners(data)
    data["case"]["push"]["force"] = 2290.0
    assert ("2.29 to 3.66 kN", "clamp force of these pushes, least to greatest") in key_numbers.front(data) and screw_lines.short(data)


def test_one_corner_of_a_run_that_ended_does_not_stand_for_all():
    data = holding()
    data["corners"] = [{**data["corners"][0], "stop_reason": "interrupted"}]
    assert corner_words.friction_said(data) == "The run ended before the other corners were pushed."
    data["corners"][0]["stop_reason"] = "force"
    assert "One push stands for all" in corner_words.friction_said(data)


@pytest.mark.parametrize("reason", ["flange met", "slots shut", "yield"])
@pytest.mark.parametrize("fit, advised", [("H8/h7", "choose a tighter sleeve.fit."), (None, "choose less sleeve.clearance.")])
def test_less_play_is_advised_by_the_key_that_the_case_has(reason, fit, advised):
    """A case with both keys is refused, so the other one would be no help."""
    data = failing(slip={"value": 20.0}, bottoming={"value": 3.2})
    data["case"]["sleeve"] |= {"fit": fit, "clearance": None if fit else 0.027}
    data["clamp"] = {**data["clamp"], "needed_N": None}
    data["corners"] = [{**c, "stop_reason": reason} if c["name"] == "grip" else c for c in data["corners"]]
    said = decision.sentences(data)
    assert advised in said[1] and f"give ring.start more, or {advised}" in said[0]


def test_a_part_that_yields_at_the_force_needed_can_be_saved_by_no_pull():
    data = failing(yield_sleeve={"value": 485.0, "corner": "loose"})
    data["corners"][1]["von_mises_MPa"] = {"shaft": 60.0, "sleeve": 400.0, "ring": 200.0}
    never = decision.sentences(data)[1]
    assert never.startswith("It cannot work at any pull") and "the sleeve is past its permitted stress at 23.0 kN" in never
    data["corners"][1]["von_mises_MPa"]["sleeve"] = 350.0
    assert "cannot work" not in text(data)
    data["corners"][1].update(push_force_N=40000.0)  # pulled far harder than needed: a smaller pull may do
    data["corners"][1]["von_mises_MPa"]["sleeve"] = 400.0
    assert "cannot work" not in text(data)


def test_a_shaft_that_the_duty_alone_overloads_can_be_saved_by_no_pull():
    data = failing(yield_shaft={"value": 230.0, "limit": 196.0, "corner": "tight"})
    data["shaft_load"] = {"torsion_MPa": 125.7, "bending_MPa": 0.0, "von_mises_MPa": 217.7}
    never = decision.sentences(data)[1]
    assert never.startswith("It cannot work at any pull, because the duty's torque alone puts 218 MPa") and "more shaft.diameter" in never
    assert "196 MPa are permitted" in never
    data["shaft_load"]["von_mises_MPa"] = 195.0
    assert "cannot work" not in text(data)


@pytest.mark.parametrize("part, what", [("ring", ": tighten with less scatter"), ("shaft", ": choose a larger shaft.diameter")])
def test_no_material_is_asked_to_carry_more_than_any_does(part, what):
    """Up to the 100 000 MPa that a case file may give: with a safety of 1.2 they take 99 600 and 100 800 MPa."""
    more = {"corner": "tight"} if part == "ring" else {"corner": "grip"}
    data = failing(**{f"yield_{part}": {**more, "value": 83000.0}})
    assert f"give {part}.material a yield of 99 600 MPa or more" in decision.answer(data).replace("\u202f", " ")
    data = failing(**{f"yield_{part}": {**more, "value": 84000.0}})
    assert f", and no {part}.material carries that{what}" in decision.answer(data) and "a yield of" not in decision.answer(data)


def test_a_shaft_that_no_material_saves_from_its_duty_is_given_none():
    """358 MPa are permitted of 430, so 84 000 would take a yield of 100 900 MPa, 83 000 one of 99 700."""
    data = failing(yield_shaft={"value": 84000.0, "limit": 358.0})
    data["shaft_load"] = {"torsion_MPa": 48000.0, "bending_MPa": 0.0, "von_mises_MPa": 84000.0}
    assert "give more shaft.diameter." in decision.sentences(data)[1]
    data["shaft_load"]["von_mises_MPa"] = 83000.0
    assert "give more shaft.diameter or a stronger shaft.material." in decision.sentences(data)[1]


@pytest.mark.parametrize("which", ["nominal", "loose"])
def test_partial_results_are_no_decision(which):
    data = holding()
    data["corners"] = [{**c, "stop_reason": "not converged"} if c["name"] == which else c for c in data["corners"]]
    assert decision.answer(data).startswith("No decision: ") and decision.standing(data) is False


def test_without_screws_a_set_is_proposed():
    data = holding(screws=None, screws_proposed={"count": 4, "size": "M6", "property_class": "8.8", "tightening_torque_Nm": 9.5, "circle_mm": 38.2})
    data["case"]["screws"] = None
    assert "The case names no screws: four M6 8.8 at 9.50 N·m on a circle of 38.20 mm would do." in decision.sentences(data)
    assert "Four M6 8.8 at 9.50 N·m on a circle of 38.20 mm would do" in chapters.screws(data) and "Four M6 8.8 at 9.50 N·m on a circle of 38.20 mm would do, crosswise" in screw_lines.short(data)[0]
    assert decision.answer(data).startswith("Clamp force 23.0 to 36.8 kN")
    assert "no set of the tables brings this force" in text({**data, "screws_proposed": None})


def hopeless(strong=True, **changes):
    """Sleeve past its permitted stress at the force needed."""
    data = holding(verdicts=decided.verdicts(yield_sleeve={"ok": False, "value": 485.0, "corner": "loose"}, screws={"ok": strong}), **changes)
    data["corners"][1]["von_mises_MPa"] = {"shaft": 60.0, "sleeve": 400.0, "ring": 200.0}
    return data


@pytest.mark.parametrize("needed", [None, 22971.0])
def test_no_set_of_screws_would_do_where_no_pull_does(needed):
    named = {"count": 4, "size": "M6", "property_class": "8.8", "tightening_torque_Nm": 9.5, "circle_mm": 38.2}
    free, given = hopeless(screws=None, screws_proposed=named), hopeless(strong=False, screws=weak())
    free["case"]["screws"] = None
    for data in (free, given):
        data["clamp"] = {**data["clamp"], "needed_N": needed}
        shown = text(data) + str(key_numbers.front(data)) + str(screw_lines.short(data)) + chapters.screws(data)
        assert "would do" not in shown and "no set of the tables" not in shown and "to apply" not in shown
        card = "clamp force of these pushes, least to greatest" if needed else "push at which the search for a force that carries ended"
        assert card in shown and ("no screws" not in shown or data is free)
    assert "six M5 8.8 are too weak (each screw gets up to 6133 N, and bears 5110 N)." in text(given)


def test_a_force_that_is_asked_for_and_too_small_is_not_headed_as_one_to_apply():
    data = holding()
    assert "clamp force to apply, least to greatest" in dict(key_numbers.front(data)).values()
    data["clamp"] = {**data["clamp"], "least_N": 20000.0, "greatest_N": 32000.0}
    assert dict(key_numbers.front(data))["20.0 to 32.0 kN"] == "clamp force of these pushes, least to greatest"
    data["case"]["screws"] = None
    assert "no set of the tables brings the force needed" in text({**data, "screws": None, "screws_proposed": None})


def test_a_case_without_duty_has_nothing_to_hold():
    assert decision.answer(holding(verdicts=[], case={**made.summary()["case"], "duty": None})).startswith("Nothing was judged")
    assert "no duty was given" in decision.asked(made.bare_summary())


def test_a_given_travel_comes_first():
    data = holding()
    data["case"]["push"]["travel"] = 0.5
    assert "ring travel 0.31 to 0.62 mm, which takes a clamp force of 23.0 to 36.8 kN" in decision.answer(data)


def test_a_force_whose_grip_was_not_judged_is_not_signed():
    data = holding(verdicts=decided.verdicts(slip={"ok": None, "because": "Not judged by hand: fingers"}))
    del data["simulation"]
    assert not decision.answer(data).startswith("Six M5 8.8 at 5.17 N·m: clamp force") and "ring travel" not in decision.answer(data)
    assert "by formulas that do not judge this grip: a first guess." in text(data)


def test_a_collapse_names_the_part_its_force_and_what_to_change():
    verdict = {"name": "collapse", "value": 6382.0, "limit": None, "unit": "N", "margin": None, "ok": False, "because": "", "corner": "tight"}
    data = holding(verdicts=[*decided.verdicts(), verdict])
    next(c for c in data["corners"] if c["name"] == "tight").update(collapse={"part": "ring", "push_force_N": 6382.0, "travel_mm": 0.87})
    assert decision.standing(data) is False
    assert "the ring collapses at 6.382 kN (tightest fit, greatest force): it flows through its wall" in text(data)
    assert "give ring.outer_diameter more, or a stronger ring.material" in text(data)
    assert "not ok     No part collapses: 6.382 kN (tightest fit, greatest force)" in "\n".join(lines.run_lines(data, Path("r")))


@pytest.mark.parametrize("strain, percent, off", [(0.004, "0.40 %", False), (0.0099, "0.99 %", False), (0.0101, "1.0 %", True), (0.02, "2.0 %", True)])
def test_a_part_that_flows_is_given_no_yield_that_would_do(strain, percent, off):
    """Its stress stays near yield: 1.2 times that would be reached again by a metal of that yield."""
    data = failing(yield_ring={"value": 418.0})
    next(c for c in data["corners"] if c["name"] == "tight").update(flowed={"ring": {"volume_share": 0.2, "largest_strain": strain, "r_mm": 14, "z_mm": 5}})
    said = decision.answer(data)
    assert f"flows by up to {percent} plastic strain, so this does not tell how strong it has to be" in said
    assert "a yield of" not in said and "give ring.outer_diameter more, or a stronger ring.material, or tighten with less scatter" in said
    assert ("above 1 % that stress is off by twice the strain" in said) == off


def test_less_scatter_is_no_advice_where_no_pull_works():
    data = failing(yield_shaft={"value": 230.0, "limit": 196.0, "corner": "tight"})
    assert "less scatter" in text(data) and "cannot work" not in text(data)
    data["shaft_load"] = {"torsion_MPa": 125.7, "bending_MPa": 0.0, "von_mises_MPa": 217.7}
    assert "less scatter" not in text(data) and "cannot work at any pull" in text(data)


def test_a_seat_that_is_open_beside_the_slit_needs_no_radial_pull_to_open():
    """-29.8 MPa beside the slit, 6.15 by the pull: a sentence that only the pull opens it would be wrong."""
    opened = {"name": "seat_open", "value": -29.79, "limit": 6.154, "unit": "MPa", "margin": 0.0, "ok": False, "because": "", "corner": "grip"}
    said = decision.answer(holding(verdicts=[*decided.verdicts(), opened]))
    assert "the seat stands open beside the slit before any radial pull, short by 29.8 MPa of pressure, and the pull takes 6.154 MPa more" in said
    assert "choose a tighter sleeve.fit, or pull harder" in said
    said = decision.answer(holding(verdicts=[*decided.verdicts(), {**opened, "value": 4.0}]))
    assert "the radial pull opens the seat: it takes 6.154 MPa of pressure off, and 4.000 MPa are there" in said
