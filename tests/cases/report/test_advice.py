"""What a decision advises helps, and the case file takes it."""

from helpers import decided
from helpers import results as made
import pytest

from colletfea.cases.casefile.case import Case
from colletfea.cases.public import by_hand
from colletfea.cases.report import decision, helps, screw_lines


def failing(**verdicts):
    return decided.holding(made.summary()) | {"verdicts": decided.verdicts(**{name: {"ok": False, **more} for name, more in verdicts.items()})}


def ended(reason, **sleeve):
    """No pull carries the duty; the push that looks for one ended early."""
    data = failing(slip={"value": 20.0}, bottoming={"value": 3.2})
    data["case"]["sleeve"] |= sleeve
    data["clamp"] = {**data["clamp"], "needed_N": None}
    data["corners"] = [{**c, "stop_reason": reason} if c["name"] == "grip" else c for c in data["corners"]]
    return decision.sentences(data)


@pytest.mark.parametrize("reason", ["flange met", "slots shut", "yield"])
@pytest.mark.parametrize("play", [{"fit": None, "clearance": 0.0}, {"fit": "H7/h6"}])
def test_less_play_is_no_advice_where_there_is_none_to_take(reason, play):
    said = ended(reason, **play)
    assert said[0].endswith("give ring.start more.") and "less sleeve.clearance" not in said[1] and "tighter" not in said[1]
    assert "choose a tighter sleeve.fit" in ended(reason, fit="H7/f7")[1]


def test_only_a_closed_sleeve_is_to_be_slit():
    slits = {"pattern": "through", "count": 1, "width": 1.5}
    assert "slit the sleeve (sleeve.slits.pattern)" in ended("yield", slits={"pattern": "none"})[1]
    assert "slit the sleeve" not in ended("yield", slits=slits)[1]


def hub(**changes):
    return by_hand(Case.example("sprocket_hub").changed({key.replace("__", "."): value for key, value in changes.items()}))


def test_more_jacking_screws_are_advised_where_as_many_as_may_be_bear_it():
    """At 2.5 degrees three M4 are too weak; the number that is named is the least that bears it."""
    said = decision.answer(hub(sleeve__taper=2.5))
    assert "don't bear it: give screws.jacking = 4 or more" in said
    ok = [next(v["ok"] for v in hub(sleeve__taper=2.5, screws__jacking=count)["verdicts"] if v["name"] == "jacking") for count in (3, 4)]
    assert ok == [False, True]


def test_larger_screws_are_advised_where_no_number_of_jacking_screws_does():
    """Six of them would have to push with 10 kN each, and M4 10.9 bears 6.5."""
    weak = hub(friction__cone=[0, 0.1, 0.2])
    said = decision.answer(weak)
    assert "don't bear it, not even with screws.jacking = 6, the most there may be." in said and "give screws.jacking" not in said
    assert said.count("no set of") == 1  # told once, of the clamp screws
    alone = {**weak, "verdicts": [{**v, "ok": True} if v["name"] == "screws" else v for v in weak["verdicts"]]}
    assert "the most there may be: no set of this count or size" in decision.answer(alone)
    alone = {**alone, "clamp": {**alone["clamp"], "needed_N": None}}
    assert "the most there may be: larger screws are needed" in decision.answer(alone)


def test_one_jacking_screw_is_one():
    one = hub(screws__jacking=1)
    assert screw_lines.short(one)[2] == "To push the ring off: one jacking screw M4, up to 9.7 kN."
    because = next(v["because"] for v in one["verdicts"] if v["name"] == "jacking")
    assert "1 jacking screw M4 pushes the ring off with" in because and "each" not in because
    assert any(line.startswith("1 jacking screw M4 pushes the ring off with up to") and "each" not in line for line in one["screws"]["sentences"])
    data = failing()
    data["screws"] = {**data["screws"], "jacking": {**data["screws"]["jacking"], "count": 1}}
    assert "; one M5 pushes the ring off with 3.3 kN." in decision.answer(data)
    weak = hub(screws__jacking=1, sleeve__taper=2.5)
    assert "the jacking screw would have to push with" in decision.answer(weak) and "and doesn't bear it: give screws.jacking = 4 or more" in decision.answer(weak)


def ranked(*failed, keys=("sleeve.nose_wall", "shaft.diameter", "ring.outer_diameter", "friction.bore")):
    """Keys that are named where so much fails, each of them said to lower the force and the travel by a tenth."""
    data = failing(**{name: {} for name in failed})
    better = {"value": 2.0, "unit": "mm", "changed_to": 2.1, "clamp_force_N": 20e3, "travel_mm": 0.3, "torque_capacity_Nm": 99.0, "yield_margin": 1.1}
    data["sensitivities"] = [{"key": key, **better} for key in keys]
    return {line.split()[0] for line in helps.lines(data)[1:]}


def test_what_helps_worsens_nothing_that_fails():
    """A thinner wall weakens a neck, a thicker shaft takes room from the screws."""
    every = {"sleeve.nose_wall", "shaft.diameter", "ring.outer_diameter", "friction.bore"}
    assert ranked("jacking") == ranked("slip") == every
    assert ranked("neck") == ranked("slip", "neck") == every - {"sleeve.nose_wall"}
    assert ranked("screw_room") == every - {"shaft.diameter"}


def test_a_change_that_leaves_the_screws_no_room_is_told_with_that():
    data = failing()
    row = {"unit": "mm", "value": 22.0, "changed_to": 23.1, "clamp_force_N": 20e3}
    data["sensitivities"] = [{"key": "shaft.diameter", **row, "screws_fit": False}, {"key": "sleeve.length", **row, "screws_fit": True}]
    assert [line.endswith("%); the screws then find no room on their circle") for line in helps.lines(data)[1:]] == [True, False]


@pytest.mark.parametrize("name", ["slots", "self_locking"])
def test_less_travel_or_force_is_no_help_for_slots_that_shut_or_a_ring_that_is_driven_off(name):
    """Slots shut by the clearance alone; a ring that does not stay needs a harder pull."""
    assert ranked(name) == set()


def test_a_slot_that_shuts_is_helped_by_a_tighter_fit():
    assert "give sleeve.slits.width more, or choose a tighter sleeve.fit" in decision.answer(failing(slots={}))


def test_advice_by_hand_weakens_no_neck_that_fails():
    """A thinner wall lowers the clamp force of this hub, and so does bronze."""
    thin = hub(sleeve__nose_wall=1.7, screws=None)
    assert [v["name"] for v in thin["verdicts"] if v["ok"] is False] == ["neck"]
    said = " ".join(helps.by_hand(thin))
    assert "(friction.bore)" in said and not any(f"({key})" in said for key in ("sleeve.nose_wall", "sleeve.material"))
    assert "(sleeve.nose_wall)" in " ".join(helps.by_hand(hub()))
