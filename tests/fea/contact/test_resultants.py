"""Resultants and profiles of a pair against hand sums on a cylinder and a cone."""

from dataclasses import replace
from math import cos, pi, radians, sin, tan

import numpy as np
import pytest
from helpers.contact import touching

from colletfea.fea.contact.contact import Contact
from colletfea.fea.contact.pair import OPEN, SLIP, STICK
from colletfea.fea.contact.resultants import pair_points, profile, resultant
from colletfea.fea.elements.grids import block, join, spread

YOUNG, FRICTION = 1000.0, 0.2
PENALTY, TANGENTIAL = touching("", "").normal, touching("", "").tangential


def ring_on(angle_degrees, twist=True, fill=None):
    """Ring 9 long, three edges, on a coaxial cone (r = 10 at mid-length) of radius growing to -z; outer is the ring."""
    slope = tan(radians(angle_degrees))

    def cone(z):
        return 10 - z * slope

    plug = block(5, cone, spread(-6, 6, 7), spread(0, 1, 2))
    ring = block(cone, 16, spread(-4.5, 4.5, 3), spread(0, 1, 2))
    mesh = join({"plug": plug, "ring": ring})
    pair = touching("ring.inner", "plug.outer", "fit", young=YOUNG, friction=FRICTION, follower_fill=fill)
    contact = Contact(mesh, (pair,), twist)
    return mesh, contact


def moved(mesh, contact, depth, angle_degrees, along=0.0, turn=0.0):
    """Evaluation with the ring overlapping by depth [mm] normal to the cone, moved along its line and turned."""
    a = radians(angle_degrees)
    field = np.zeros((len(mesh.nodes), contact.unknowns))
    ring = mesh.body_nodes("ring")
    field[ring, 0] = -depth * cos(a) + along * sin(a)
    field[ring, 1] = -depth * sin(a) - along * cos(a)
    if contact.unknowns == 3:
        field[ring, 2] = turn
    start = contact.start()
    rest = replace(start, arc=contact.evaluate(np.zeros(contact.size), start).arc)
    return contact.evaluate(field.ravel(), rest)


def test_cylinder_under_even_pressure():
    """N = p 2 pi r L, at the follower's current radius; radial sum equal, nothing axial, capacity mu N r."""
    mesh, contact = ring_on(0.0)
    ev = moved(mesh, contact, 0.1, 0.0)
    pressure, radius = PENALTY * YOUNG / 3 * 0.1, 9.9
    area = 2 * pi * radius * 9
    total = resultant(contact, ev, "fit")
    assert total.normal_force == pytest.approx(pressure * area, rel=1e-12)
    assert total.radial_force == pytest.approx(pressure * area, rel=1e-12)
    assert total.axial_force == pytest.approx(0, abs=1e-9 * pressure * area)
    assert total.torque_capacity == pytest.approx(FRICTION * pressure * area * radius, rel=1e-12)
    assert (total.area, total.length) == pytest.approx((area, 9.0), rel=1e-12)
    assert total.mean_pressure == pytest.approx(pressure, rel=1e-12)
    assert total.peak_pressure == pytest.approx(pressure, rel=1e-9)


def test_cone_pushed_on_splits_into_radial_and_axial():
    """Ring slides along the cone toward -z: N_r = N (cos a - mu sin a), axial on it N (sin a + mu cos a) toward +z.

    The radial sum counts what squeezes the plug.
    """
    mesh, contact = ring_on(5.0, twist=False)
    ev = moved(mesh, contact, 0.05, 5.0, along=0.6)
    total, a = resultant(contact, ev, "fit"), radians(5.0)
    assert set(ev.status) == {SLIP}
    assert total.axial_force == pytest.approx(total.normal_force * (sin(a) + FRICTION * cos(a)), rel=1e-9)
    assert total.radial_force == pytest.approx(total.normal_force * (cos(a) - FRICTION * sin(a)), rel=1e-9)
    assert total.friction_force == pytest.approx(FRICTION * total.normal_force, rel=1e-9)
    assert total.torque == 0.0


def test_turned_ring_carries_its_full_torque():
    """Turned far, without moving along: torque on the ring against its turn, mu N r."""
    mesh, contact = ring_on(0.0)
    ev = moved(mesh, contact, 0.1, 0.0, turn=0.3)
    total = resultant(contact, ev, "fit")
    assert total.torque == pytest.approx(-total.torque_capacity, rel=1e-12)
    force = ev.force.reshape(-1, 3)[mesh.body_nodes("ring"), 2].sum()
    assert -force == pytest.approx(total.torque, rel=1e-12)


def test_fill_counts_in_areas_but_not_in_pressures():
    mesh, contact = ring_on(0.0, fill=lambda r, z: 0.75 + 0 * r)
    ev = moved(mesh, contact, 0.1, 0.0)
    total = resultant(contact, ev, "fit")
    assert total.area == pytest.approx(0.75 * 2 * pi * 9.9 * 9, rel=1e-12)
    assert total.mean_pressure == pytest.approx(PENALTY * YOUNG / 3 * 0.1, rel=1e-12)


def test_open_pair_carries_nothing():
    mesh, contact = ring_on(0.0)
    ev = moved(mesh, contact, -0.1, 0.0)
    total = resultant(contact, ev, "fit")
    assert total.normal_force == total.area == total.length == total.mean_pressure == total.peak_pressure == 0
    assert set(profile(contact, ev, "fit").status) == {OPEN}


def test_open_points_never_enter_the_mean_pressure():
    """The ring hangs over the plug's end by half: the mean is over what touches, N over half the length."""
    mesh, contact = ring_on(0.0, twist=False)
    field = np.zeros((len(mesh.nodes), 2))
    ring = mesh.body_nodes("ring")
    field[ring] = (-0.1, 6.0)
    ev = contact.evaluate(field.ravel(), contact.start())
    total = resultant(contact, ev, "fit")
    assert 0 < total.length < 9 * 0.6
    assert total.mean_pressure == pytest.approx(PENALTY * YOUNG / 3 * 0.1, rel=1e-9)


def test_peak_is_over_what_touches_of_an_element():
    """The ring hangs over the plug's end by all but 0.6 mm: one element of 3 mm touches there alone.

    Peak and mean are both p over that stretch; the element's own mean, in the profile, is p times the part that touches.
    """
    mesh, contact = ring_on(0.0, twist=False)
    field = np.zeros((len(mesh.nodes), 2))
    field[mesh.body_nodes("ring")] = (-0.1, 9.9)
    ev = contact.evaluate(field.ravel(), contact.start())
    total, pressure = resultant(contact, ev, "fit"), PENALTY * YOUNG / 3 * 0.1
    assert 0 < total.length < 0.7 * 3
    assert total.peak_pressure == pytest.approx(pressure, rel=1e-9)
    assert total.mean_pressure == pytest.approx(pressure, rel=1e-9)
    assert profile(contact, ev, "fit").pressure.max() == pytest.approx(pressure * total.length / 3, rel=1e-2)


def test_peak_is_the_larger_of_two_elements_means():
    """A ring tilted along its edge presses harder at one end: the peak is the mean of the element there, above the pair's."""
    mesh, contact = ring_on(0.0, twist=False)
    field = np.zeros((len(mesh.nodes), 2))
    ring = mesh.body_nodes("ring")
    field[ring, 0] = -0.1 - 0.01 * mesh.nodes[ring, 1]  # depth 0.055 at one end, 0.145 at the other
    ev = contact.evaluate(field.ravel(), contact.start())
    total, stiffness = resultant(contact, ev, "fit"), PENALTY * YOUNG / 3
    assert total.peak_pressure == pytest.approx(stiffness * 0.13, rel=2e-3)  # middle of the last element
    assert total.mean_pressure == pytest.approx(stiffness * 0.1, rel=2e-3)


def test_profile_lists_element_means_along_the_chain():
    """Positions in the chain's order, pressure and shear as set, status by area."""
    mesh, contact = ring_on(0.0)
    ev = moved(mesh, contact, 0.1, 0.0, along=1e-4)
    result = profile(contact, ev, "fit")
    chain = mesh.nodes[mesh.edge_nodes("ring.inner")[1::2], 1]
    np.testing.assert_allclose(result.position[:, 1], chain - 1e-4, atol=1e-12)
    np.testing.assert_allclose(result.pressure, PENALTY * YOUNG / 3 * 0.1)
    assert set(result.status) == {STICK}
    np.testing.assert_allclose(np.abs(result.shear[:, 0]), TANGENTIAL * YOUNG / 3 * 1e-4, rtol=1e-9)
    np.testing.assert_allclose(np.abs(result.slip[:, 0]), 1e-4, rtol=1e-9)


def test_pairs_are_told_apart_by_name():
    mesh, _ = ring_on(0.0, twist=False)
    pairs = (touching("ring.inner", "plug.outer", "one"), touching("plug.outer", "ring.inner", "two"))
    contact = Contact(mesh, pairs)
    assert (pair_points(contact, "one"), pair_points(contact, "two")) == (
        slice(0, 3 * contact.order),
        slice(3 * contact.order, 10 * contact.order),
    )
    with pytest.raises(ValueError):
        pair_points(contact, "three")
