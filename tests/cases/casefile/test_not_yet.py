"""Values that this version does not compute are refused, each with its key."""

import pytest

from colletfea.cases.casefile.faults import CaseError
from colletfea.cases.casefile.checks import NOT_YET
from colletfea.cases.casefile.reading import read

BASE = {
    "shaft": {"diameter": 22},
    "sleeve": {"length": 26, "nose_wall": 2.2, "taper": 5, "clearance": 0.027},
    "ring": {"length": 22, "outer_diameter": 46, "start": 3},
    "friction": {"cone": 0.1, "bore": 0.12},
    "push": {"travel": 0.4},
}
TRIES = {
    "sleeve.slits.pattern": {"sleeve": {**BASE["sleeve"], "slits": {"pattern": "through", "count": 1, "width": 1}}},
    "sleeve.fit": {"sleeve": {**{k: v for k, v in BASE["sleeve"].items() if k != "clearance"}, "fit": "H8/h7"}},
    "push.travel": {"push": {}, "duty": {"torque": 60}},
    "push.force": {"push": {"force": 1000}},
    "after.release": {"after": {"release": True}},
    "after.twist": {"after": {"twist": True}},
    "solver.plastic": {"solver": {"plastic": True}},
    "solver.stop_at_yield": {"solver": {"stop_at_yield": True}},
}


@pytest.mark.parametrize("key", NOT_YET)
def test_a_value_without_its_capability_is_refused(key):
    tables = {**BASE, **TRIES[key]}
    with pytest.raises(CaseError) as refusal:
        read(tables, "case")
    assert [fault.split(" = ")[0].split(":")[0] for fault in refusal.value.faults] == [key]
    read(tables, "case", {})
