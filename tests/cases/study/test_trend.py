"""What a study says and draws of rows that are known."""

import pytest

from colletfea.cases.study import figures, trend
from colletfea.cases.study.quantities import OF_THE_CASE, Quantity, at, of_rows

FORCE = Quantity("force", "clamp force", "kN", at("clamp.needed_N", 1e-3), at("limit", 1e-3))
KEY = "friction.cone"


def rows(forces, xs=None, **more):
    xs = xs or [0.1 * (k + 1) for k in range(len(forces))]
    return [{KEY: x, "clamp.needed_N": f, "limit": 25e3, "exit_code": 0, "message": None, **more} for x, f in zip(xs, forces)]


@pytest.mark.parametrize("forces, said", [
    ([10e3, 20e3, 22e3], "Clamp force rises from 10.00 to 22.00 kN from friction.cone 0.1 to 0.3."),
    ([10e3, 20e3, 30e3], "Clamp force rises from 10.00 to 30.00 kN from friction.cone 0.1 to 0.3; it meets its limit at friction.cone 0.25."),
    ([30e3, 20e3, 10e3], "Clamp force falls from 30.00 to 10.00 kN from friction.cone 0.1 to 0.3; it meets its limit at friction.cone 0.15."),
    ([10e3, 10.1e3, 10e3], "Clamp force hardly changes from friction.cone 0.1 to 0.3: between 10.00 and 10.10 kN."),
    ([5.847e3, 5.739e3], "Clamp force hardly changes from friction.cone 0.1 to 0.2: 5.847 to 5.739 kN."),
    ([5.739e3, 5.847e3], "Clamp force hardly changes from friction.cone 0.1 to 0.2: 5.739 to 5.847 kN."),
    ([10e3, 10.001e3, 10e3], "Clamp force stays at 10.00 kN from friction.cone 0.1 to 0.3."),
    ([0.0, 0.0], "Clamp force stays at 0 kN from friction.cone 0.1 to 0.2."),
    ([10e3, 30e3, 20e3], "Clamp force goes from 10.00 to 20.00 kN from friction.cone 0.1 to 0.3, with 30.00 kN at 0.2, its greatest; "
     "it meets its limit at friction.cone 0.175 and 0.25."),
    ([30e3, 10e3, 20e3], "Clamp force goes from 30.00 to 20.00 kN from friction.cone 0.1 to 0.3, with 10.00 kN at 0.2, its least; "
     "it meets its limit at friction.cone 0.125."),
    ([10e3], ""),
])  # fmt: skip
def test_a_trend_in_words(forces, said):
    assert trend.of_key(KEY, FORCE, rows(forces)) == said


def test_a_trend_is_that_of_the_key_whatever_the_order_of_the_rows():
    mixed = rows([30e3, 10e3, 20e3], [0.3, 0.1, 0.2])
    assert trend.of_key(KEY, FORCE, mixed).startswith("Clamp force rises from 10.00 to 30.00 kN")


def test_words_are_told_by_their_ends():
    said = trend.of_key(KEY, FORCE, rows([20e3, 10e3, 30e3], ["C45+QT", "S235JR", "S355J2"]))
    assert said == "Clamp force: from 10.00 kN with S235JR to 30.00 kN with S355J2."


def test_cases_that_hold_are_named_and_what_breaks_the_others_is():
    good, bad, unsure = ({"holds": h, "verdicts.slip.ok": s} for h, s in ((True, True), (False, False), (None, None)))
    found = [{**row, **more} for row, more in zip(rows([1.0, 2.0, 3.0]), (good, bad, unsure))]
    assert trend.where_it_holds([KEY], found) == [
        "1 of 3 cases hold in every verdict: friction.cone 0.1.",
        "1 more break none, but not all of their verdicts could be judged: friction.cone 0.3.",
        "Not ok: grip of the bore in 1 of 3 cases.",
    ]


def test_cases_that_were_not_computed_hold_nothing():
    held, stopped = ({**row, "holds": True, "verdicts.slip.ok": True} for row in rows([1.0, 2.0]))
    assert trend.where_it_holds([KEY], [held, {**stopped, "exit_code": 0}])[0] == "Every case holds in all that was judged."
    assert trend.where_it_holds([KEY], [held, {**stopped, "exit_code": 3}])[0] == "Every case that was computed to its end holds in all that was judged."


def test_the_share_of_samples_that_fails_is_told_with_and_without_safety():
    """Slip at 0.9, just carried at 1.2 of the duty: with a safety of 1.5 both fail, and which verdict that is, is told."""
    samples = [{"exit_code": 0, "holds": t >= 1.5, "verdicts.slip.ok": t >= 1.5, "times_the_duty": t} for t in (0.9, 1.2, 1.6, 2.0)]
    safe, bare, whole, broken = trend.of_samples(samples)
    assert "not carried in 2 of 4 samples (50 %" in safe and "really slip, in 1 of 4 samples (25 %" in bare and "2 of 4" in whole
    assert broken == "Not ok: grip of the bore in 2 of 4 samples." and len(trend.of_samples(samples[2:])) == 3


def test_each_question_is_told_once_with_the_cases_that_it_concerns():
    """In all cases alike, in all with numbers of their own, in some, in one; an older row, or one that failed, has no list."""
    fast, slow = "service.speed = {} 1/min turns: is the unit meant?", "duty.torque = {} N·m: next to nothing"
    great, hard = "duty.torque = {} N·m: more than steels carry", "ring.material.hardening is not used"
    found = [{"checks": [hard, fast.format(x), *more]} for x, more in ((9e4, [great.format(6000)]), (1e5, []), (1.2e-5, [slow.format(-0.1)]))]
    assert trend.checks(found) == [
        hard, f"In all 3 cases, here the first of them: {fast.format(9e4)}", f"In 1 of 3 cases: {great.format(6000)}", f"In 1 of 3 cases: {slow.format(-0.1)}",
    ]  # fmt: skip
    assert trend.checks([{}, {"checks": None}, *found])[0] == f"In 3 of 5 cases: {hard}"
    assert trend.checks([{"checks": [hard]}]) == [hard] and not trend.checks([{"checks": []}]) and not trend.checks([])


def test_steepness_is_relative_to_the_case_itself():
    found = rows([10e3, 9e3, 12e3], [0.1, 0.095, 0.105])
    assert trend.steepness(KEY, FORCE, found) == pytest.approx([-0.1, 0.2])
    assert trend.steepness(KEY, FORCE, found[:2]) == [pytest.approx(-0.1), None] and trend.steepness(KEY, FORCE, []) == [None, None]


@pytest.mark.parametrize("failed, told", [(1, [None, 0.2]), (2, [-0.1, None]), (0, [None, None])])
def test_a_side_that_was_computed_is_told_where_the_other_one_failed(failed, told):
    """What a push that stopped early came to is no change. The key is a band: its ends move together."""
    found = rows([10e3, 9e3, 12e3], [[0.1, 0.1, 0.2], [0.095, 0.095, 0.19], [0.105, 0.105, 0.21]])
    found[failed]["exit_code"] = 3
    assert trend.steepness(KEY, FORCE, found) == [one and pytest.approx(one) for one in told]
    drawn = figures.bars([KEY], FORCE, found)
    said = " and ".join(f"{100 * one:+.1f} % where it is 5 % {word}".replace("-", "−") for one, word in zip(told, ("less", "more")) if one)
    assert (drawn.reading == f"{KEY} changes it most: {said}.") if said else drawn is None


def test_no_change_is_told_of_what_is_near_zero_in_the_case_itself():
    """195 times and -222 times the case's own drag are noise about 0, not what a key does; halves and doubles are told."""
    drag = lambda base: rows([base, 195.0, -222.0], [0.1, 0.095, 0.105])
    assert trend.steepness(KEY, FORCE, drag(1.0)) == trend.steepness(KEY, FORCE, drag(0.0)) == [None, None]
    assert trend.steepness(KEY, FORCE, drag(100.0)) == pytest.approx([0.95, -3.22])


def test_a_whole_number_is_told_as_moved_by_one():
    found = [{**row, "screws.count": count} for row, count in zip(rows([10e3, 9e3, 12e3]), (6, 5, 7))]
    assert figures.bars(["screws.count"], FORCE, found).reading == "screws.count changes it most: −10.0 % where it is one less, +20.0 % where it is one more."


@pytest.mark.parametrize("count, said", [
    (6, "The middle of 6 samples is 3.500 kN; all of them lie between 1.000 and 6.000 kN."),
    (21, "The middle of 21 samples is 11.00 kN; about 90 % of them lie between 2.000 and 20.00 kN."),
])  # fmt: skip
def test_of_a_few_samples_no_share_is_told_but_their_ends(count, said):
    assert trend.spread(FORCE, [float(k) for k in range(1, count + 1)]) == said


def test_a_row_beyond_its_limit_is_known_on_either_side():
    assert [FORCE.fails(row) for row in rows([20e3, 30e3])] == [False, True]
    least = Quantity("m", "margin", "", at("clamp.needed_N", 1e-3), at("limit", 1e-3), least=True)
    assert [least.fails(row) for row in rows([20e3, 30e3])] == [True, False]
    landed = rows([25e3 * (1 - 4.5e-4), 25e3 * (1 - 5.5e-4)])
    assert [least.fails(row) for row in landed] == [False, True]


def test_where_a_ring_begins_to_lock_is_no_failure_but_is_said():
    """Its share is linear here, so that the point between the rows is exact."""
    locks = next(q for q in OF_THE_CASE if q.name == "self_locking")
    found = [{KEY: x, "self_locking": x / 0.0875, "exit_code": 0} for x in (0.05, 0.1, 0.15)]
    assert not any(locks.fails(row) for row in found)
    assert trend.of_key(KEY, locks, found).endswith("; at friction.cone 0.0875 it passes 1: above this line the ring stays on its own.")


def test_states_are_taken_at_the_duty_only_where_all_passed_it():
    passed = {"at_duty.travel_mm": 1.0, "at_end.travel_mm": 2.0, "exit_code": 0}
    names = lambda found: [q.words for q in of_rows(found, False)]
    assert names([passed, passed]) == ["ring travel at the duty"]
    assert names([passed, {**passed, "at_duty.travel_mm": None}]) == ["ring travel at the end of the push"]


@pytest.mark.parametrize("xs", [None, ["a", "b", "c"]])
def test_figures_are_drawn_with_what_can_be_read_off_them(xs):
    found = rows([10e3, 20e3, 30e3], xs)
    around = rows([10e3, 20e3, 30e3], [0.2, 0.19, 0.21])
    drawn = [figures.curve(KEY, FORCE, found), figures.histogram(FORCE, found), figures.bars([KEY], FORCE, around)]
    assert all(d.png[:4] == b"\x89PNG" and d.reading for d in drawn) and "The middle of 3 samples is 20.00 kN" in drawn[1].reading
    assert figures.curve(KEY, FORCE, found[:1]) is None and figures.histogram(FORCE, []) is None


def test_a_map_needs_two_keys_and_reads_along_both():
    found = [{**row, "ring.length": n} for n in (10, 12) for row in rows([n * 1e3, n * 2e3])]
    drawn = figures.heatmap([KEY, "ring.length"], FORCE, found)
    assert drawn.reading.startswith("At ring.length 12: clamp force rises from 12.00 to 24.00 kN")
    assert "At friction.cone 0.2: clamp force rises from 20.00 to 24.00 kN" in drawn.reading
