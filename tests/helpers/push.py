"""One small slit coupling, pushed in a second, whose keys can be changed one by one."""

import copy
import tomllib
from dataclasses import replace
from functools import cache, cached_property
from types import SimpleNamespace

from colletfea.cases.casefile import examples, fits
from colletfea.cases.casefile.case import Case
from colletfea.cases.hand import corners as spec
from colletfea.cases.hand.calculation import hand
from colletfea.cases.judgement import loads
from colletfea.cases.judgement.verdicts import judge
from colletfea.cases.run import solve
from colletfea.cases.simulation import corners, measures
from colletfea.cases.simulation.corners import Way, needed_of
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
#: a mesh for whatever does not hang on it: half as fine as the quick one
COARSE = {"mesh__size": 1.0}
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


def push_corner(case, level="default", corner=spec.NOMINAL, finds=False, solver="condensed", **end):
    """One corner of a case pushed to travel= or force=, else to the case's own; without either, until it carries the duty.

    Gives the push and what it reached; a corner other than the nominal one is named like those of the results.
    """
    asked = next(c for c in spec.table(case, fits.of(case)) if c.name == corner)
    end = replace(case.push, **{"travel": None, "force": None, **end}) if end else case.push
    need = needed_of(case, asked.carrying, loads.lost(loads.service_of(case)))
    return corners.push(case, asked, end, need, finds, Way(level, solver))


@cache
def example_pushed(name, level="default", corner=spec.NOMINAL):
    """A bundled example pushed in one corner."""
    return push_corner(Case.from_tables(tomllib.loads(examples.text(name)), name), level, corner, corner == spec.GRIP)


def coarsest(case):
    """The case with the coarsest mesh it may have."""
    return case.changed({"mesh.size": case.sleeve.nose_wall})


@cache
def example_solved(name, level="quick"):
    """The whole job on a bundled example; at level quick on the coarsest mesh it may have, which moves forces by less than 1 %."""
    case = Case.example(name)
    return solve(coarsest(case) if level == "quick" else case, level)


def run(level="quick", drop=(), corner=spec.NOMINAL, finds=False, **changes):
    """Push of such a case in one corner: its states, forces [N] at the end, both seats, and travel and force at first touch.

    The mesh of level quick is COARSE unless mesh__size is given.
    """
    changes = {**COARSE, **changes} if level == "quick" else changes
    key = (level, drop, corner, finds, repr(sorted(changes.items())))
    if key not in _SOLVED:
        _SOLVED[key] = _pushed(case_of(drop, **changes), level, corner, finds)
    return _SOLVED[key]


def summary(level="quick", drop=(), **changes):
    """summary.json of the whole job on such a case; the mesh as for `run`."""
    changes = {**COARSE, **changes} if level == "quick" else changes
    key = (level, drop, "whole", repr(sorted(changes.items())))
    if key not in _SOLVED:
        _SOLVED[key] = solve(case_of(drop, **changes), level).summary
    return _SOLVED[key]


def named(verdicts):
    """Stored verdicts by their names."""
    return {verdict["name"]: verdict for verdict in verdicts}


def verdicts(*found):
    """What is judged of one case's pushes in corners, by name; the first one's force stands for the least clamp force."""
    case, service = found[0].case, loads.service_of(found[0].case)
    clamp = spec.Clamp(None, found[0].force, found[0].force, 1.0, "")
    judged = judge(case, found[0].hand, clamp, [each.reached for each in found], loads.lost(service), loads.added(service))
    return {verdict.name: verdict for verdict in judged}


class Pushed(SimpleNamespace):
    """What `run` gives; worked out by hand when asked for."""

    @cached_property
    def hand(self):
        return hand(self.case)


def along(found, name, state=None):
    """Element means of a seat at the end, or at a given state."""
    return profile(found.push.model.contact, (state or found.last).contact, name)


def _place(tables, path):
    for step in path[:-1]:
        tables = tables.setdefault(step, {})
    return tables, path[-1]


def _pushed(case, level, corner, finds):
    done, reached = push_corner(case, level, corner, finds)
    assert done.reason not in names.EARLY, done.message
    last, touch = done.states[-1], done.landed(names.TOUCH)
    bore, cone = (resultant(done.model.contact, last.contact, name) for name in ("bore", "cone"))
    return Pushed(
        case=case,
        push=done,
        reached=reached,
        last=last,
        reason=done.reason,
        travel=last.t,
        force=measures.push_force(last),
        bore=bore,
        cone=cone,
        touch=touch and touch.t,
        touch_force=touch and measures.push_force(touch),
    )
