"""Parts that hardly change their volume: rounding of a stiffness that is all bulk modulus, and large strains of soft parts."""

from itertools import pairwise

import pytest
from helpers.push import case_of, run
from pytest import approx

from colletfea.cases.hand import corners as spec
from colletfea.cases.simulation import corners
from colletfea.fea.solvers import condensed

#: unlike nearly incompressible parts, the last two pushed until their soft sleeve or ring is stretched by far more than metals are
STIFF = {
    "shaft": {"diameter": 21.18, "bore": 12.708, "material": {"young": 69360, "poisson": 0.499}},
    "sleeve": {"length": 39.95, "nose_wall": 2.21, "taper": 3.276, "clearance": 0.0735, "material": {"young": 1173, "poisson": 0.49}},
    "ring": {"length": 41.14, "outer_diameter": 57.97, "start": 6.148, "material": {"young": 170356, "poisson": 0.4999}},
    "friction": {"cone": 0.0, "bore": 0.195}, "push": {"travel": 1.482},
}  # fmt: skip
SOFT = {
    "shaft": {"diameter": 4.375, "bore": 1.3125, "material": {"young": 2716, "poisson": 0.49}},
    "sleeve": {"length": 5.118, "nose_wall": 0.9285, "taper": 1.57, "clearance": 0.0133, "material": {"young": 1160, "poisson": 0.499}},
    "ring": {"length": 3.585, "outer_diameter": 10.045, "start": 2.246, "material": {"young": 743, "poisson": 0.499}},
    "friction": {"cone": 0.0, "bore": 0.258}, "push": {"travel": 0.367},
}  # fmt: skip
#: a flange plate holds the sleeve at its back while a steeper ring stretches by 1 % on it
FAR = {
    "shaft": {"diameter": 131, "bore": 92, "material": {"young": 110000, "poisson": 0.38}},
    "sleeve": {
        "length": 90, "nose_wall": 6.84, "taper": 7.2, "clearance": 1.066, "held": "fully", "flange_thickness": 5.05, "flange_diameter": 271,
        "material": {"young": 70000, "poisson": 0.0},
    },
    "ring": {"length": 101, "outer_diameter": 224, "start": 10, "taper": 6.58, "material": {"young": 110000, "poisson": 0.499}},
    "friction": {"cone": 0.02, "bore": 0.23}, "push": {"travel": 9.5}, "mesh": {"size": 6},
}  # fmt: skip
#: a shaft like a thin shell under a slit bronze sleeve: what it bears changes how it bends
SHELL = {
    "shaft": {"diameter": 18.6, "bore": 17.85, "material": {"young": 110000, "poisson": 0.4999}},
    "sleeve": {
        "length": 31.25, "nose_wall": 3.83, "taper": 5.27, "clearance": 0.0232, "flange_thickness": 20.7, "flange_diameter": 62.6,
        "material": {"young": 97500, "poisson": 0.34}, "slits": {"pattern": "through", "count": 2, "width": 3.4, "cuts_flange": True},
    },
    "ring": {"length": 20.85, "outer_diameter": 57.8, "start": 0.49, "material": {"young": 97500, "poisson": 0.34}},
    "friction": {"cone": 0.144, "bore": 0.198}, "push": {"travel": 0.36},
}  # fmt: skip


def changes(tables):
    return {f"{table}__{key}": value for table, keys in tables.items() for key, value in keys.items()}


@pytest.mark.parametrize("tables", [STIFF, SOFT], ids=["stiff ring", "soft parts"])
def test_unlike_nearly_incompressible_parts_reach_their_travel(tables):
    """Without a single increment cut; the work balance as for steel."""
    found = run(drop=("sleeve.slits",), **changes(tables), mesh__size=0.4)
    assert found.travel == approx(tables["push"]["travel"]) and found.push.tally.cutbacks == 0
    assert found.last.work.relative_error() < 0.01


def test_both_solvers_agree_on_nearly_incompressible_parts():
    """Push force, with the tolerance of the other comparisons of the two."""
    case = case_of(("sleeve.slits",), **changes(SOFT))
    nominal = spec.table(case)[0]
    ends = [corners.push(case, nominal, case.push, None, False, corners.Way("quick", solver))[1].force for solver in ("condensed", "full")]
    assert ends[0] == approx(ends[1], rel=1e-5)


def test_increments_in_which_finite_strain_runs_away_are_not_cut(monkeypatch):
    """Bodies are condensed anew; cut back they were five times, and took twice as long, and full Newton is not called."""
    monkeypatch.delattr(condensed, "FullNewton")
    found = run(drop=("sleeve.slits",), **changes(FAR))
    assert found.travel == approx(9.5) and found.push.tally.cutbacks == 0


def test_bodies_that_take_too_many_rounds_are_condensed_anew(monkeypatch):
    """As they are at rest the increments took 8600 iterations, and full Newton had to help again and again; now once."""
    full, called = condensed.FullNewton, []
    monkeypatch.setattr(condensed, "FullNewton", lambda *given: called.append(given) or full(*given))
    found = run(**changes(SHELL), mesh__size=2)
    assert found.travel == approx(0.36) and found.push.tally.cutbacks <= 2
    assert found.push.tally.iterations < 400 and len(called) <= 1


def test_bodies_are_not_condensed_anew_again_where_that_has_not_helped(monkeypatch):
    """Here it is made to change nothing: in a balance it is tried again only when rounds have left a hundredth of what they began with, and
    full Newton goes on. A twist took seven times as long otherwise."""
    rounds, trial, asked, norms = condensed.Condensed._rounds, condensed.Condensed._trial, [], []

    def counted(*given):
        asked.append([])
        return rounds(*given)

    def tried(*given):
        found = trial(*given)
        norms.append(found.norm)
        return found

    def useless(*given):
        asked[-1].append(norms[-1])
        return True

    monkeypatch.setattr(condensed.Condensed, "_rounds", counted)
    monkeypatch.setattr(condensed.Condensed, "_trial", tried)
    monkeypatch.setattr(condensed.Condensed, "_as_they_stand", useless)
    found = run(**changes(SHELL | {"push": {"travel": 0.2}}), mesh__size=2)
    assert found.travel == approx(0.2) and any(asked)
    assert all(again < 0.01 * before for balance in asked for before, again in pairwise(balance))