"""Contact forces: tangent, action and reaction, purity, areas and fills."""

from dataclasses import replace

import numpy as np
import pytest
from helpers.barrels import FILLS, MESH, REGIMES, barrels, rest, scene
from helpers.contact import tangent_error, touching

from colletfea.fea.contact.contact import Contact
from colletfea.fea.contact.pair import OPEN, SLIP, STICK
from colletfea.fea.contact.resultants import profile
from colletfea.fea.contact.tangent import tangent, turned_back
from colletfea.fea.elements.grids import block, join, mapped, spread
from colletfea.fea.solvers.newton import Trial


@pytest.mark.parametrize("twist", [False, True], ids=["plane", "twist"])
@pytest.mark.parametrize("regime", REGIMES)
def test_tangent_matches_a_central_difference(regime, twist):
    """Exact derivative: measured 2.2e-8 at worst; 1e-6 allowed.

    Scenes have curved, moving leaders, pressures from overlap and multipliers, fills on both sides.
    """
    contact, u, old = scene(regime, twist)
    evaluation = contact.evaluate(u, old)
    wanted = REGIMES[regime][3]
    seen = set(evaluation.status[evaluation.foot.inside])
    assert seen == wanted
    assert np.count_nonzero(~evaluation.foot.inside) > 0
    assert tangent_error(contact, u, old, step=1e-8) < 1e-6


@pytest.mark.parametrize("twist", [False, True], ids=["plane", "twist"])
def test_tangent_of_points_on_panels(twist):
    """As above with a leader so much finer that follower edges get several panels of points."""
    contact, u, old = scene("mixed", twist, mesh=barrels(count=60), slide=0.2)
    assert len(contact.follower) > len(contact.mesh.edges["hub.inner"])
    assert tangent_error(contact, u, old, step=1e-8) < 1e-6


@pytest.mark.parametrize("regime", ["stick", "slip"])
def test_tangent_of_points_that_keep_an_edge_they_have_left(regime):
    """Past the end of a kept edge a point's place stays at that end, and its friction with it: no slip there, and the tangent knows."""
    contact, u, old = scene(regime, twist=True)
    feet = contact.evaluate(u, old).foot
    away = u.reshape(-1, 3).copy()
    away[contact.mesh.body_nodes("hub"), 1] += 0.01 if regime == "slip" else 1e-3
    past = contact.evaluate(away.ravel(), old, feet)
    assert np.any((np.abs(past.foot.xi) > 1) & (past.pressure > 0) & (past.status == next(iter(REGIMES[regime][3]))))
    assert tangent_error(contact, away.ravel(), old, step=1e-8, frozen=feet) < 1e-6


def test_panels_leave_the_edges_what_they_are():
    """Lengths, penalties and means are those of whole edges; a linear field's mean is its value in the middle."""
    mesh = barrels(count=60)
    one, many = (Contact(mesh, (touching("hub.inner", "shaft.outer", slide=s),)) for s in (0.0, 0.2))
    assert np.all(np.bincount(many.edge) > one.order)
    first = np.flatnonzero(np.diff(many.edge, prepend=-1))
    np.testing.assert_allclose(many.edge_length[first], one.edge_length[:: one.order], rtol=1e-9)
    np.testing.assert_allclose(many.normal[first], one.normal[:: one.order], rtol=1e-9)
    np.testing.assert_allclose(np.bincount(many.edge, weights=many.weights), 2.0)
    xi = np.array([-1.0, 1.0, 0.0]) @ many.shape
    np.testing.assert_allclose(many.edge_means(1 + xi), 1.0)


def test_panels_carry_the_same_force():
    """A hub pressed evenly on a fine shaft: total and element means as with one panel, to rounding."""
    mesh, totals = barrels((0.2, 1.8), 60), []
    for slide in (0.0, 0.2):
        contact = Contact(mesh, (touching("hub.inner", "shaft.outer", young=1000.0, slide=slide),))
        u = np.zeros((len(mesh.nodes), 2))
        u[mesh.body_nodes("hub"), 0] -= 0.01
        evaluation = contact.evaluate(u.ravel(), contact.start())
        totals.append((evaluation.force.reshape(-1, 2)[mesh.body_nodes("hub"), 0].sum(), profile(contact, evaluation, "fit")))
    assert totals[1][0] == pytest.approx(totals[0][0], rel=1e-12)
    assert totals[1][1].pressure == pytest.approx(totals[0][1].pressure, rel=1e-11)


def test_tangent_of_the_sticking_predictor():
    """With stick=True points beyond the friction limit keep their trial traction; its tangent too."""
    contact, u, old = scene("slip", twist=True)
    evaluation = contact.evaluate(u, old, stick=True)
    assert set(evaluation.status[evaluation.pressure > 0]) == {STICK}
    limit = 0.1 * evaluation.pressure
    assert np.any(np.linalg.norm(evaluation.traction, axis=1) > 2 * limit)
    assert tangent_error(contact, u, old, step=1e-8, stick=True) < 1e-6


@pytest.mark.parametrize("twist", [False, True], ids=["plane", "twist"])
def test_points_kept_for_a_guess_pull(twist):
    """A hub lifted off by 0.02 mm: only what touched is kept, and its tangent is that of its pull."""
    contact, u, old = scene("slip", twist)
    lifted = u.reshape(-1, contact.unknowns).copy()
    lifted[contact.mesh.body_nodes("hub"), 0] += 0.02
    lifted, half = lifted.ravel(), np.arange(len(old.pressure)) % 2 == 0
    old = replace(old, pressure=np.where(half, old.pressure, 0.0))
    assert not np.any(contact.evaluate(lifted, old).pressure)
    kept = contact.evaluate(lifted, old, keep=True)
    touched = (old.pressure > 0) & kept.foot.inside
    assert touched.any() and np.array_equal(kept.pressure < 0, touched) and np.array_equal(kept.status != OPEN, touched)
    assert tangent_error(contact, lifted, old, step=1e-8, keep=True) < 1e-6
    norms = [Trial.of(u, ev, 1e-12, 1.0, 0.0, nodal=ev.force).norm for ev in (kept, contact.evaluate(u, old))]
    assert norms == [1.0, 1e-12]  # no balance, however little is out, where a point pulls


@pytest.mark.parametrize("twist", [False, True], ids=["plane", "twist"])
def test_points_that_turn_back_stick_by_the_slope_of_their_step(twist):
    """The law's slope times the change of slip is the change of traction; points that go on sliding are left alone."""
    contact, u, old = scene("slip", twist)
    there = contact.evaluate(u, old)
    back = u.reshape(-1, contact.unknowns).copy()
    back[contact.mesh.body_nodes("hub"), 1:] -= 0.01
    back = contact.evaluate(back.ravel(), old)
    eased = turned_back(contact, back, there)
    both = (there.status == SLIP) & (back.status == SLIP)
    turned = both & (np.sum(there.traction * back.traction, axis=1) < 0)
    assert turned.sum() > 5 and np.array_equal(eased.status != back.status, turned)
    slope = eased.law.by_slip[turned[eased.closed.index]]
    jump, way = (there.traction - back.traction)[turned], (there.slip - back.slip)[turned]
    told = np.linalg.norm(np.einsum("nij,nj->ni", slope, way), axis=1)
    np.testing.assert_allclose(told, np.linalg.norm(jump, axis=1), rtol=1e-12)
    assert np.all(np.linalg.eigvalsh(slope) > 0) and np.array_equal(eased.traction, back.traction)
    assert turned_back(contact, back, back) is back and turned_back(contact, back, None) is back


def test_points_kept_to_pull_do_not_count_as_turned_back():
    """Friction of a pressure below zero drags the wrong way; the next trial sets it right, and goes on sliding."""
    contact, u, old = scene("slip", twist=False)
    lifted = u.reshape(-1, 2).copy()
    lifted[contact.mesh.body_nodes("hub"), 0] += 0.02
    kept, there = contact.evaluate(lifted.ravel(), old, keep=True), contact.evaluate(u, old)
    opposed = (kept.status == SLIP) & (there.status == SLIP) & (np.sum(kept.traction * there.traction, axis=1) < 0)
    assert opposed.sum() > 5
    assert turned_back(contact, there, kept) is there


def test_points_that_only_just_touch_are_in_the_way():
    """Discs face to face in numbers without rounding: no pressure yet, but what is pressed on them finds a hold."""
    mesh = join({"lower": block(0, 1, spread(-1, 0, 2), spread(0, 1, 4)), "upper": block(0, 1, spread(0, 1, 2), spread(0, 1, 4))})
    contact = Contact(mesh, (touching("upper.bottom", "lower.top"),))
    evaluation = contact.evaluate(np.zeros(contact.size), contact.start())
    just = evaluation.gap == 0
    assert np.mean(just) > 0.5 and not np.any(evaluation.pressure[just]) and np.all(evaluation.status[just] != OPEN)
    assert np.all(profile(contact, evaluation, "fit").status[np.all(just.reshape(-1, contact.order), axis=1)] == OPEN)
    assert np.all(np.isin(np.flatnonzero(just), evaluation.closed.index)) and len(tangent(contact, evaluation)[1])


def test_tangent_is_empty_but_shaped_when_nothing_touches():
    contact, u, old = scene("open", twist=True)
    dofs, values = tangent(contact, contact.evaluate(u, old))
    assert dofs.shape == (0, 18) and values.shape == (0, 18, 18)


@pytest.mark.parametrize("swap", [False, True], ids=["hub follows", "shaft follows"])
@pytest.mark.parametrize("twist", [False, True], ids=["plane", "twist"])
def test_action_equals_reaction(twist, swap):
    """Force per component and torque cancel to round-off (1e-12 of the pushed force), overhang included."""
    edges = ("shaft.outer", "hub.inner") if swap else ("hub.inner", "shaft.outer")
    contact = Contact(MESH, (touching(*edges, young=1000.0, friction=0.2, **FILLS),), twist)
    _, u, _ = scene("mixed", twist)
    u = u.reshape(-1, contact.unknowns)
    u[MESH.body_nodes("hub"), 0] -= 0.02
    evaluation = contact.evaluate(u.ravel(), rest(contact))
    force = evaluation.force.reshape(-1, contact.unknowns)
    pushed = np.sum(np.abs(force), axis=0)
    assert np.count_nonzero(~evaluation.foot.inside) > 0 and np.all(pushed > 0)
    assert np.all(np.abs(force.sum(axis=0)) < 1e-12 * pushed)


def test_evaluation_is_pure():
    """History in is untouched, inputs out of it only; the same input gives the same bits."""
    contact, u, old = scene("mixed", twist=True)
    kept = {name: value.copy() for name, value in vars(old).items()}
    before = u.copy()
    first, second = contact.evaluate(u, old), contact.evaluate(u, old)
    contact.evaluate(u + 1e-3, old)
    third = contact.evaluate(u, old)
    assert np.array_equal(u, before)
    assert all(np.array_equal(getattr(old, name), value) for name, value in kept.items())
    for again in (second, third):
        assert np.array_equal(first.force, again.force)
        assert np.array_equal(first.traction, again.traction)
        assert np.array_equal(first.arc, again.arc)


def test_open_points_carry_nothing_and_forget_their_traction():
    contact, u, old = scene("mixed", twist=True)
    old = replace(old, traction=np.full_like(old.traction, 3.0))
    evaluation = contact.evaluate(u, old)
    away = evaluation.status == OPEN
    assert np.any(away & evaluation.foot.inside)
    assert np.all(evaluation.pressure[away] == 0) and np.all(evaluation.traction[away] == 0)
    assert np.all(evaluation.history().traction[away] == 0)


def test_pressure_is_multiplier_minus_penalty_times_gap():
    contact, u, old = scene("slip", twist=False)
    evaluation = contact.evaluate(u, old)
    inside = evaluation.foot.inside
    penalty = contact.pairs[0].normal * 1000.0 / contact.edge_length
    wanted = np.maximum(0.0, old.multiplier - penalty * evaluation.gap)[inside]
    np.testing.assert_allclose(evaluation.pressure[inside], wanted, rtol=1e-12)
    assert np.all(np.isinf(evaluation.gap[~inside])) and np.all(evaluation.area[~inside] == 0)


def cylinders(depth, **fills):
    """A ring of radius 10 on a shaft that it overlaps by depth, faces flush; returns contact and position."""
    ring = mapped(lambda s, z: (10 + s, z), spread(0, 5, 2), spread(0, 8, 3))
    shaft = mapped(lambda s, z: (s, z), spread(0, 10, 2), spread(0, 8, 5))
    mesh = join({"ring": ring, "shaft": shaft})
    contact = Contact(mesh, (touching("ring.inner", "shaft.outer", **fills),))
    u = np.zeros((len(mesh.nodes), 2))
    u[mesh.body_nodes("ring"), 0] = -depth
    return contact, u.ravel()


def test_areas_are_current_ring_areas_times_both_fills():
    """2 pi r L f f on a cylinder, at its current radius; closed form, so round-off only."""
    contact, u = cylinders(0.25, follower_fill=lambda r, z: 0.8 + 0 * r, leader_fill=lambda r, z: 0.5 + 0 * r)
    evaluation = contact.evaluate(u, rest(contact))
    assert evaluation.area.sum() == pytest.approx(2 * np.pi * 9.75 * 8 * 0.4, rel=1e-12)
    assert evaluation.length.sum() == pytest.approx(8.0, rel=1e-12)


def test_fill_varies_along_the_leader():
    """A leader fill linear in z weighs the ring by its mean; the follower's overhang counts nothing."""
    contact, u = cylinders(0.0, leader_fill=lambda r, z: z / 8)
    evaluation = contact.evaluate(u, rest(contact))
    assert evaluation.area.sum() == pytest.approx(2 * np.pi * 10 * 4, rel=1e-12)


def test_torque_arm_is_the_current_radius():
    """All points at their friction limit: torque on the ring is -mu p r A, r the current radius."""
    ring = mapped(lambda s, z: (10 + s, z), spread(0, 5, 2), spread(0, 8, 3))
    shaft = mapped(lambda s, z: (s, z), spread(0, 10, 2), spread(0, 8, 5))
    mesh = join({"ring": ring, "shaft": shaft})
    contact = Contact(mesh, (touching("ring.inner", "shaft.outer", young=1000.0, friction=0.1),), twist=True)
    u = np.zeros((len(mesh.nodes), 3))
    u[mesh.body_nodes("ring"), 0] = -0.25
    u[mesh.body_nodes("ring"), 2] = 0.5
    evaluation = contact.evaluate(u.ravel(), rest(contact))
    assert set(evaluation.status) == {SLIP}
    pressure = contact.pairs[0].normal * 1000 / (8 / 3) * 0.25
    torque = evaluation.force.reshape(-1, 3)[mesh.body_nodes("ring"), 2].sum()
    assert torque == pytest.approx(0.1 * pressure * 2 * np.pi * 9.75**2 * 8, rel=1e-12)


def test_law_does_not_see_rigid_motion():
    """Both bodies moved together along z and turned together: same tractions, no slip."""
    contact, u, old = scene("mixed", twist=True)
    field = u.reshape(-1, 3)
    moved = field + np.array([0.0, 7.0, 0.3])
    carried = replace(old, angle=old.angle + 0.3)
    first, second = contact.evaluate(u, old), contact.evaluate(moved.ravel(), carried)
    np.testing.assert_allclose(second.traction, first.traction, atol=1e-10)
    np.testing.assert_allclose(second.force, first.force, atol=1e-10)


def test_slip_over_unequal_leader_edges_is_the_way_gone():
    """Edges of 0.5, 2, 0.7, 3 and 1.8 mm on a cylinder: arc lengths rise with z, and a slide of 1.1 mm is a slip of 1.1 mm.

    Points cross from short edges to long ones and back: with the start of each edge wrong, what they went would jump.
    """
    stations = np.cumsum([0.0, 0.5, 2.0, 0.7, 3.0, 1.8])
    shaft, hub = block(2, 4, stations, spread(0, 1, 2)), block(4, 5, spread(0.5, 6.5, 5), spread(0, 1, 2))
    mesh = join({"shaft": shaft, "hub": hub})
    contact = Contact(mesh, (touching("hub.inner", "shaft.outer"),))
    u = np.zeros((len(mesh.nodes), 2))
    u[mesh.body_nodes("hub")] += [-0.001, 1.1]
    gap, arc = contact.feet(u.ravel())
    went = contact.evaluate(u.ravel(), rest(contact))
    np.testing.assert_array_equal(gap, went.gap)
    assert np.all(np.isfinite(gap)) and np.all(went.pressure > 0)
    assert len(np.unique(went.foot.edge - contact.evaluate(0 * u.ravel(), contact.start()).foot.edge)) > 1
    np.testing.assert_allclose(arc, went.position[:, 1], atol=1e-12)
    np.testing.assert_allclose(went.slip[:, 0], 1.1, rtol=1e-12)
