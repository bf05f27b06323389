"""Field files: what each frame holds, in units that its names tell, and the index that plays them."""

import re

import meshio
import numpy as np
import pytest
from helpers.contact import hold, small_cone, solve

from colletfea.fea.bodies.stress import cauchy, von_mises
from colletfea.fea.model.drives import ANGLE
from colletfea.fea.stepping.fields import Frame, at_points, stresses, write_series


@pytest.fixture(scope="module")
def pushed():
    model, drives = small_cone(twist=True)
    turned = [hold("turn plug", "plug.bottom", ANGLE), hold("turn ring", "ring.top", ANGLE, 1e-3)]
    return model, solve(model, [*drives(lambda t: 0.3 * t), *turned], (0.5, 1.0))


def test_a_frame_is_read_back_with_units_and_its_values(pushed, tmp_path):
    model, states = pushed
    write_series(tmp_path / "f", [Frame("push", model, s, 0.1 * k, {"travel_mm": 0.3 * s.t}) for k, s in enumerate(states)])
    grid = meshio.read(tmp_path / "f" / f"state_{len(states) - 1:03d}.vtu")
    assert set(grid.point_data) == {"displacement_mm", "turn_rad", "von_mises_MPa", "hoop_MPa"}
    assert grid.field_data["travel_mm"] == pytest.approx(0.3)
    u = states[-1].u.reshape(-1, 3)
    assert np.ptp(grid.point_data["displacement_mm"][:, 1]) == pytest.approx(np.ptp(u[:, 1])) and not grid.point_data["displacement_mm"][:, 2].any()
    assert np.max(np.abs(grid.point_data["turn_rad"])) == pytest.approx(np.max(np.abs(u[:, 2]))) and u[:, 2].any()
    assert grid.point_data["von_mises_MPa"].min() >= 0.0


def test_the_index_has_time_and_stage_of_every_frame(pushed, tmp_path):
    model, states = pushed
    frames = [Frame("push", model, states[0], 0.0), Frame("push", model, states[1], 0.25), Frame("release", model, states[0], 0.5)]
    (tmp_path / "state_007.vtu").write_text("old")
    write_series(tmp_path, frames)
    index = (tmp_path / "series.pvd").read_text()
    assert re.findall(r'timestep="(\S+)" group="(\w+)" part="0" file="(\S+)"', index) == [
        ("0", "push", "state_000.vtu"), ("0.25", "push", "state_001.vtu"), ("0.5", "release", "state_002.vtu"),
    ]  # fmt: skip
    assert len(list(tmp_path.glob("*.vtu"))) == 3


def test_a_file_holds_the_mesh_body_by_body_without_shared_nodes(pushed, tmp_path):
    """By an independent reader: each element's nodes are its own body's, at their undeformed places, to the digit."""
    model, states = pushed
    write_series(tmp_path, [Frame("push", model, states[-1], 1.0)])
    grid = meshio.read(tmp_path / "state_000.vtu")
    cells, body = grid.cells_dict["quad8"], grid.cell_data["body"][0]
    assert np.array_equal(grid.points[cells][..., :2], model.mesh.nodes[model.solid.nodes_of]) and not grid.points[:, 2].any()
    for k, part in enumerate(model.solid.slices.values()):
        assert (body[part] == k).all() and not set(cells[part].ravel()) & set(np.delete(cells, part, axis=0).ravel())
    worst = von_mises(cauchy(model.solid, states[-1].u))
    assert grid.point_data["von_mises_MPa"].max() == pytest.approx(worst.max(), rel=0.3)
    assert np.array_equal(grid.point_data["von_mises_MPa"][cells], stresses(model, states[-1])["von_mises"])


def test_frames_of_two_models_lie_each_on_its_own_mesh(pushed, tmp_path):
    model, states = pushed
    other, drives = small_cone()
    more = solve(other, drives(lambda t: 0.3 * t), (0.5,))
    write_series(tmp_path, [Frame("push", model, states[-1], 0.0), Frame("push", other, more[-1], 1.0)])
    turned, plain = (meshio.read(tmp_path / f"state_{k:03d}.vtu") for k in (0, 1))
    assert turned.point_data["turn_rad"].any() and not plain.point_data["turn_rad"].any()


def test_stress_is_that_of_the_state_asked_for_and_is_not_written_into(pushed):
    model, states = pushed
    for state in (states[0], states[1], states[0], states[1]):
        stress, equivalent = at_points(model, state)
        assert np.array_equal(stress, cauchy(model.solid, state.u)) and np.array_equal(equivalent, von_mises(stress))
        with pytest.raises(ValueError):
            equivalent += 1.0
    assert at_points(model, states[1])[0] is at_points(model, states[1])[0]
