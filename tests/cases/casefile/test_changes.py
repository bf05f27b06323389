"""The case as a library object: changed, read by dotted keys, sent to another process."""

import pickle

import numpy as np
import pytest

from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.faults import CaseError

HUB = Case.example("sprocket_hub")  # fit H8/h7, a duty, screws
DISC = Case.example("spindle")  # clearance 0.012, travel 0.22


def refusal(case, changes):
    with pytest.raises(CaseError) as error:
        case.changed(changes)
    return error.value.faults


def test_changes_of_several_tables_leave_the_rest():
    changed = HUB.changed({"sleeve.nose_wall": 2.5, "push.force": 22e3, "title": "thicker"})
    assert (changed.sleeve.nose_wall, changed.push.force, changed.title) == (2.5, 22e3, "thicker")
    assert changed.changed({"sleeve.nose_wall": 2.2, "push.force": None, "title": HUB.title}) == HUB
    assert HUB.sleeve.nose_wall == 2.2 and HUB.push.force is None


def test_a_title_taken_from_the_file_s_name_stays():
    tables = {key: value for key, value in DISC.given.items() if key != "title"}
    assert Case.from_tables(tables, "disc").changed({"shaft.bore": 3}).title == "disc"


def test_what_was_left_out_follows_and_what_was_given_stays():
    assert HUB.ring.taper == 5 and HUB.changed({"sleeve.taper": 4}).ring.taper == 4
    assert HUB.changed({"ring.taper": 5}).changed({"sleeve.taper": 4}).ring.taper == 5
    assert HUB.changed({"shaft.diameter": 20}).shaft.beyond == (10, 10)
    assert HUB.changed({"sleeve.length": 24}).duty.radial_at == 12


def test_a_clearance_drops_a_fit_and_the_reverse():
    loose = HUB.changed({"sleeve.clearance": 0.04})
    assert (loose.sleeve.clearance, loose.sleeve.fit) == (0.04, None)
    fitted = loose.changed({"sleeve.fit": "H7/h6"})
    assert (fitted.sleeve.fit, fitted.sleeve.clearance) == ("H7/h6", 0.017)
    assert "sleeve.fit" in refusal(HUB, {"sleeve.clearance": 0.04, "sleeve.fit": "H7/h6"})[0]


def test_a_travel_drops_a_force_and_the_reverse():
    forced = DISC.changed({"push.force": 8000})
    assert (forced.push.travel, forced.push.force) == (None, 8000)
    assert forced.changed({"push.travel": 0.2}).push.force is None
    assert DISC.changed({"push.travel": None}).push.travel is None


def test_a_table_is_made_where_it_is_missing_and_taken_away_whole():
    assert DISC.screws is None and DISC.changed({"screws.count": 4}).screws.count == 4
    assert HUB.changed({"screws": None}).screws is None
    assert HUB.changed({"service.speed": 1500}).service.speed == 1500
    assert HUB.changed({"sleeve.slits": None}).sleeve.slits.pattern == "none"


def test_a_changed_case_is_checked_anew():
    assert refusal(HUB, {"sleeve.taper": 88})[0].startswith("sleeve.taper = 88: must be a number at least 0.01")
    assert refusal(HUB, {"ring.start": 30})[0].startswith("ring.start = 30: must be at most 24.7 mm")


@pytest.mark.parametrize(("key", "hint"), [
    ("sleeve.tapper", "did you mean sleeve.taper?"),
    ("sleve.taper", "did you mean sleeve.taper?"),
    ("nose_wall", "did you mean sleeve.nose_wall?"),
    ("duty.zzz", "there are duty.torque, duty.thrust, "),
    ("zzz.zzz", "the tables are shaft, sleeve, "),
    ("sleeve", "no such key"),
    ("", "no such key"),
])
def test_unknown_keys_are_refused_with_the_nearest(key, hint):
    found = refusal(HUB, {key: 3})
    assert len(found) == 1 and "no such key; " in found[0] and hint in found[0]


def test_numbers_of_arrays_are_plain_numbers():
    walls, counts = np.linspace(2.2, 2.4, 2), np.arange(4, 6)
    assert HUB.changed({"sleeve.nose_wall": walls[1], "screws.count": counts[0]}).screws.count == 4


def test_filled_tables_can_be_changed_too():
    case = Case.from_tables(HUB.tables(), "again")
    assert case.changed({"sleeve.clearance": 0.04}).sleeve.fit is None


def test_value_of_a_dotted_key():
    assert HUB.value("sleeve.slits.count") == 1 and HUB.value("title") == HUB.title
    assert HUB.value("service.speed") is None and DISC.value("screws.count") is None


def test_what_was_given_is_no_part_of_the_tables_and_not_shared():
    assert "given" not in HUB.tables()
    HUB.changed({"sleeve.taper": 4})
    assert HUB.given["sleeve"]["taper"] == 5


def test_a_case_and_its_faults_go_to_another_process_and_back():
    same = pickle.loads(pickle.dumps(HUB))
    assert same == HUB and same.changed({"sleeve.taper": 4}) == HUB.changed({"sleeve.taper": 4})
    error = pickle.loads(pickle.dumps(CaseError(["a", "b"])))
    assert error.faults == ["a", "b"] and str(error) == "a\nb"


def test_an_unknown_example_is_refused_with_the_nearest():
    with pytest.raises(CaseError, match="did you mean spindle"):
        Case.example("spindel")
