"""One small slit coupling, pushed in a second, whose keys can be changed one by one."""

import copy
from types import SimpleNamespace

from colletfea.cases.simulation import measures, push
from colletfea.cases.hand.calculation import hand
from colletfea.cases.casefile.case import Case
from colletfea.cases.simulation.plan import plan
from colletfea.cases.stored import names
from colletfea.fea.contact.resultants import profile, resultant

BASE = {
    "shaft": {"diameter": 20},
    "sleeve": {
        "length": 20,
        "nose_wall": 2,
        "taper": 4,
        "clearance": 0.03,
        "slits": {"pattern": "through", "count": 1, "width": 1},
    },
    "ring": {"length": 16, "outer_diameter": 40, "start": 2},
    "friction": {"cone": 0.08, "bore": 0.12},
    "push": {"travel": 0.35},
}
CLOSED = {"drop": ("sleeve.slits",), "push__travel": 0.6}
FLANGE = {"sleeve__flange_thickness": 4, "sleeve__flange_diameter": 40}
SOFT = {"young": 70000, "poisson": 0.33}
_SOLVED = {}


def case_of(drop=(), **changes):
    """Case with keys dropped ("table.key") and changed (table__key=value); any number of tables deep."""
    tables = copy.deepcopy(BASE)
    for name in drop:
        place, last = _place(tables, name.split("."))
        del place[last]
    for name, value in changes.items():
        place, last = _place(tables, name.split("__"))
        place[last] = value
    return Case.from_tables(tables, "case")


def run(level="quick", drop=(), **changes):
    """Push of such a case: its states, forces [N] at the end, both seats, and travel and force at first touch."""
    key = (level, drop, repr(sorted(changes.items())))
    if key not in _SOLVED:
        _SOLVED[key] = _pushed(case_of(drop, **changes), level)
    return _SOLVED[key]


def along(found, name, state=None):
    """Element means of a seat at the end, or at a given state."""
    return profile(found.push.model.contact, (state or found.last).contact, name)


def _place(tables, path):
    for step in path[:-1]:
        tables = tables.setdefault(step, {})
    return tables, path[-1]


def _pushed(case, level):
    by_hand = hand(case)
    done = push.push(case, plan(case, by_hand, level), level, lambda fraction, text: None)
    assert done.reason not in names.EARLY, done.message
    last, touch = done.states[-1], done.landed(names.TOUCH)
    bore, cone = (resultant(done.model.contact, last.contact, name) for name in ("bore", "cone"))
    return SimpleNamespace(
        case=case,
        hand=by_hand,
        push=done,
        last=last,
        reason=done.reason,
        travel=last.t,
        force=measures.push_force(last),
        bore=bore,
        cone=cone,
        touch=touch and touch.t,
        touch_force=touch and measures.push_force(touch),
    )
