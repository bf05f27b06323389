"""Sentences of terminal and page: slit formulas, notes, advice."""

from helpers.hand import closed_case, slit_case

from colletfea.cases.hand.calculation import hand
from colletfea.cases.hand.slit_model import Slits
from colletfea.cases.report import sentences


def test_slit_formulas_speak_in_figures():
    """Formula and scatter, peak round the circumference, bending and where it is greatest, and when the slots shut."""
    block = {
        "formula": "a ring with a slit", "scatter_percent": 6.0, "cone_peak_factor": 1.65, "bending_stress_MPa": 43.0,
        "shuts_at_closing_mm": 0.2387,
    }  # fmt: skip
    law, peak, bending, shut = sentences.slit_lines(block)
    assert "a ring with a slit" in law and "6.0 %" in law and "1.65 times its mean" in peak
    assert "43.0 MPa" in bending and "90 degrees from a slit" in bending and "0.239 mm" in shut
    assert sentences.slit_lines({**block, "cone_peak_factor": None}) == [law, bending, shut] and sentences.slit_lines(None) == []


def test_advice_reads_as_sentences():
    case = slit_case(Slits("through", 1, 1.5, 0.0, False), (6.0, 52.0))
    lines = sentences.advice_lines(hand(case)["advice"])
    assert any("cuts_flange" in line for line in lines) and all(line.endswith(".") for line in lines)
    assert "more friction in the bore" in lines[-2] and "Other checks change" in lines[-1]
    assert not any("\n" in line or "None" in line for line in lines) and sentences.advice_lines([]) == []


def test_advice_tells_the_force_it_lowers_and_what_it_was():
    designed = {"lowers": "closing", "key": None, "change": "as designed", "closing_force_N": 4000.0, "grip_force_N": 900.0, "clamp_force_N": 4900.0}
    better = {"lowers": "grip", "key": "friction.bore", "change": "bore friction of 0.2", "closing_force_N": 4000.0, "grip_force_N": 600.0, "clamp_force_N": 4600.0}
    assert sentences.advice_lines([designed, better])[0] == (
        "Bore friction of 0.2 (friction.bore): grip force 600.0 N instead of 900.0 N, clamp force 4.600 kN instead of 4.900 kN."
    )
    open_ended = sentences.advice_lines([designed, {**better, "clamp_force_N": None}])[0]
    assert open_ended.endswith("grip force 600.0 N instead of 900.0 N.")


def test_a_note_names_the_values_it_is_about():
    notes = [{"key": f"{column}.grip_travel_mm", "because": "rigid"} for column in ("plain", "refined")]
    notes += [{"key": "refined.stress_MPa.sleeve_von_mises", "because": "bending is left out"}]
    assert sentences.note_lines(notes) == [
        "Grip travel (plain, refined): rigid.", "Sleeve von Mises stress (refined): bending is left out.",
    ]  # fmt: skip
    assert not [line for line in sentences.note_lines(hand(closed_case())["notes"]) if "_" in line]
