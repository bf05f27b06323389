"""What a ladder of meshes says of peaks whose nature is known: unbounded under a flat punch, bounded under a sphere and in a press fit.

The neighbourhood of a spot is cut out and solved again with halved elements, as in a run (colletfea.cases.simulation.ladder).
"""

import numpy as np
import pytest
from helpers.contact import STEEL, YOUNG
from helpers.press import fit
from helpers.punch import A, SCALED, ball_on_plate, hertz, pressed, scene

from colletfea.cases.judgement.peaks import growth
from colletfea.cases.simulation.ladder import HOOP, PRESSURE, VON_MISES, Spot, climb
from colletfea.cases.simulation.zoom import Level, Remake
from colletfea.fea.bodies.solid import Body
from colletfea.fea.model.drives import R, Z
from colletfea.fea.model.model import Model
from colletfea.fea.solvers.newton import Settings

DEPTH = 1e-4  # [mm] of the punch


def remake(model, rigid=(), held=()):
    """How pieces of a steel model with one contact pair are made again: rigid bodies and held edges keep their displacement."""
    (pair,) = model.contact.pairs

    def build(mesh):
        pairs = (pair,) if {pair.follower, pair.leader} <= mesh.edges.keys() else ()
        return Model.build(mesh, dict.fromkeys(mesh.cells, Body(STEEL)), pairs)

    def kept(mesh):
        nodes = [mesh.body_nodes(body) for body in rigid if body in mesh.cells] + [mesh.edge_nodes(name) for name in held if name in mesh.edges]
        return dict.fromkeys((R, Z), np.unique(np.concatenate([np.empty(0, int), *nodes])))

    return Remake(build, kept, Settings(residual=1e-7))


def changes(model, state, spot, halvings, **kept):
    """Changes of a ladder that came to its end."""
    ladder = climb(remake(model, **kept), Level(model, state), spot, halvings)
    assert not ladder.failed and len(ladder.levels) > halvings
    return ladder.changes


@pytest.mark.verification(source="Sneddon 1965; Johnson, Contact Mechanics, ch. 3 (from memory)")
def test_the_edge_of_a_flat_punch_is_seen_to_be_unbounded():
    """p ~ (a - r)^-1/2: exponent 0.5 +- 0.1 from each halving (measured 0.47 to 0.50), so a stress that grows with the mesh."""
    mesh, pair = scene(20 * A, [(0, A, 8, 0.3)], [(A, 2 * A, 6, 4.0)], spot=A)
    model, (state,) = pressed(mesh, pair, DEPTH, residual=1e-7, condensed=True)
    spot = Spot("edge", "ground.spot", "punch.bottom", np.array([A, 0.0]))
    found = changes(model, state, spot, 4, rigid=["punch"], held=["ground.bottom"])
    for count in (2, 3, 4):
        seen = growth(found["fit", PRESSURE][:count])
        assert seen.grows and not seen.settled and seen.exponent == pytest.approx(0.5, abs=0.1)
        assert "grows with the mesh: not a stress" in seen.words
    assert growth(found["ground", VON_MISES]).grows


@pytest.mark.verification(source="Hertz; Johnson, Contact Mechanics, ch. 4 (from memory)")
def test_the_peak_under_a_sphere_is_seen_to_settle():
    """C8c's sphere with 12 elements across 1.3 a: p0 settles to 2 %, within 2 % of the exact one (measured 0.4 and 0.9 %)."""
    model, state = ball_on_plate(10, YOUNG, 0.186626 * SCALED, 0.2, 12, soft_plate=True)
    spot = Spot("pole", "ball.pole", "plate.top", np.array([0.0, 0.0]))
    held = ["plate.bottom", "ball.top", "ball.outer", "plate.outer"]
    found = changes(model, state, spot, 3, held=held)
    seen = growth(found["fit", PRESSURE])
    assert seen.settled and not seen.grows and abs(seen.last) < 0.02 and seen.words.startswith("settled to")
    assert seen.values[-1] == pytest.approx(hertz(-state.totals["press"], 10, YOUNG / 0.91 / 2)[1], rel=0.02)


@pytest.mark.verification(source="Lamé; Shigley, ch. 7")
def test_stresses_of_a_press_fit_are_seen_to_settle():
    """C5b: shaft 30 in hub 60, diametral interference 0.03: hub bore hoop 131.25, pressure 78.75, each settled to 2 %, and as far from it: the largest of
    values that differ by 1 % from point to point between unlike meshes (measured 1.0 and 1.6 %)."""
    model, state = fit(0, 15, 30, 0.015, 40, {"shaft": STEEL, "hub": STEEL}, elements=12)
    spot = Spot("bore", "hub.inner", "shaft.outer", np.array([14.9925, 20.0]))
    found = changes(model, state, spot, 3, held=["hub.bottom", "shaft.bottom"])
    for key, wanted in ((("hub", HOOP), 131.25), (("fit", PRESSURE), 78.75)):
        seen = growth(found[key])
        assert seen.settled and abs(seen.last) < 0.02
        assert seen.values[-1] == pytest.approx(wanted, rel=0.02)
