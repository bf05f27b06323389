"""Finite sliding and Coulomb's rules: a ring pushed along a plain shaft, over several element lengths."""

from dataclasses import replace

import numpy as np
import pytest
from helpers.contact import build, hold, seat, solve, touching

from colletfea.fea.contact.pair import SLIP
from colletfea.fea.elements.grids import block, join, spread
from colletfea.fea.model.drives import Drive, Z

INTERFERENCE, EDGE, STEPS = 0.01, 2.0, 20
FITTED = {"residual": 1e-8}


def slid(friction, steps=STEPS, way=5 * EDGE):
    """Ring, 10 long, fitted at z = 4 to 14 on a shaft 0 to 32, then pushed up by 5 of its element lengths."""
    shaft = block(0, 10, spread(0, 32, 23), spread(0, 1, 5))
    ring = block(10 - INTERFERENCE, 16, spread(4, 14, 5), spread(0, 1, 4))
    mesh = join({"shaft": shaft, "ring": ring})
    model = build(mesh, (touching("ring.inner", "shaft.outer", friction=friction),))
    base = hold("shaft", "shaft.bottom", Z)
    (fit,) = solve(model, [base, hold("push", "ring.bottom", Z)], **FITTED)
    push = Drive("push", "ring.bottom", Z, displacement=lambda t: way * t)
    grid = np.linspace(0, 1, steps + 1)[1:]
    return model, solve(model, [base, push], grid, start=replace(fit, t=0.0), **FITTED)


def test_frictionless_ring_glides():
    """Axial force 0.005 % of N (measured 0.0014 %); N ripples by 0.5 % (measured 0.26 %) across the shaft's element ends."""
    model, states = slid(0.0)
    normal = np.array([seat(model, s)[1].normal_force for s in states])
    axial = np.array([s.totals["push"] for s in states])
    assert np.ptp(normal) < 5e-3 * normal.mean()
    assert np.max(np.abs(axial)) < 5e-5 * normal.mean()


def test_sliding_ring_obeys_coulomb():
    """F / N = 0.1 once it slides as a whole (0.1 %, measured 0.02 %), every traction within the limit, and every step dissipates."""
    model, states = slid(0.1)
    for before, state in zip([None, *states[:-1]], states):
        ev = state.contact
        size = np.linalg.norm(ev.traction, axis=1)
        assert np.all(size <= 0.1 * ev.pressure * (1 + 1e-6))
        if before is not None:
            assert set(ev.status[ev.pressure > 0]) == {SLIP}
            assert state.totals["push"] / seat(model, state)[1].normal_force == pytest.approx(0.1, rel=1e-3)
            assert state.work.dissipated > before.work.dissipated


def test_halved_steps_give_the_same_push_force():
    """Path error of the push force below 0.01 %: measured 0.002 %."""
    forces = [slid(0.1, steps)[1][-1].totals["push"] for steps in (STEPS, 2 * STEPS)]
    assert forces[1] == pytest.approx(forces[0], rel=1e-4)


def test_work_balances_while_sliding():
    """Push work = stored + springs + friction, from the fitted state on; dissipation is mu N times the way.

    Measured 8e-6 and 1.5e-6; 1e-4 and 1e-5 allowed.
    """
    model, states = slid(0.1)
    first, last = states[0].work, states[-1].work
    given = last.drives - first.drives
    used = (last.stored - first.stored) + (last.springs - first.springs) + (last.friction - first.friction)
    assert used == pytest.approx(given, rel=1e-4)
    normal = np.mean([seat(model, s)[1].normal_force for s in states])
    share = (STEPS - 1) / STEPS
    assert last.dissipated - first.dissipated == pytest.approx(0.1 * normal * 5 * EDGE * share, rel=1e-5)
