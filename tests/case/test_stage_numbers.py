"""Numbers of the stages after the push that other tests only bound: stiffness and first slip of a twist, steps of a release."""

from math import hypot, pi, sqrt

import numpy as np
import pytest
from test_release import drawn
from test_twist import turned

from colletfea.cases.simulation import measures
from colletfea.cases.simulation.release import UNLOADED


def test_stiffness_is_that_of_the_shaft_to_a_little_inside_the_seat():
    """8 mm of shaft in front, and the depth over which a stuck seat takes the torque off it, the ring's bore held: estimate.

    Depth: a / 3.83 for a rigid seat (first root of J1), sqrt(a t / 4) for the shear of a wall of the mean thickness
    t (shear lag), as the root of the sum of squares. 8 %, measured +4.1 %.
    """
    _, _, done = turned()
    radius, wall = 7.0, 1.714
    depth = hypot(radius / 3.83171, sqrt(radius * wall / 4))
    stiffness = 205_000 / 2 / 1.29 * pi / 2 * radius**4 / (8 + depth)
    assert done.summary()["stiffness_Nm_per_rad"] == pytest.approx(stiffness / 1e3, rel=0.08)


def test_torque_of_first_slip():
    """Where 2 % of the seat have slid, on the straight line between two states; an eighth of the increment moves it by 7 %."""
    coarse, fine = (turned(divide)[2] for divide in (1, 8))
    for done in (coarse, fine):
        shares = [done.slipping(k) for k in range(len(done.states))]
        torques = [done.torque(s) / 1e3 for s in done.states]
        k = int(np.argmax(np.array(shares) >= 0.02))
        wanted = np.interp(0.02, shares[k - 1 : k + 1], torques[k - 1 : k + 1])
        assert done.summary()["first_slip_torque_Nm"] == pytest.approx(wanted, rel=1e-9)
    assert coarse.summary()["first_slip_torque_Nm"] == pytest.approx(fine.summary()["first_slip_torque_Nm"], rel=0.09)


def test_release_takes_small_steps_once_the_push_force_is_gone():
    """In parts of the way that a sticking cone needs to unload: 0.05 at first, 0.1 at most, 0.03 after the landing."""
    _, _, done = drawn()
    force = [measures.push_force(s) for s in done.states[:2]]
    felt = done.states[1].t - done.states[0].t
    unit = felt * force[0] / (force[0] - force[1])
    way = np.diff([s.t for s in done.states])[1:] / unit
    gone = next(k for k, s in enumerate(done.states) if UNLOADED in s.events) - 1
    assert way[0] == pytest.approx(0.05, rel=1e-6)
    assert np.max(way[:gone]) == pytest.approx(0.1, rel=1e-6)
    np.testing.assert_allclose(way[gone:], 0.03, rtol=1e-6)
