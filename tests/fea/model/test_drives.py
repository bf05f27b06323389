"""Numbering of unknowns under drives: ties, prescribed values, force drives, the axis."""

import numpy as np
import pytest
from helpers.solids import STEEL, field, hold, solve

from colletfea.fea.elements.grids import block, join, spread
from colletfea.fea.model.drives import ANGLE, Drive, Numbering, R, Z

MESH = join({"bar": block(0.0, 10.0, spread(0, 20, 2), spread(0, 1, 2))})
BOTTOM, TOP = MESH.edge_nodes("bar.bottom"), MESH.edge_nodes("bar.top")


def numbering(*drives, unknowns=2):
    return Numbering(MESH, unknowns, drives)


def test_number_ties_all_nodes_of_an_edge_and_array_leaves_each_its_own():
    tied = numbering(hold("bar.top", Z, 1.0))
    assert len(tied.unknown("bar.top 1")) == 1
    own = numbering(hold("bar.top", Z, np.zeros(len(TOP))))
    assert len(own.unknown("bar.top 1")) == len(TOP)
    assert tied.count == own.count - len(TOP) + 1 == 2 * len(MESH.nodes) - len(TOP) + 1


def test_force_drive_ties_its_nodes_and_leaves_them_free():
    n = numbering(Drive("pull", "bar.top", Z, force=lambda t: 50 * t))
    (unknown,) = n.unknown("pull")
    assert unknown < n.free
    np.testing.assert_array_equal(n.number[TOP * 2 + 1], unknown)
    load = n.load(0.5)
    assert load[unknown] == 25 and np.count_nonzero(load) == 1


def test_free_unknowns_come_first_and_prescribed_ones_last():
    n = numbering(hold("bar.bottom", Z))
    on_axis = np.flatnonzero(MESH.nodes[:, 0] == 0) * 2
    assert np.all(n.number[on_axis] >= n.free) and np.all(n.number[BOTTOM * 2 + 1] >= n.free)
    others = np.setdiff1d(np.arange(n.size), np.concatenate([on_axis, BOTTOM * 2 + 1]))
    assert np.all(n.number[others] < n.free)


@pytest.mark.parametrize(
    "where, given",
    [
        ("bar.bottom", {"displacement": lambda t: 0.0}),
        (BOTTOM[:1], {"displacement": lambda t: 0.0}),
        ("bar.outer", {"force": lambda t: 1.0}),
    ],
    ids=["same edge", "one of its nodes", "shared corner"],
)
def test_unknown_with_two_drives_is_refused_by_name(where, given):
    with pytest.raises(ValueError, match="drive second takes unknowns that another drive already has"):
        numbering(hold("bar.bottom", Z), Drive("second", where, Z, **given))


@pytest.mark.parametrize("given", [{}, {"displacement": lambda t: 0.0, "force": lambda t: 0.0}])
def test_drive_takes_exactly_one_of_displacement_and_force(given):
    with pytest.raises(ValueError, match="drive pull: give either displacement or force"):
        Drive("pull", "bar.top", Z, **given)


def test_expand_contract_and_reduce_are_consistent():
    n = numbering(hold("bar.bottom", Z), Drive("pull", "bar.top", Z, force=lambda t: 0.0))
    rng = np.random.default_rng(1)
    values, force = rng.standard_normal(n.count), rng.standard_normal(n.size)
    np.testing.assert_array_equal(n.contract(n.expand(values)), values)
    assert n.reduce(force) @ values == pytest.approx(force @ n.expand(values))


def test_prescribe_puts_in_prescribed_values_only_and_copies():
    ramp = np.arange(len(TOP), dtype=float)
    n = numbering(Drive("top", "bar.top", Z, displacement=lambda t: t * ramp), hold("bar.bottom", R, 0.0))
    u = np.full(n.size, 7.0)
    placed = n.prescribe(u, 2.0)
    np.testing.assert_array_equal(placed[TOP * 2 + 1], 2 * ramp)
    assert np.all(u == 7.0) and np.sum(placed != 7.0) == len(TOP) + len(BOTTOM) - 1
    assert n.value("top", placed) == pytest.approx(2 * ramp.mean())


def test_edge_that_reaches_the_axis_can_be_held_radially():
    """The axis keeps u_r = 0 whatever a drive says about the rest of its edge."""
    result = solve(
        MESH,
        STEEL,
        [
            hold("bar.bottom", Z),
            hold("bar.bottom", R, np.zeros(len(BOTTOM))),
            hold("bar.top", R, 0.0),
            hold("bar.top", Z, 0.001),
        ],
    )
    np.testing.assert_allclose(result.u[TOP, 0], 0, atol=1e-15)


def test_totals_are_reactions_of_prescribed_and_loads_of_force_drives():
    pull = Drive("pull", "bar.top", Z, force=lambda t: 50.0)
    result = solve(MESH, STEEL, [hold("bar.bottom", Z), pull])
    assert result.state.totals["pull"] == pytest.approx(50, rel=1e-8)
    assert result.state.totals["bar.bottom 1"] == pytest.approx(-50, rel=1e-8)


def test_array_of_node_numbers_serves_as_a_place():
    by_name = solve(MESH, STEEL, [hold("bar.bottom", Z), hold("bar.top", Z, 0.01)])
    by_number = solve(MESH, STEEL, [hold(BOTTOM, Z), Drive("x", TOP, Z, displacement=lambda t: 0.01)])
    np.testing.assert_allclose(by_number.u, by_name.u, atol=1e-14)


def test_work_of_a_linear_pull_is_half_force_times_travel():
    result = solve(MESH, STEEL, [hold("bar.bottom", Z), hold("bar.top", Z, 1e-5)])
    force = result.state.totals["bar.top 1"]
    assert result.state.work.drives == pytest.approx(force * 1e-5 / 2, rel=1e-12)
    assert result.state.work.stored == pytest.approx(force * 1e-5 / 2, rel=1e-6)


def test_angle_drive_turns_the_end_and_answers_with_torque():
    """Round bar: T = G J theta / L, a field that the element holds exactly at small angles."""
    drives = [hold("bar.bottom", Z), hold("bar.bottom", ANGLE), hold("bar.top", ANGLE, 1e-6)]
    result = solve(MESH, STEEL, drives, twist=True)
    torque = 210_000 / 2.6 * np.pi * 10**4 / 2 * 1e-6 / 20
    assert result.state.totals["bar.top 2"] == pytest.approx(torque, rel=1e-8)
    assert field(result.model, result.state)[TOP, 2] == pytest.approx(1e-6)


def test_a_drive_is_numbered_by_what_it_is_at_the_start_of_its_stage():
    """Stages may be short: whether nodes move together is asked at parameter 0, the only one that every stage has."""
    def path(t):
        if not 0 <= t <= 0.3:
            raise ValueError(f"the path ends at 0.3, not at {t}")
        return t

    n = numbering(Drive("top", "bar.top", Z, displacement=path))
    assert len(n.unknown("top")) == 1 and n.value("top", n.prescribe(np.zeros(n.size), 0.3)) == pytest.approx(0.3)
