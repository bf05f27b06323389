"""What a push does with rounded edges: where they land, which of them its mesh resolves, and what its peaks say."""

import numpy as np
import pytest
from helpers.push import case_of

from colletfea.cases.simulation import push, stress
from colletfea.cases.judgement.peaks import peaks
from colletfea.cases.simulation.stages import stages
from colletfea.cases.hand.calculation import hand
from colletfea.cases.simulation.plan import plan
from colletfea.meshing.rounding import LEADING, MOUTH, NOSE, TRAILING

#: the ring reaches past the nose, so that both leading edge and nose press on the cone
LONG = {"ring__length": 20, "ring__edge_radius": 0.2, "sleeve__nose_radius": 0.2}


def pushed(case, level="default"):
    return push.push(case, plan(case, hand(case), level), level, lambda fraction, text: None)


@pytest.fixture(scope="module")
def rounded():
    case = case_of(**LONG)
    return case, pushed(case)


def test_edges_that_press_are_refined_about_the_place_they_come_to(rounded):
    """Smallest element side on the ring's cone and, where the leading edge stands, on the sleeve's: R/140 within 20 %."""
    case, done = rounded
    assert done.reason == "travel" and {LEADING, NOSE} <= done.resolved and TRAILING not in done.resolved
    mesh, u = done.model.mesh, done.states[-1].u.reshape(-1, 2)
    ends = mesh.nodes[mesh.edges["sleeve.cone"][:, :2]] + u[mesh.edges["sleeve.cone"][:, :2]]
    edge = case.ring.start + case.ring.edge_radius - done.states[-1].t
    near = np.argsort(abs(ends[..., 1].mean(axis=1) - edge))[:12]
    sides = np.hypot(*(ends[:, 1] - ends[:, 0]).T)
    assert sides[near].min() == pytest.approx(0.2 / 140, rel=0.2)
    own = mesh.nodes[mesh.edges["ring.cone"][:, :2]]
    assert np.hypot(*(own[:, 1] - own[:, 0]).T).min() == pytest.approx(0.2 / 140, rel=0.2)


def test_no_increment_presses_further_into_a_resolved_arc_than_allowed(rounded):
    assert 0 < max(state.penetration for state in rounded[1].states) <= 3e-6 * 0.2


def test_a_quick_push_resolves_none_and_says_so():
    case = case_of(**LONG)
    done = pushed(case, "quick")
    assert not done.resolved
    said = {p["verdict"] for p in peaks(case, done) if "raw" in p["quantity"]}
    assert said & {"at a rounded edge that this mesh does not resolve: not settled"}


def test_peaks_at_resolved_edges_are_said_to_settle(rounded):
    """Of each part, the sleeve's too, whose nose is faced by the ring's trailing edge that hangs over it."""
    case, done = rounded
    said = {p["part"]: p["verdict"] for p in peaks(case, done) if "raw" in p["quantity"]}
    assert set(said.values()) == {"at a rounded edge: settles with the mesh; where it passes yield, a thin strip flows"}


def test_peaks_at_very_small_radii_are_not_said_to_settle(rounded):
    _, done = rounded
    small = case_of(**{**LONG, "ring__edge_radius": 0.05 * 2, "sleeve__nose_radius": 0.05 * 2})
    said = {p["verdict"] for p in peaks(small, done) if "raw" in p["quantity"]}
    assert said == {"at a rounded edge of less than 0.06 nose walls: not known to settle with the mesh"}


def test_peaks_at_sharp_edges_are_no_stresses():
    case = case_of(ring__length=20)
    said = [p["verdict"] for p in peaks(case, pushed(case, "quick")) if "raw" in p["quantity"]]
    assert "at a sharp edge or corner: grows with the mesh, not a stress" in said


def test_every_end_of_a_contact_is_known_by_its_edge(rounded):
    case, done = rounded
    ends = stress.contact_ends(done.model, done.states[-1])
    z = {name: [round(float(place[1]), 1) for n, place in ends if n == name] for name in (LEADING, NOSE, MOUTH)}
    assert z[LEADING][0] == pytest.approx(case.ring.start, abs=0.2) and z[NOSE][0] == z[MOUTH][0]
    assert z[NOSE][0] == pytest.approx(case.sleeve.length, abs=0.2) and len(ends) == 12


def test_without_an_end_the_push_is_repeated_without_the_nose_then_without_any(monkeypatch, rounded):
    """A mesh on which the push has no end is given up for a coarser one, and only then."""
    case, done = rounded
    tried = []

    def stops(case, plan, section, progress, solver, clock, more, follower):
        names = frozenset(name for name, *_ in section.landings)
        tried.append(names)
        return push.Push(done.model, 0.3, names, done.states, reason="travel" if not names & ends else "not converged")

    monkeypatch.setattr(push, "_pushed", stops)
    for ends, expected in ((set(), 2), ({NOSE}, 3), ({LEADING}, 4)):
        tried.clear()
        kept = pushed(case)
        assert kept.reason == "travel" and not kept.resolved & ends
        assert len(tried) == expected and tried[0] == frozenset()  # the rough one first


def test_an_interrupted_rough_push_is_kept(monkeypatch):
    case = case_of(**LONG)

    def interrupted(*args):
        return push.Push(None, 0.3, reason="interrupted", message="Interrupted")

    monkeypatch.setattr(push, "_pushed", interrupted)
    assert pushed(case).reason == "interrupted"


def test_an_edge_that_stands_off_is_not_refined():
    """Half a degree more on the ring: its trailing edge takes the cone, its leading one never comes to press."""
    done = pushed(case_of(ring__edge_radius=0.2, ring__taper=4.5))
    assert done.resolved == {TRAILING}


def test_ring_edges_that_meet_the_fine_nose_have_more_points_over_the_whole_slide():
    """As far as the rough push went, not as far as the plan guessed: here a force ends it."""
    case = case_of(drop=("push.travel",), push__force=2000.0, **LONG)
    done = pushed(case)
    contact = done.model.contact
    edges = sum(len(done.model.mesh.edges[pair.follower]) for pair in contact.pairs)
    assert done.reason == "force" and len(contact.follower) > edges
    assert contact.pairs[0].slide == pytest.approx(done.states[-1].t, rel=0.01)


def test_release_and_twist_follow_on_the_same_points(rounded):
    """Self-locking ring pulled off, shaft turned to slip: the torque is the seat's capacity to 1 %."""
    case = case_of(after__release=True, after__twist=True, **LONG)
    after = stages(case, rounded[1], lambda fraction, text: None, "condensed")
    assert after.after_release["self_locking"] and after.after_release["release_force_N"] > 0
    assert after.twist["capacity_ratio"] == pytest.approx(1, abs=0.01)


def test_penetration_is_small_against_an_arc():
    """3e-6 of the smaller radius where the mesh resolves one, 1e-3 of the gap where that is less or edges are sharp."""
    of = lambda **keys: push.settings(case_of(**keys), arcs=True).penetration
    assert push.settings(case_of(ring__edge_radius=0.2)).penetration == of() == pytest.approx(1e-3 * 0.015)
    assert of(ring__edge_radius=0.2, sleeve__nose_radius=0.1) == pytest.approx(3e-6 * 0.1)
    assert of(ring__edge_radius=0.9, sleeve__clearance=0.002) == pytest.approx(1e-3 * 0.002)
