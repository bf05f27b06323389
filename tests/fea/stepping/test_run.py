"""Increments of a stage: growth, cut-back, events, and how a stage ends."""

import numpy as np
import pytest
from helpers.contact import small_cone

from colletfea.fea.errors import NotConverged
from colletfea.fea.model.balance import Balance
from colletfea.fea.solvers.condensed import Condensed
from colletfea.fea.solvers.full import FullNewton
from colletfea.fea.solvers.newton import Settings
from colletfea.fea.stepping.events import Event
from colletfea.fea.stepping import run as stepping
from colletfea.fea.stepping.run import Aside, Jumped, Steps, Stopped, Tally, run, run_through
from colletfea.fea.stepping.state import Work, initial_state

TRAVEL = 0.3


def solver(clearance=0.0, kind=FullNewton, **settings):
    model, drives = small_cone(clearance=clearance)
    balance = Balance.of(model, drives(lambda t: TRAVEL * t))
    return kind(balance, Settings(**{"residual": 1e-8} | settings))


class Failing:
    """A solver that raises an error of choice beyond a parameter."""

    def __init__(self, inner, limit, error):
        self.inner, self.limit, self.error = inner, limit, error
        self.balance, self.settings, self.predict = inner.balance, inner.settings, inner.predict
        self.equilibrate, self.tried = inner.equilibrate, []

    def trial(self, u, t, history, flow=None):
        self.tried.append(t)
        if t > self.limit:
            raise self.error
        return self.inner.trial(u, t, history, flow)


def start(solver):
    return initial_state(solver.balance)


def test_steps_grow_to_the_largest_and_end_on_the_end():
    one = solver()
    states = list(run(one, start(one), 1.0, Steps(0.05, 0.3, 2.0)))
    sizes = np.diff([0.0, *(s.t for s in states)])
    np.testing.assert_allclose(sizes[:3], [0.05, 0.1, 0.2])
    assert sizes.max() <= 0.3 * 1.3 + 1e-12 and states[-1].t == 1.0


def test_steps_do_not_grow_behind_an_increment_that_leaks(monkeypatch):
    """Each misses 2.5 % up to 0.18: steps of the first size so far, and growth from there, whatever was missed before."""
    one = solver()
    (there,) = run_through(one, start(one), [0.18])
    monkeypatch.setattr(Work, "spilt", lambda self, before: 0.025 if self.drives < there.work.drives else 0.0)
    monkeypatch.setattr(Work, "relative_error", lambda self: 0.025)
    states = list(run(one, start(one), 0.4, Steps(0.05, 0.3, 2.0)))
    np.testing.assert_allclose([s.t for s in states][:5], [0.05, 0.1, 0.15, 0.2, 0.3])


def test_an_event_in_a_jump_is_landed_on_before_it():
    """-0.003 before, 0.06 behind: secants creep to it by a twentieth each and ran out of tries."""
    one = solver()
    jump = Event("jump", lambda s: -0.003 if s.t < 0.377 else 0.06, 1e-6, smooth=True, stops=True)
    *_, last = run(one, start(one), 1.0, Steps(0.3, 0.3), [jump])
    assert last.events == ("jump",) and 0.377 * (1 - 1e-7) < last.t < 0.377


@pytest.mark.parametrize("spilt, stops", [(0.11, True), (0.09, False)])
def test_a_wary_stage_stops_where_the_force_jumps_and_work_is_missing(monkeypatch, spilt, stops):
    """After a few tries for an event; what is only steep, or misses no more than it may, is landed on."""
    monkeypatch.setattr(Work, "spilt", lambda self, before: spilt)
    one, wary = solver(), Steps(0.3, 0.3, wary=0.1)
    jump, steep = (Event("event", place, 1e-6, stops=True) for place in (lambda s: -0.2 if s.t < 0.377 else 0.6, lambda s: s.t - 0.377))
    if stops:
        with pytest.raises(Jumped, match="no equilibrium beyond 0.3"):
            list(run(one, start(one), 1.0, wary, [jump]))
    for steps, event in ((wary, steep), (Steps(0.3, 0.3), jump), *([] if stops else [(wary, jump)])):
        *_, last = run(one, start(one), 1.0, steps, [event])
        assert last.events == ("event",)


def test_an_event_in_a_jump_is_known_as_nearly_as_it_asks():
    """To 1 % of the way instead of 1e-9: 0.36 < 0.377, in fewer tries."""
    tried = []
    for nearness in (1e-9, 0.01):
        one = solver()
        one.trial = lambda *given, real=one.trial, own=nearness: tried.append(own) or real(*given)
        jump = Event("jump", lambda s: -0.2 if s.t < 0.377 else 0.6, 1e-6, smooth=True, stops=True, nearness=nearness)
        *_, last = run(one, start(one), 1.0, Steps(0.3, 0.3), [jump])
        assert last.events == ("jump",) and 0.377 * (1 - nearness) <= last.t < 0.377
    assert tried.count(0.01) < tried.count(1e-9) / 2


def test_an_event_that_is_seen_to_jump_need_not_be_known_as_nearly():
    """A measure that jumps is known to 1e-3 of the way, one that is as steep as it looks then to its tolerance."""
    found, places = {}, {"jumps": lambda t: -0.2 if t < 0.377 else 0.6, "steep": lambda t: 4e3 * (t - 0.377)}
    for name, place in places.items():
        one = solver()
        event = Event(name, lambda s, place=place: place(s.t), 1e-6, stops=True, leapt=1e-3)
        *_, found[name] = run(one, start(one), 1.0, Steps(0.3, 0.3), [event])
        assert found[name].events == (name,)
    assert 1e-6 < 0.377 - found["jumps"].t < 1e-3 * 0.377
    assert found["steep"].t == pytest.approx(0.377, abs=1e-9)


def test_an_event_whose_fulfilment_counts_is_landed_on_behind_the_jump():
    """As a stop of the stage, and looked up aside."""
    one = solver()
    jump = Event("jump", lambda s: -0.2 if s.t < 0.377 else 0.6, 1e-6, smooth=True, stops=True, nearness=0.01, behind=True)
    *_, last = run(one, start(one), 1.0, Steps(0.3, 0.3), [jump])
    aside = Aside([jump])
    list(run(one, start(one), 1.0, Steps(0.3, 0.3), aside=aside))
    for state in (last, aside.found["jump"]):
        assert state.events == ("jump",) and 0.377 <= state.t < 0.377 * 1.01


def test_increments_grow_before_anything_touches():
    """Work is rounding there, of which all may be missing: no leak."""
    one = solver(clearance=0.2)
    times = [s.t for s in run(one, start(one), 0.2, Steps(0.01, 1.0, 2.0)) if not np.any(s.contact.pressure > 0)]
    np.testing.assert_allclose(times[:3], [0.01, 0.03, 0.07])


def test_halved_steps_grow_by_half_as_much():
    halved = Steps(0.2, 0.4, 2.5, after=(0.02, 0.1), doubt=3.0).halved()
    assert halved == Steps(0.1, 0.2, 1.75, after=(0.01, 0.05), doubt=3.0) and Steps(0.2, 0.4).halved().after is None


def test_beyond_doubt_increments_grow_without_limit():
    """From 0.3 on, increments of 0.1 double: 0.1, 0.2, 0.3, then 0.5 and the rest; with no doubt there are ten."""
    one = solver()
    times = lambda steps: [round(state.t, 9) for state in run(one, start(one), 1.0, steps)]
    assert times(Steps(0.1, 0.1, 2.0, doubt=0.25)) == [0.1, 0.2, 0.3, 0.5, 1.0]
    assert len(times(Steps(0.1, 0.1, 2.0))) == 10
    assert Steps(0.1, 0.1, 2.0, after=(0.05, 0.2), doubt=0.25).restarted().doubt == 0.25


def test_no_increment_takes_more_than_a_third_of_the_seat_that_is_left():
    """But the last, which may be longer by 30 %."""
    one = solver()
    steps = Steps(0.4, 0.4, 2.0, after=(0.2, 0.3), seat=1.2)
    times = np.array([0.0, *(state.t for state in run(one, start(one), 1.0, steps))])
    share = np.diff(times) / (1.2 - times[:-1])
    np.testing.assert_allclose(share[:-1], 1 / 3)
    assert len(times) == 6 and share[-1] <= 1.3 / 3
    assert steps.restarted().seat == steps.halved().seat == 1.2 and steps.within(0.5, 1.3) == 0.5


def test_increments_are_halved_where_the_force_rises_at_once():
    """A gap that closes on the way: the two increments miss 11 and 3 % of the work, shorter ones 0.2 % by the end."""
    one = solver(clearance=0.05)
    work = lambda spill: list(run(one, start(one), 1.0, Steps(0.5, 0.5, spill=spill)))
    long, short = work(np.inf), work(0.01)
    assert long[0].missing > 0.1 and long[-1].missing > 0.02
    assert short[-1].missing < 0.003 and len(short) < 10
    np.testing.assert_allclose(short[-1].u, long[-1].u, atol=0.01 * np.abs(long[-1].u).max())
    assert [s.t for s in run(solver(), start(one), 1.0, Steps(0.5, 0.5, spill=0.01))] == [0.5, 1.0]


def test_no_event_is_looked_for_in_an_increment_that_will_be_halved():
    """The force rises on the way: the half is taken at once, and the event is landed on from there."""
    one = Failing(solver(clearance=0.05), np.inf, None)
    late = Event("late", lambda s: s.t - 0.45, 1e-9, smooth=True, stops=True)
    states = list(run(one, start(one), 1.0, Steps(0.5, 0.5, spill=0.01), [late]))
    assert [round(t, 9) for t in dict.fromkeys(one.tried)][:2] == [0.5, 0.25] and states[0].t < 0.26
    assert states[-1].events == ("late",) and states[-1].t == pytest.approx(0.45) and states[-1].missing < 0.01


def test_an_increment_whose_half_misses_as_much_a_length_stays(monkeypatch):
    """Drives' work grows with the square of the way, its root with the way: no step heals that, and one half is all that is tried."""
    monkeypatch.setattr(Work, "lost", lambda self: abs(self.drives) ** 0.5)
    inner = solver()
    one = Failing(inner, np.inf, None)
    assert [s.t for s in run(one, start(one), 1.0, Steps(0.25, 0.25, 1.0, spill=1e-9))] == [0.25, 0.5, 0.75, 1.0]
    assert sorted({t for t in one.tried}) == [0.125, 0.25, 0.5, 0.75, 1.0]


def test_increments_grow_where_shorter_ones_miss_as_much(monkeypatch):
    """As much work is missed by length: one half is tried; then, from half the way on, ten times as much, and a half is tried again."""
    inner = solver()
    (there,) = run_through(inner, start(inner), [0.5])
    way = lambda work: abs(work.drives) ** 0.5
    monkeypatch.setattr(Work, "lost", lambda self: way(self) + 10 * max(way(self) - way(there.work), 0.0))
    one = Failing(inner, np.inf, None)
    assert [s.t for s in run(one, start(one), 1.0, Steps(0.1, 0.2, 2.0, spill=1e-9))] == pytest.approx([0.1, 0.3, 0.5, 0.7, 0.9, 1.0])
    assert sorted({round(t, 9) for t in one.tried}) == [0.05, 0.1, 0.3, 0.5, 0.6, 0.7, 0.9, 1.0]


def test_an_event_before_a_kink_is_landed_on_in_few_tries():
    """Behind 0.4 the measure rises forty times as fast: lines to there creep up, those between the nearest states do not."""
    inner, place = solver(), lambda t: t**2 - 0.13 + 40 * max(t - 0.4, 0.0)
    one = Failing(inner, np.inf, None)
    *_, last = run(one, start(one), 1.0, Steps(0.3, 0.5), [Event("kink", lambda s: place(s.t), 1e-6, smooth=True, stops=True)])
    assert last.t == pytest.approx(0.13**0.5, abs=1e-5) and len({round(t, 9) for t in one.tried}) <= 7


def test_run_with_cut_backs_equals_a_run_asked_for_its_parameters_bit_for_bit():
    """A rejected attempt leaves no trace in positions, history, reactions or work."""
    hasty = solver(clearance=0.05, max_iterations=2, augment=False)
    tally = Tally()
    states = list(run(hasty, start(hasty), 1.0, Steps(0.5, 0.5), tally=tally))
    assert tally.cutbacks >= 2
    again = list(run_through(hasty, start(hasty), [s.t for s in states]))
    for one, other in zip(states, again, strict=True):
        assert np.array_equal(one.u, other.u)
        for name, value in vars(one.history).items():
            assert np.array_equal(value, getattr(other.history, name)), name
        assert one.totals == other.totals and one.work == other.work


def test_stage_that_ends_just_before_an_event_ends_where_it_was_told():
    one = solver()
    behind = Event("behind", lambda s: s.t - 1.001, 1e-9)
    states = list(run(one, start(one), 1.0, Steps(0.4, 0.5), [behind]))
    assert states[-1].t == 1.0 and not states[-1].events


def test_event_that_draws_back_from_its_landing_does_not_lead_beyond_the_stage():
    """Due at 0.85 until 0.8 is reached, then twenty times slower: it would come at 1.8."""
    one = solver()
    shy = Event("shy", lambda s: s.t - 0.85 if s.t <= 0.8 else 0.05 * (s.t - 1.8), 1e-9)
    states = list(run(one, start(one), 1.0, Steps(0.4, 0.4), [shy]))
    assert states[-1].t == 1.0 and not any(s.events for s in states)


def test_smooth_event_is_landed_on_in_fewer_tries():
    """The push force goes on alike behind the event, so both sides of it serve: 4 tries in all, 5 from one side."""
    tried = []
    for smooth in (True, False):
        counted = Failing(solver(), np.inf, NotConverged("never"))
        wanted = Event("force", lambda s: -s.totals["push"] / 5000 - 1, 1e-6, smooth=smooth, stops=True)
        *_, last = run(counted, start(counted), 1.0, Steps(0.5, 0.5), [wanted])
        assert -last.totals["push"] == pytest.approx(5000, rel=1.001e-6)
        tried.append(len(counted.tried))
    assert tried[0] < tried[1]


def test_what_a_cut_back_reached_near_an_event_is_kept():
    failing = Failing(solver(), 0.42, NotConverged("told to"))
    near = Event("near", lambda s: s.t - 0.43, 1e-9)
    with pytest.raises(Stopped) as caught:
        list(run(failing, start(failing), 1.0, Steps(0.2, 0.2), [near]))
    assert 0.41 < caught.value.t <= 0.42


def test_event_nearer_than_it_can_be_known_is_landed_on():
    """Behind a state just before it, any further increment is already behind it by more than the tolerance."""
    one, edge = solver(), 0.4 * (1 + 1e-12)
    jump = Event("jump", lambda s: -1e-4 if s.t < edge else 1e-4, 1e-6)
    states = list(run(one, start(one), 1.0, Steps(0.4, 0.5), [jump]))
    landed = next(s for s in states if s.events == ("jump",))
    assert abs(landed.t - edge) < 1e-8 and states[-1].t == 1.0


def test_failed_attempt_leaves_the_accepted_state_alone():
    one = solver()
    (state,) = run_through(one, start(one), [0.2])
    kept = state.u.copy(), {k: v.copy() for k, v in vars(state.history).items()}
    failing = Failing(one, 0.3, NotConverged("told to"))
    with pytest.raises(Stopped):
        list(run_through(failing, state, [0.5]))
    assert np.array_equal(state.u, kept[0])
    assert all(np.array_equal(getattr(state.history, k), v) for k, v in kept[1].items())


def test_stopping_event_lands_on_its_value_and_ends_the_stage():
    """The push force reaches 5 kN: within the event's tolerance, though no step size fits it."""
    one = solver()
    wanted = Event("force", lambda s: -s.totals["push"] / 5000 - 1, 1e-6, stops=True)
    states = list(run(one, start(one), 1.0, Steps(0.07, 0.3), [wanted]))
    assert -states[-1].totals["push"] == pytest.approx(5000, rel=1e-6)
    assert states[-1].events == ("force",) and states[-1].t < 1
    assert all(s.events == () for s in states[:-1])


def test_touch_lands_and_restarts_the_steps():
    """A ring with 0.1 mm to go touches at t = 1/3; the gap has a kink there. Then steps start small again."""
    one = solver(clearance=0.1)
    gap = 0.1 * np.tan(np.radians(3))
    touch = Event("touch", lambda s: 1e-5 - np.min(s.contact.gap) / gap, 1e-5, restarts=True)
    states = list(run(one, start(one), 1.0, Steps(0.15, 0.4, after=(0.02, 0.1)), [touch]))
    (index,) = [i for i, s in enumerate(states) if s.events == ("touch",)]
    assert states[index].t == pytest.approx(1 / 3, abs=2e-5)
    after = states[index + 1].t - states[index].t
    assert after == pytest.approx(0.02)
    assert np.max(np.diff([s.t for s in states[index:]])) <= 0.1 * 1.3 + 1e-12


def test_two_events_land_in_their_order():
    one = solver()
    events = [Event(f"at {x}", lambda s, x=x: s.t - x, 1e-9) for x in (0.62, 0.31)]
    states = list(run(one, start(one), 1.0, Steps(0.25, 0.5), events))
    landed = {s.events: s.t for s in states if s.events}
    assert landed == pytest.approx({("at 0.31",): 0.31, ("at 0.62",): 0.62}, abs=1e-9)


def test_event_that_was_over_at_the_start_is_not_waited_for():
    one = solver()
    past = Event("past", lambda s: s.t + 1.0, 1e-9, stops=True)
    assert list(run(one, start(one), 0.5, Steps(0.25, 0.5), [past]))[-1].t == 0.5


def test_stopped_tells_where_and_why_after_handing_out_what_was_reached():
    failing = Failing(solver(max_cuts=5), 0.47, NotConverged("told to"))
    states = []
    with pytest.raises(Stopped, match="no equilibrium beyond 0.4[67].*told to") as caught:
        for state in run(failing, start(failing), 1.0, Steps(0.25, 0.5)):
            states.append(state)  # noqa: PERF402, what came before the error counts
    assert caught.value.t == states[-1].t <= 0.47
    assert caught.value.cause.reason == "told to"
    assert caught.value.t > 0.47 - 2 * 0.25 / 2**5
    assert len(failing.tried) < 60


def test_run_through_stops_where_it_fails():
    failing = Failing(solver(), 0.47, NotConverged("told to"))
    with pytest.raises(Stopped, match="beyond 0.25"):
        list(run_through(failing, start(failing), [0.25, 0.5]))


@pytest.mark.parametrize("error", [ValueError("a defect"), RuntimeError("a defect"), np.linalg.LinAlgError("a defect")])
def test_only_not_converged_is_caught(error):
    """A defect must not look like a step that was too large."""
    failing = Failing(solver(), 0.3, error)
    with pytest.raises(type(error), match="a defect"):
        list(run(failing, start(failing), 1.0, Steps(0.25, 0.5)))
    assert len([t for t in failing.tried if t > 0.3]) == 1


def test_tally_counts_rejected_work_too():
    hasty = solver(clearance=0.05, max_iterations=2, augment=False)
    tally = Tally()
    states = list(run(hasty, start(hasty), 1.0, Steps(0.5, 0.5), tally=tally))
    assert tally.cutbacks > 0
    assert tally.iterations > sum(s.iterations for s in states)


@pytest.mark.parametrize("kind", [FullNewton, Condensed])
def test_what_is_looked_up_aside_is_landed_on_and_leaves_the_way_alone(kind):
    """The state between two accepted ones fulfils its event to the tolerance; all accepted states are those without it, to the digit."""
    one, other = solver(kind=kind), solver(kind=kind)
    plain = list(run(one, start(one), 1.0, Steps(0.2, 0.3)))
    half = -plain[-1].totals["push"] / 2
    aside = Aside([Event("half the force", lambda s: -s.totals["push"] / half - 1, 1e-5), Event("never", lambda s: s.t - 2, 1e-6)])
    states, tally = [], Tally()
    for state in run(other, start(other), 1.0, Steps(0.2, 0.3), tally=tally, aside=aside):
        states.append(state)
    assert list(aside.found) == ["half the force"]
    found = aside.found["half the force"]
    assert -found.totals["push"] == pytest.approx(half, rel=1e-5) and found.events == ("half the force",)
    assert [s.t for s in states] == [s.t for s in plain]
    for a, b in zip(states, plain):
        np.testing.assert_allclose(a.u, b.u, rtol=0, atol=1e-9 if kind is Condensed else 0)
    assert tally.iterations > sum(s.iterations for s in plain)


def test_what_can_not_be_landed_on_aside_is_left_out():
    one = solver()
    failing, aside = Failing(one, 2.0, NotConverged("no")), Aside([Event("here", lambda s: s.t - 0.5, 1e-9)])
    inner = failing.trial
    failing.trial = lambda u, t, *old: inner(u, 3.0 if abs(t - 0.5) < 1e-3 else t, *old)
    states = list(run(failing, start(one), 1.0, Steps(0.3, 0.3), aside=aside))
    assert states[-1].t == 1.0 and aside.found == {}


def test_a_try_finds_what_it_finds_without_the_tries_before_it():
    """Places of points that come to touch are those of one guess; taken from each try's own, forces moved by up to 1 % and none was landed on."""
    one = solver(clearance=0.002)
    past = [start(one)]
    further = stepping._attempt(one, past, [], 0.9, False)
    alone, between = (stepping._attempt(one, past, tries, 0.5, False) for tries in ([], [further]))
    for name, force in alone.totals.items():
        assert between.totals[name] == pytest.approx(force, rel=1e-7, abs=1e-6)


def test_events_looked_up_at_one_place_share_their_tries():
    """Two that a jump fulfils at once take hardly more tries than one."""
    spent = []
    for count in (1, 2):
        one = solver()
        tried = Failing(one, 9.0, None)
        jumps = [Event(f"jump {k}", lambda s: -0.2 if s.t < 0.377 else 0.6, 1e-6, smooth=True, nearness=1e-4, behind=True) for k in range(count)]
        aside = Aside(jumps)
        list(run(tried, start(one), 1.0, Steps(0.3, 0.3), aside=aside))
        assert len(aside.found) == count
        spent.append(len(tried.tried))
    assert spent[1] <= spent[0] + 2
