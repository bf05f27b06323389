"""Field files: what each frame holds, in units that its names tell, and the index that plays them."""

import re

import meshio
import numpy as np
import pytest
from helpers.contact import hold, small_cone, solve

from colletfea.fea.model.drives import ANGLE
from colletfea.fea.stepping.fields import Frame, write_series


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
