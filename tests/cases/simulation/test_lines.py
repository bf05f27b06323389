"""Stress along the shaft's surface and over the radius, with Lamé beside it."""

import numpy as np
import pytest
from helpers.push import CLOSED, case_of, run

from colletfea.cases.simulation import lines
from colletfea.cases.stored.names import RADIUS, SURFACE
from colletfea.fea.stepping.fields import stresses


def rows(line, part=None, **keys):
    found = run(**keys)
    return [r for r in lines.rows(found.case, found.push.model, found.last) if r["line"] == line and part in (None, r["part"])]


def column(rows, name):
    return np.array([row[name] for row in rows], float)


@pytest.mark.verification(source="Lamé; Timoshenko & Goodier, Theory of Elasticity (from memory)")
def test_a_closed_coupling_is_lame_s_rings_at_mid_seat():
    """Under the pressures simulated there: radial 5 MPa (of 140), hoop 3 % in the sleeve, 12 % in the ring, which bends."""
    for part, apart in (("shaft", 0.12), ("sleeve", 0.03), ("ring", 0.12)):
        own = rows(RADIUS, part, **CLOSED)
        np.testing.assert_allclose(column(own, "radial_MPa"), column(own, "lame_radial_MPa"), atol=5)
        largest = np.abs(column(own, "hoop_MPa")).max()
        np.testing.assert_allclose(column(own, "hoop_MPa"), column(own, "lame_hoop_MPa"), atol=apart * largest)
    assert column(rows(RADIUS, "ring", **CLOSED), "lame_radial_MPa")[-1] == pytest.approx(0, abs=1e-9)


def test_the_parts_follow_each_other_and_press_alike():
    """The same pressure on either side of a contact, to 2 MPa of 80 and 140."""
    shaft, sleeve, ring = (rows(RADIUS, part, **CLOSED) for part in ("shaft", "sleeve", "ring"))
    assert shaft[0]["r_mm"] == 0 and shaft[-1]["r_mm"] == 10 and ring[-1]["r_mm"] == 20
    assert np.all(np.diff(column([*shaft, *sleeve], "r_mm")) > 0) and np.all(np.diff(column(ring, "r_mm")) > 0)
    assert shaft[-1]["radial_MPa"] == pytest.approx(sleeve[0]["radial_MPa"], abs=2)
    assert sleeve[-1]["radial_MPa"] == pytest.approx(ring[0]["radial_MPa"], abs=4)
    assert ring[0]["z_mm"] == pytest.approx(sleeve[0]["z_mm"] + 0.6)


def test_a_slit_sleeve_has_no_lame_and_the_others_have():
    assert all(r["lame_hoop_MPa"] is None for r in rows(RADIUS, "sleeve"))
    assert all(r["lame_hoop_MPa"] is not None for part in ("shaft", "ring") for r in rows(RADIUS, part))


def test_the_surface_is_the_shaft_s_outside_with_the_stress_at_its_nodes():
    found, surface = run(), rows(SURFACE)
    mesh, part = found.push.model.mesh, found.push.model.solid.slices["shaft"]
    assert {r["r_mm"] for r in surface} == {10.0} and (surface[0]["z_mm"], surface[-1]["z_mm"]) == (-10.0, 30.0)
    assert np.all(np.diff(column(surface, "z_mm")) > 0) and column(surface, "von_mises_MPa").min() >= 0
    own = stresses(found.push.model, found.last)["hoop"][part]
    cells = found.push.model.solid.nodes_of[part]
    for row in surface[::20]:
        at = np.hypot(mesh.nodes[cells][..., 0] - 10, mesh.nodes[cells][..., 1] - row["z_mm"]) < 1e-9
        assert own[at] == pytest.approx(row["hoop_MPa"])


@pytest.mark.parametrize("start, travel, z", [(2, 0.35, 10.0), (12, 0.35, (11.65 + 20) / 2), (-9.0, 0.35, None)])
def test_where_the_ring_does_not_reach_mid_seat_its_own_middle_is_taken(start, travel, z):
    case = case_of(ring__start=start)
    state = type("", (), {"t": travel})
    assert lines.station(case, state) == pytest.approx((0 + -9 + 16 - 0.35) / 2 if z is None else z)


def test_nothing_pressed_is_no_pressure():
    found = run()
    start = found.push.states[0]
    assert all(r["radial_MPa"] == 0 for r in lines.rows(found.case, found.push.model, start))
