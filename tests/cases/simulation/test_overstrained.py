"""A push that ends past all elasticity: how it is seen, and that nothing follows on it."""

from types import SimpleNamespace

import pytest
from helpers.push import case_of

from colletfea.cases.simulation import events, release, stages
from colletfea.cases.stored.names import FORCE, STRAIN


@pytest.mark.parametrize("least, past", [(-0.25, False), (-0.29, False), (-0.31, True)])
def test_metal_that_is_pressed_together_ends_a_push_before_its_law_has_no_stiffness(least, past):
    """At nine tenths of a strain of -1/3, a stretch of 0.63; a solver with plastic flow has no such limit."""
    crushed = events._crushed(SimpleNamespace(solid=SimpleNamespace(least_strain=lambda u: least)))
    assert crushed.stops and crushed.name == STRAIN and (crushed.measure(SimpleNamespace(u=None)) > 0) == past
    model = SimpleNamespace(mesh=SimpleNamespace(edges={}))
    found = lambda **given: [e.name for e in events.events(case_of(push__travel=1.0, push__force=None, **given), model)].count(STRAIN)
    assert found() == 1 and found(solver__plastic=True) == 0


class Seen:
    """A state, equal to itself only."""

    u = None


def test_a_state_is_measured_once_however_often_it_is_asked_about():
    """And anew for another one."""
    asked = []
    model = SimpleNamespace(mesh=SimpleNamespace(edges={}), solid=SimpleNamespace(least_strain=lambda u: asked.append(u) or -0.1))
    (crushed,) = [e for e in events.events(case_of(push__travel=1.0, push__force=None), model) if e.name == STRAIN]
    one, other = Seen(), Seen()
    assert crushed.measure(one) == crushed.measure(one) == crushed.measure(other) and len(asked) == 2


@pytest.mark.parametrize("reason, tried", [(STRAIN, []), (FORCE, ["release", "twist"])])
def test_nothing_follows_on_an_overstrained_push(monkeypatch, reason, tried):
    seen = []
    monkeypatch.setattr(stages, "resultant", lambda *given: SimpleNamespace(normal_force=1.0))
    for name in ("release", "twist"):
        monkeypatch.setattr(stages, f"_{name}", lambda *given, name=name: seen.append(name))
    pushed = SimpleNamespace(states=[SimpleNamespace(contact=None)], model=SimpleNamespace(contact=None), service=None, reason=reason)
    told = stages.stages(case_of(after__release=True, after__twist=True), pushed, lambda *given: None, "condensed").verdicts
    assert seen == tried and [(v.name, v.ok) for v in told] == ([] if tried else [("release", None), ("twist", None)])


def test_a_release_whose_force_does_not_fall_stops(monkeypatch):
    """The increments that follow are measured by that fall; they went forward, by 170 of them."""
    state = lambda force, t: SimpleNamespace(totals={release.RING: -force}, t=t, flow=None)
    monkeypatch.setattr(release, "_backwards", lambda *given: (None, state(100.0, 0.0)))
    monkeypatch.setattr(release, "_felt", lambda *given: state(101.0, 1e-5))
    done = release.release(None, None, state(100.0, 1.0))
    assert "does not fall" in done.message and len(done.states) == 2 and done.stiffness is None
    assert release.sticking_stiffness(None, None, state(100.0, 1.0)) is None
