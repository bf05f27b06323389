"""Numbers of the stages after the push that other tests only bound: stiffness and first slip of a twist, steps of a release."""

from functools import partial
from math import hypot, pi, sqrt

import numpy as np
import pytest
from test_release import drawn
from test_twist import turned

from colletfea.cases.simulation import measures, model
from colletfea.cases.simulation.release import UNLOADED
from colletfea.fea.contact.pair import Pair


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


def test_torque_of_first_slip(monkeypatch):
    """Where 2 % of the seat slide round, on the straight line between two states, 16 N·m of 66.5 at full slip.

    Half the increments move it by 4 %, a quarter by 7, an eighth by 15 on this mesh, whose outermost element is 8 % of the seat: 8 %.
    Springs nine times as stiff by 1 to 10 %, and by 2 % on the default one: 12 %. Told by slips beyond the springs' own it would be 6 N·m, and 3 with the stiff ones.
    """
    torques = []
    for divide, stiffness in ((1, 5.0), (4, 5.0), (1, 45.0)):
        monkeypatch.setattr(model, "Pair", partial(Pair, tangential=stiffness))
        _, _, done = turned(divide)
        shares = [done.slipping(k) for k in range(len(done.states))]
        k = int(np.argmax(np.array(shares) >= 0.02))
        along = [done.torque(s) / 1e3 for s in done.states[k - 1 : k + 1]]
        torques.append(done.summary()["first_slip_torque_Nm"])
        assert torques[-1] == pytest.approx(np.interp(0.02, shares[k - 1 : k + 1], along), rel=1e-9)
    assert torques[1] == pytest.approx(torques[0], rel=0.08)
    assert torques[2] == pytest.approx(torques[0], rel=0.12)


def test_release_takes_small_steps_once_the_push_force_is_gone():
    """In parts of the way that a sticking cone needs to unload: 0.05 at first, 0.1 at most, after the landing 0.03 that grows to 0.1."""
    _, _, done = drawn()
    force = [measures.push_force(s) for s in done.states[:2]]
    felt = done.states[1].t - done.states[0].t
    unit = felt * force[0] / (force[0] - force[1])
    way = np.diff([s.t for s in done.states])[1:] / unit
    gone = next(k for k, s in enumerate(done.states) if UNLOADED in s.events) - 1
    assert way[0] == pytest.approx(0.05, rel=1e-6)
    assert np.max(way[:gone]) == pytest.approx(0.1, rel=1e-6)
    np.testing.assert_allclose(way[gone:], np.minimum(0.03 * 1.4 ** np.arange(len(way) - gone), 0.1), rtol=1e-6)
