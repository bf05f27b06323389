"""Which cause is named where a push finds no equilibrium: made from states of real pushes, one cause at a time."""

from dataclasses import replace

import numpy as np
from helpers.push import CLOSED, FLANGE, run

from colletfea.cases.simulation.cause import cause, cause_of_stage
from colletfea.cases.simulation.model import CONE
from colletfea.fea.contact.resultants import pair_points


def told(found, states=None, size=None, case=None):
    return cause(case or found.case, found.push.model, states or found.push.states, size or found.push.size)


def test_a_sound_push_shows_no_cause():
    assert told(run(**CLOSED)).startswith("Its last state shows no cause; try a finer mesh.size")


def test_slots_that_are_nearly_shut():
    """The seat closes by 30 µm: a slot 0.1 mm wide would be shut by 0.1 / pi = 32 µm, one of 1 mm is far from it."""
    found = run()
    slits = replace(found.case.sleeve.slits, width=0.1)
    narrow = replace(found.case, sleeve=replace(found.case.sleeve, slits=slits))
    assert told(found, case=narrow).startswith("The slots have closed by") and "sleeve.slits.width" in told(found, case=narrow)
    assert "slots" not in told(found)


def test_an_edge_that_is_all_that_touches():
    found = run(**CLOSED)
    said = told(found, size=found.cone.length / 2.5)
    assert f"touch over {found.cone.length:.2g} mm of the cone only, less than 3 elements" in said and "ring.start" in said
    assert "cone" not in told(found, size=found.cone.length / 3.5)


def test_a_seat_that_opens():
    """The last states in reverse: contact that grew becomes contact that shrinks."""
    found = run(**CLOSED)
    shrinking = [s for s in found.push.states if s.contact.pressure.any()][::-1]
    touched = [s for s in shrinking if s.t > found.touch]
    assert told(found, touched[:1] + [found.push.states[1]]).startswith("The seat is opening")
    assert "opening" not in told(found)


def test_elements_that_are_coarse_for_the_gap():
    """At 400 times the radial gap and no sooner; the sentence says the size that would do."""
    found = run(**CLOSED)
    tight = replace(found.case, sleeve=replace(found.case.sleeve, clearance=2 * found.push.size / 401))
    wide = replace(found.case, sleeve=replace(found.case.sleeve, clearance=2 * found.push.size / 399))
    assert "coarse for a gap" in told(found, case=tight) and "coarse" not in told(found, case=wide)


def test_an_edge_that_presses():
    """One edge of the mesh, pressed ten times as hard as the mean; three times says nothing."""
    found = run(**CLOSED)
    last, contact = found.last, found.push.model.contact
    points = pair_points(contact, CONE)
    mean = found.cone.mean_pressure

    def pressed(factor):
        pressure = np.where(np.arange(len(last.contact.pressure)) < points.stop, mean, last.contact.pressure)
        pressure[contact.edge == contact.edge[points.start]] = factor * mean
        return [replace(last, contact=replace(last.contact, pressure=pressure))] * 2

    assert told(found, pressed(10)).startswith("An edge presses") and "ring.edge_radius" in told(found, pressed(10))
    assert "edge presses" not in told(found, pressed(3))


def test_a_push_that_does_not_come_beyond_its_start():
    found = run(**CLOSED)
    assert told(found, found.push.states[:1]).startswith("It did not come beyond its start") and "sleeve.nose_wall" in told(found, found.push.states[:1])


def test_a_part_that_flows_throughout():
    """The sleeve's own history, set to have flowed in three quarters of its elements, then in one quarter."""
    own = {"young": 205000, "poisson": 0.29, "yield": 300, "hardening": 1000}
    found = run(solver={"plastic": True}, sleeve__material=own, **CLOSED | FLANGE)
    part = found.push.model.solid.slices["sleeve"]

    def flowing(share):
        alpha = np.zeros_like(found.last.flow.alpha)
        volume = found.push.model.solid.volume[part].sum(axis=1)
        alpha[part][np.cumsum(volume) <= share * volume.sum()] = 0.01
        return [replace(found.last, flow=replace(found.last.flow, alpha=alpha))]

    assert "The sleeve has flowed in 7" in told(found, flowing(0.75)) and "sleeve.material" in told(found, flowing(0.75))
    assert "flowed" not in told(found, flowing(0.25))


def test_a_stage_names_the_cause_that_its_last_state_shows_and_none_that_the_push_alone_can_have():
    """A clause, without a word on increments, which are the push's; before anything touches, a push is told to have lost its seat."""
    found = run(**CLOSED)
    of_stage = lambda case, state, size=found.push.size: cause_of_stage(case, found.push.model, state, size)
    assert of_stage(found.case, found.last) == "its last state shows no cause: try a finer mesh.size, or --fine"
    assert of_stage(found.case, found.last, found.cone.length / 2.5).startswith("ring and sleeve touch over")
    assert of_stage(found.case, found.push.states[1]) == of_stage(found.case, found.last)
    assert told(found, found.push.states[::-1][:-1]).startswith("The seat is opening")
    slits = replace(run().case.sleeve.slits, width=0.1)
    narrow = replace(run().case, sleeve=replace(run().case.sleeve, slits=slits))
    said = cause_of_stage(narrow, run().push.model, run().last, run().push.size)
    assert said.startswith("the slots have closed by") and said.endswith("smaller clearance")
