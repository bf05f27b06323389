"""All stages of a run play as one series: push, service, release, twist, with a time that grows."""

from types import SimpleNamespace

import pytest

from colletfea.cases.simulation import frames


def states(*times):
    return [SimpleNamespace(t=t) for t in times]


def test_stages_follow_each_other_with_travel_and_turn():
    push = frames.of_push("flat", states(0.0, 0.2, 0.3))
    serving = frames.of_service("loaded", states(1.0, 1.5, 2.0, 3.0), 0.3, 2000)
    back = frames.of_release("flat", states(0.0, 0.01, 0.02), 0.3, serving[-1].time)
    turn = frames.of_twist("turning", states(0.0, 1e-3, 3e-3), 0.3, 11.0, back[-1].time)
    played = [*push, *serving, *back, *turn]
    assert [f.stage for f in played] == ["push"] * 3 + ["service"] * 4 + ["release"] * 2 + ["twist"] * 2
    times = [f.time for f in played]
    assert all(a < b for a, b in zip(times, times[1:])) and times[2] == 0.3
    assert [f.values["travel_mm"] for f in played] == pytest.approx([0.0, 0.2, *[0.3] * 5, 0.29, 0.28, 0.3, 0.3])
    assert [f.values["turned_end_rad"] for f in turn] == [1e-3, 3e-3] and times[-1] == pytest.approx(0.39 + 0.02 + 0.033)
    assert [f.values["stage"] for f in played] == [0, 0, 0, 3, 3, 3, 3, 1, 1, 2, 2] and turn[0].model == "turning"
    assert [f.values["speed_per_min"] for f in serving] == [2000, 2000, 2000, 0] and push[-1].values["speed_per_min"] == 0
    assert [f.values["warm_share"] for f in serving] == [0, 0.5, 1, 1] and serving[0].model == "loaded"
