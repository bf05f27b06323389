"""One increment: both solvers agree, forces and work balance, no penetration is left, failures are raised."""

from dataclasses import replace

import numpy as np
import pytest
from helpers.contact import build, hold, rigid, seat, small_cone, solve, touching

from colletfea.fea.bodies.elastic import Elastic
from colletfea.fea.contact.pair import SLIP, STICK
from colletfea.fea.elements.grids import block, join, spread
from colletfea.fea.model.balance import Balance
from colletfea.fea.model.drives import ANGLE, Drive, Z
from colletfea.fea.model.loads import Pressure
from colletfea.fea.stepping.run import Stopped
from colletfea.fea.stepping.state import initial_state

FITTED = {"residual": 1e-9}


def pushed_and_drawn(condensed, twist=False):
    """Push onto the cone and part of the way back: model and all accepted states."""
    model, drives = small_cone(twist=twist)
    still = [hold("turn plug", "plug.bottom", ANGLE), hold("turn ring", "ring.top", ANGLE)] if twist else []
    on = solve(model, [*drives(lambda t: 0.3 * t), *still], (0.1, 0.4, 0.7, 1.0), condensed=condensed, **FITTED)
    back = [*drives(lambda t: 0.3 * (1 - t)), *still]
    start = replace(on[-1], t=0.0)
    off = solve(model, back, (0.001, 0.005, 0.01, 0.015, 0.02, 0.03, 0.1, 0.2), start, condensed=condensed, reversal=True, **FITTED)
    return model, on, off


def test_condensed_solver_equals_full_newton_on_push_and_reversal():
    """Positions, push force and friction to 1e-6 of their largest, through sliding, sticking and sliding back."""
    model, *full = pushed_and_drawn(False)
    _, *fast = pushed_and_drawn(True)
    seen = set()
    for one, other in zip([*full[0], *full[1]], [*fast[0], *fast[1]], strict=True):
        assert np.max(np.abs(one.u - other.u)) < 1e-6 * np.max(np.abs(one.u))
        for field in ("pressure", "traction"):
            a, b = getattr(one.contact, field), getattr(other.contact, field)
            assert np.max(np.abs(a - b)) < 1e-6 * np.max(one.contact.pressure)
        assert one.totals["push"] == pytest.approx(other.totals["push"], abs=1e-6 * seat(model, one)[1].normal_force)
        seen |= set(one.contact.status)
    assert {STICK, SLIP} <= seen


@pytest.mark.parametrize("condensed", [False, True])
def test_soft_penalties_settle_to_the_rigid_fit(condensed):
    """A ring pressed onto a shaft with penalties a five-hundredth as stiff as usual: the force is that of the usual ones.

    Measured: 5e-8 of the force; 5e-7 allowed.
    """

    def fit(young):
        shaft, ring = (block(*radii, spread(0, 8, 4), spread(0, 1, 2)) for radii in ((0, 10.005), (9.995, 16)))
        model = build(join({"shaft": shaft, "ring": ring}), (touching("ring.inner", "shaft.outer", young=young),))
        drives = [hold("base", "shaft.bottom", Z), hold("foot", "ring.bottom", Z)]
        (state,) = solve(model, drives, condensed=condensed, residual=1e-9)
        return seat(model, state)[1].normal_force

    assert fit(210_000.0 / 500) == pytest.approx(fit(210_000.0), rel=5e-7)


def test_condensed_solver_equals_full_newton_on_a_press_fit_that_slides():
    def fit(condensed):
        shaft = block(0, 10.005, spread(0, 24, 9), spread(0, 1, 3))
        ring = block(9.995, 16, spread(4, 14, 4), spread(0, 1, 3))
        model = build(join({"shaft": shaft, "ring": ring}), (touching("ring.inner", "shaft.outer", friction=0.15),))
        base = hold("base", "shaft.bottom", Z)
        kept = {"condensed": condensed, "residual": 1e-9}
        (first,) = solve(model, [base, hold("push", "ring.top", Z)], **kept)
        push = Drive("push", "ring.top", Z, displacement=lambda t: -0.6 * t)
        return model, solve(model, [base, push], (0.25, 0.5, 1.0), replace(first, t=0.0), **kept)[-1]

    (model, full), (_, fast) = fit(False), fit(True)
    assert np.max(np.abs(full.u - fast.u)) < 1e-6 * np.max(np.abs(full.u))
    assert seat(model, fast)[1].normal_force == pytest.approx(seat(model, full)[1].normal_force, rel=1e-6)
    assert fast.totals["push"] == pytest.approx(full.totals["push"], rel=1e-6)
    assert -full.totals["push"] == pytest.approx(0.15 * seat(model, full)[1].normal_force, rel=1e-3)


@pytest.mark.parametrize("twist", [False, True], ids=["plane", "twist"])
@pytest.mark.parametrize("condensed", [False, True], ids=["full", "condensed"])
def test_every_accepted_state_balances(condensed, twist):
    """Sum of reactions 0, and each body's reaction against its contact force: 1e-8 of the model's force scale."""
    model, on, off = pushed_and_drawn(condensed, twist)
    ring = model.mesh.body_nodes("ring")
    for state in [*on, *off]:
        scale = seat(model, state)[1].normal_force
        assert abs(state.totals["push"] + state.totals["base"]) < 1e-8 * scale
        contact = state.contact.force.reshape(-1, model.unknowns)
        assert abs(contact[ring, 1].sum() - state.totals["push"]) < 1e-8 * scale
        assert abs(contact[:, 1].sum()) < 1e-12 * np.abs(contact[:, 1]).sum()
        assert state.norm <= 1e-9
        if twist:
            assert abs(state.totals["turn plug"] + state.totals["turn ring"]) < 1e-8 * scale * 10


def test_work_of_push_and_release_balances():
    """Work in = stored + springs + friction by trapezoids: 0.01 %, measured 0.0035 % pushed and 0.003 % with the way
    back. Every increment dissipates, but the first of the way back, in which every point sticks: that one takes nothing.

    The way back starts in small increments: in one that turns friction round wholly the trapezoid of old and new
    traction is near 0, and with it the work counted.
    """
    _, on, off = pushed_and_drawn(True)
    assert on[-1].work.relative_error() < 1e-4
    assert off[-1].work.relative_error() < 1e-4
    lost = np.diff([0.0, *(s.work.dissipated for s in [*on, *off])])
    slides = np.array([SLIP in s.contact.status for s in [*on, *off]])
    assert list(np.flatnonzero(~slides)) == [len(on)]
    assert np.all(lost[slides] > 0) and lost[len(on)] == 0
    assert on[-1].work.friction >= on[-1].work.dissipated


@pytest.mark.parametrize("condensed", [True, False], ids=["condensed", "full"])
def test_no_penetration_is_left_where_pressures_are_augmented(condensed):
    """The mean gap of each edge that touches all along is closed: 3e-14 mm for 3e-4 mm of overlap measured, 1e-9 of it allowed."""
    model, drives = small_cone()
    move = drives(lambda t: 0.3 * t)
    (plain,) = solve(model, move, condensed=condensed, augment=False, residual=1e-9)
    (tight,) = solve(model, move, condensed=condensed, **FITTED)
    contact, ev = model.contact, tight.contact
    whole = contact.edge_means((ev.status > 0) * 1.0) > 1 - 1e-9
    gap = np.abs(contact.edge_means(np.where(np.isfinite(ev.gap), ev.gap, 0.0)))
    assert np.any(whole) and max(tight.penetration, np.max(gap[whole])) <= 1e-9 * plain.penetration
    assert np.all(plain.history.multiplier == 0) and np.any(tight.history.multiplier > 0)


def test_interference_starts_without_friction():
    """An overlap at the start has no history: nothing pushes along the fit before the first increment."""
    shaft = block(0, 10.01, spread(0, 20, 8), spread(0, 1, 4))
    hub = block(9.99, 20, spread(0, 20, 6), spread(0, 1, 4))
    model = build(join({"shaft": shaft, "hub": hub}), (touching("hub.inner", "shaft.outer", friction=0.15),))
    first = initial_state(Balance.of(model, []))
    assert np.all(first.history.traction == 0) and np.all(first.history.pressure == 0)
    middle = [hold(body, model.mesh.edge_nodes(f"{body}.{side}")[n : n + 1], Z) for body, side, n in
              (("shaft", "outer", 8), ("hub", "inner", 6))]
    (state,) = solve(model, middle, residual=1e-8)
    total = seat(model, state)[1]
    assert abs(total.axial_force) < 1e-2 * total.normal_force
    assert state.work.relative_error() < 2e-3


def test_body_that_nothing_holds_is_not_accepted():
    """A rod loose in a bore, drawn by a force: there is no equilibrium, and none may be reported."""
    rod = block(0, 9.9, spread(0, 20, 4), spread(0, 1, 2))
    bore = block(10, 14, spread(0, 20, 4), spread(0, 1, 2))
    model = build(join({"rod": rod, "bore": bore}), (touching("rod.outer", "bore.inner", friction=0.1),))
    drives = [hold("bore", "bore.bottom", Z), Drive("pull", "rod.top", Z, force=lambda t: 1000 * t)]
    with pytest.raises(Stopped):
        solve(model, drives)


def test_same_case_in_metres_takes_the_same_iterations():
    """Stop rules are dimensionless: mm and MPa against m and Pa, equal iterations, forces to 1e-6."""
    def press(length, stress):
        shaft = block(0, 10.005 * length, spread(0, 20 * length, 6), spread(0, 1, 3))
        hub = block(9.995 * length, 20 * length, spread(0, 20 * length, 5), spread(0, 1, 3))
        mesh = join({"shaft": shaft, "hub": hub})
        pair = touching("hub.inner", "shaft.outer", young=2.1e5 * stress, friction=0.1)
        model = build(mesh, (pair,), Elastic(2.1e5 * stress, 0.3))
        drives = [hold("shaft", "shaft.bottom", Z), hold("hub", "hub.bottom", Z)]
        (state,) = solve(model, drives, residual=1e-8)
        return state.iterations, seat(model, state)[1].normal_force / (stress * length**2)

    (a, force), (b, other) = press(1.0, 1.0), press(1e-3, 1e6)
    assert a == b
    assert force == pytest.approx(other, rel=1e-6)


def test_work_of_a_load_is_half_of_load_times_way_in_one_increment_and_in_two():
    """A bar pressed on its end by p: u = p L / E, work p A u / 2 [N mm], all of it stored. Source: Hooke's law.

    The pressure follows the bar's end, which grows by nu p / E, and strain is finite: 2.6e-5 measured, 5e-5 allowed.
    """
    pressure, young, radius, length = 2.0, 210_000.0, 10.0, 20.0
    mesh = join({"bar": block(0.0, radius, spread(0, length, 2), spread(0, 1, 2))})
    bar = build(mesh, loads=(Pressure("bar.top", lambda t: pressure * t),))
    told = pressure * np.pi * radius**2 * (pressure * length / young) / 2
    for targets in ((1.0,), (0.25, 1.0)):
        work = solve(bar, [hold("base", "bar.bottom", Z)], targets)[-1].work
        assert work.loads == pytest.approx(told, rel=5e-5) and work.stored == pytest.approx(told, rel=5e-5)
        assert work.drives == pytest.approx(0.0, abs=1e-9 * told)


def test_points_that_come_onto_the_leader_dissipate_from_their_first_step_on():
    """A rigid ring, 0.01 mm too tight, slides 1.3 mm further onto a rigid plug from over its end.

    By hand: each point loses mu p dA (way - mu p / k), its way counted from the plug's end. Pressure and shear are those
    of the penalties, 3 E / h and 5 E / h over the ring's edges h = 2 mm; points that were on lose for the whole way.
    """
    friction, young, over, way, edge = 0.1, 1000.0, 0.01, 1.3, 2.0
    plug, ring = block(5, 10, spread(-9, 0, 9), spread(0, 1, 2)), block(10, 12, spread(-4, 6, 5), spread(0, 1, 2))
    mesh = join({"plug": plug, "ring": ring})
    model = build(mesh, (touching("ring.inner", "plug.outer", young=young, friction=friction),))
    motion = {
        0: lambda t: np.full(len(mesh.body_nodes("ring")), -over * min(2 * t, 1.0)),
        1: lambda t: np.full(len(mesh.body_nodes("ring")), -way * max(2 * t - 1, 0.0)),
    }
    first, last = solve(model, [*rigid(mesh, "plug"), *rigid(mesh, "ring", motion)], (0.5, 1.0), augment=False)
    pressure = 3 * young / edge * over
    at, on = last.contact.position[:, 1], last.contact.pressure > 0
    came = on & (first.contact.pressure == 0)
    assert came.any() and last.contact.pressure[on] == pytest.approx(pressure, rel=1e-9)
    gone = np.where(came, -at, way)
    lost = friction * pressure * last.contact.area * (gone - friction * pressure / (5 * young / edge))
    assert set(last.contact.status[on]) == {SLIP} and first.work.dissipated == 0
    assert last.work.dissipated == pytest.approx(np.sum(lost[on]), rel=1e-9)


@pytest.mark.parametrize("condensed", [False, True])
def test_a_bar_pressed_together_further_than_its_law_has_stiffness_is_refused(condensed):
    """St Venant-Kirchhoff stress / E is (s^3 - s) / 2, least at s = 0.577: the strain there, and an end on either side of it."""
    model = build(join({"bar": block(0, 10, spread(0, 4, 4), spread(0, 1, 2))}), laws=Elastic(1000.0, 0.0))
    drives = [hold("base", "bar.bottom", Z), Drive("top", "bar.top", Z, displacement=lambda t: -4 * t)]
    (state,) = solve(model, drives, (0.40,), condensed=condensed)
    assert model.solid.least_strain(state.u) == pytest.approx((0.6**2 - 1) / 2, rel=1e-9)
    assert state.totals["top"] == pytest.approx(1000 * np.pi * 100 * (0.6**3 - 0.6) / 2, rel=1e-6)
    with pytest.raises(Stopped, match="metal is pressed together by 45 %"):
        solve(model, drives, (0.45,), state, condensed=condensed)


def test_points_that_touch_anew_lose_work_from_their_touch_on_and_are_dragged_the_whole_way():
    """A rigid ring slides 1.2 mm along a rigid plug while a gap of 0.02 mm closes and turns into 0.01 mm of overlap.

    By hand: mu p dA / 2 times a third of the way is lost, less the elastic slip mu p / k; drives put in the same over the whole way.
    """
    friction, young, way, edge = 0.1, 1000.0, 1.2, 2.0
    plug, ring = block(5, 10, spread(-9, 9, 9), spread(0, 1, 2)), block(10.02, 12, spread(-4, 6, 5), spread(0, 1, 2))
    mesh = join({"plug": plug, "ring": ring})
    model = build(mesh, (touching("ring.inner", "plug.outer", young=young, friction=friction),))
    motion = {k: lambda t, far=far: np.full(len(mesh.body_nodes("ring")), -far * t) for k, far in ((0, 0.03), (1, way))}
    (state,) = solve(model, [*rigid(mesh, "plug"), *rigid(mesh, "ring", motion)], (1.0,), augment=False)
    shear = friction * 3 * young / edge * 0.01
    assert set(state.contact.status) == {SLIP}
    half = shear * np.sum(state.contact.area) / 2
    assert state.work.friction == pytest.approx(half * way, rel=1e-9)
    assert state.work.dissipated == pytest.approx(half * (way / 3 - shear / (5 * young / edge)), rel=1e-9)
