"""The comparison table and its words follow from the stored numbers, and survive every null."""

import re

from helpers import results as made
import pytest

from colletfea.cases.report import comparison
from colletfea.cases.hand import calculation
from colletfea.cases.casefile.case import Case
from colletfea.cases.report.wording import deviation, number, quantity

CLOSED = {
    "shaft": {"diameter": 14.0},
    "sleeve": {"length": 12.0, "nose_wall": 1.4, "taper": 3.0, "clearance": 0.06},
    "ring": {"length": 12.0, "outer_diameter": 30.0, "start": 1.5},
    "friction": {"cone": 0.08, "bore": 0.12},
    "duty": {"torque": 40.0},
    "push": {"travel": 1.2},
}


def rows(summary):
    return {line.label: line for line in comparison.table(summary)}


def test_simulated_grip_is_what_comes_after_first_touch():
    data = made.summary()
    grip = rows(data)["Grip force, from touch to duty"].simulated
    duty, touch = data["simulation"]["at_duty"], data["simulation"]["at_touch"]
    assert grip == duty["push_force_N"] - touch["push_force_N"] > 0


def test_release_is_compared_only_where_the_push_ended_at_the_duty():
    data = made.summary()
    assert rows(data)["Release force after the duty"].simulated is None
    data["simulation"]["at_end"] = data["simulation"]["at_duty"]
    assert rows(data)["Release force after the duty"].simulated == 940.0


def test_hand_columns_alone_give_the_same_table():
    case = Case.from_tables(CLOSED, "closed")
    data = {"case": case.tables(), "hand": calculation.hand(case)}
    line = rows(data)["Clamp force for the duty"]
    assert line.simulated is None and line.refined > line.plain > 0 and line.off == "–"


def test_a_closed_sleeve_is_explained_by_pressure_passed_on_and_a_slit_one_by_force():
    case = Case.from_tables(CLOSED, "closed")
    by_hand = calculation.hand(case)
    data = {**made.summary(case=case.tables()), "hand": by_hand}
    ratio = number(by_hand["refined"]["grip_force_N"] / by_hand["plain"]["grip_force_N"], 3)
    assert f"the cone carries {ratio} N" in comparison.passes_on(data)
    assert "slit sleeve passes on force" in comparison.passes_on(made.summary())
    assert comparison.cut_flange(data) is None and comparison.cut_flange(made.summary())


def test_overhang_of_the_ring_is_measured_at_first_touch():
    data = made.summary()
    assert "the first point of the bore touches" in comparison.ring_overhangs(data)
    data["case"]["ring"]["length"] = 30.0  # 3 + 30 - 0.22 - 26 past the nose
    assert quantity(6.78, "mm", 3) in comparison.ring_overhangs(data)


def test_a_ring_shorter_than_the_sleeve_or_a_flange_is_named():
    data = made.summary()
    assert (
        f"presses on {quantity(22.08, 'mm', 3)} along the cone of a sleeve {quantity(26.0, 'mm', 3)} long"
        in comparison.ring_covers(data)
    )
    assert "and the flange" in comparison.ring_covers(data)
    data["simulation"]["at_touch"]["cone"]["contact_length_mm"] = 26.0
    data["case"]["sleeve"]["flange_thickness"] = 0.0
    assert comparison.ring_covers(data) is None


def test_where_tapers_differ_the_edge_that_presses_first_is_named():
    """Of a ring steeper than the sleeve the narrow end, its trailing one, is too narrow."""
    data = made.summary()
    assert comparison.tapers_differ(data) is None
    data["simulation"]["at_touch"]["cone"]["contact_length_mm"] = 0.093
    assert f"presses on {quantity(0.093, 'mm', 3)} along the cone" in comparison.ring_covers(data)
    for taper, edge in ((5.4, "trailing"), (4.6, "leading")):
        data["case"]["ring"]["taper"] = taper
        assert f"presses with its {edge} edge first" in comparison.tapers_differ(data)
        assert comparison.tapers_differ(data) in comparison.reasons(data)


@pytest.mark.parametrize("name, data", [(name, data) for name, data, _ in made.variants()])
def test_words_and_table_survive_every_null(name, data):
    text = " ".join(comparison.reasons(data)) + str([line.off for line in comparison.table(data)])
    assert not re.search(r"None|nan|inf\b", text)


def test_every_reason_is_silent_without_its_numbers():
    empty = made.stopped_summary()
    for column in ("plain", "refined"):
        empty["hand"][column] = {key: None for key in empty["hand"][column]}
    assert [reason for reason in comparison.reasons(empty)] == []


@pytest.mark.parametrize(
    "value, unit, text",
    [
        (13402.0, "N", "13.40 kN"),
        (850.0, "N", "850.0 N"),
        (0.027, "mm", "27.0 µm"),
        (0.7838, "mm", "0.7838 mm"),
        (None, "N", "–"),
        (0, "MPa", "0 MPa"),
        (5.71, "deg", "5.710°"),
        (1234567.0, "N·m/rad", "1\u202f235\u202f000 N·m/rad"),
        (24, "", "24"),
        (3.14e-9, "", "3.140·10⁻⁹"),
        (-940.0, "N", "−940.0 N"),
        (-1940.0, "N", "−1.940 kN"),
        (-3.14e-9, "", "−3.140·10⁻⁹"),
        (-24, "", "−24"),
        ("X5CrNi18-10", "", "X5CrNi18-10"),
    ],
)
def test_numbers_are_written_for_people(value, unit, text):
    assert quantity(value, unit) == text


def test_a_deviation_that_reads_as_none_has_no_sign():
    assert [deviation(1 + change, 1.0) for change in (4e-4, -4e-4, 0.0, 6e-4, -6e-4, 9.0, 12.0)] == [
        "0.0 %", "0.0 %", "0.0 %", "+0.1 %", "−0.1 %", "+900.0 %", "13.0 times",
    ]  # fmt: skip


def test_deviation_needs_two_values():
    assert (deviation(1.1, 1.0), deviation(0.9, 1.0), deviation(None, 1.0), deviation(1.0, 0)) == (
        "+10.0 %",
        "−10.0 %",
        "–",
        "–",
    )


def test_a_push_that_ends_at_the_duty_is_the_force_to_apply():
    """One corner without scatter: the clamp force is that of the push, rounded up to three digits."""
    data = made.summary()
    data["clamp"] = {"least_N": 1.004 * data["simulation"]["at_duty"]["push_force_N"], "greatest_N": 1.004 * data["simulation"]["at_duty"]["push_force_N"]}
    assert not comparison.outcome(data).endswith("This is not the force to apply.")
    data["clamp"]["greatest_N"] *= 1.6
    assert comparison.outcome(data).endswith("This is not the force to apply.")
