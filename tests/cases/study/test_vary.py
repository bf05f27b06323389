"""Keys and values of a study: what the words mean, and what is refused in one sentence."""

import pytest

from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.faults import CaseError
from colletfea.cases.study import trend, vary
from helpers.study import TABLES


def test_lists_and_ranges_are_read():
    axes = vary.from_words(["sleeve.taper=3,4.5", "friction.cone=0.05:0.2:4", "sleeve.fit=H8/h7, H7/g6", "ring.material=C45+QT"])
    assert axes == {
        "sleeve.taper": (3.0, 4.5), "friction.cone": (0.05, 0.1, 0.15, 0.2), "sleeve.fit": ("H8/h7", "H7/g6"), "ring.material": ("C45+QT",),
    }


def test_a_band_is_one_value():
    assert vary.from_words(["friction.bore=[0.1,0.12,0.15],0.1"]) == {"friction.bore": ([0.1, 0.12, 0.15], 0.1)}


def test_a_material_of_ones_own_is_one_value():
    axes = vary.from_words(["sleeve.material=C45+QT,{young=70000,poisson=0.3, hardening=[[0,300],[0.1,350]]}, {name='soft', young=7e4, poisson=0.3}"])
    alloy = {"young": 70000, "poisson": 0.3}
    assert axes == {"sleeve.material": ("C45+QT", {**alloy, "hardening": [[0, 300], [0.1, 350]]}, {"name": "soft", **alloy})}
    assert [trend.shown(value) for value in axes["sleeve.material"]] == ["C45+QT", "own", "soft"]


@pytest.mark.parametrize("words, said", [
    (["sleeve.material={young=70000 poisson=0.3}"], "a material of your own is written {young=70000, poisson=0.3}"),
    (["sleeve.material={young=70000,poisson=0.3"], "a material of your own is written"),
    (["sleeve.taper"], "KEY=V1,V2,... or KEY=START:STOP:COUNT"),
    (["sleeve.tapper=3,4"], "did you mean sleeve.taper?"),
    (["sleeve.taper=3:5:1"], "a whole number from 2 to 1000000"),
    (["sleeve.taper=3:5"], "START:STOP:COUNT"),
    (["sleeve.taper=3:5:1000000000"], "from 2 to 1000000"),
    (["sleeve.taper=1e400:2:3"], 'sleeve.taper = "1e400:2:3": must be START:STOP:COUNT, two finite numbers'),
    (["sleeve.taper=-1e308:1e308:3"], "two finite numbers"),
    (["sleeve.taper=3", "sleeve.taper=4"], "varied twice"),
    (["title=a,b"], "can't be varied"),
    (["after.release=true,false"], "can't be varied"),
])  # fmt: skip
def test_words_that_mean_nothing_are_refused(words, said):
    with pytest.raises(CaseError) as error:
        vary.from_words(words)
    assert len(error.value.faults) == 1 and said in error.value.faults[0]


@pytest.mark.parametrize("axes, said", [
    ({"sleeve.taper": [3, 60]}, "sleeve.taper = 60: must be a number"),
    ({"sleeve.taper": ["steep"]}, "sleeve.taper = \"steep\": must be a number"),
    ({"screws.size": ["M5", "M7"]}, "M7"),
    ({"sleeve.material": ["C45+QX"]}, 'did you mean "C45+QT"?'),
    ({"sleeve.material": [{"young": 7e4}]}, "sleeve.material.poisson: missing"),
    ({"sleeve.material": [{"young": 7e4, "poisson": 0.3}, {"young": 8e4, "poisson": 0.3}]}, "two materials bear the name own; give each table"),
    ({"sleeve.taper": []}, "has no value"),
    ({"sleeve.taper": [3, 4, 3]}, "sleeve.taper = 3: stands twice"),
    ({}, "needs a key"),
    ({"sleeve.fit": ["H8/h7"], "sleeve.clearance": [0.03]}, "can't be varied together with sleeve.fit"),
])  # fmt: skip
def test_values_that_a_key_refuses_are_refused(axes, said):
    with pytest.raises(CaseError) as error:
        vary.checked(axes)
    assert len(error.value.faults) == 1 and said in error.value.faults[0]


def test_the_grid_holds_every_pair_once():
    axes = vary.checked({"sleeve.taper": [3, 4], "ring.length": [10, 11, 12]})
    found = [tuple(vary.changes_at(axes, k).values()) for k in range(vary.count(axes))]
    assert found == [(3, 10), (3, 11), (3, 12), (4, 10), (4, 11), (4, 12)]


def test_counts_are_whole_numbers():
    axes = vary.from_words(["screws.count=4,6", "sleeve.slits.count=1:3:3"])
    assert axes == {"screws.count": (4, 6), "sleeve.slits.count": (1, 2, 3)} and {type(v) for a in axes.values() for v in a} == {int}


def test_patterns_of_slits_are_compared_without_what_the_others_need():
    """A through slit and a closed sleeve have no depth; what a pattern lacks makes a case that fails, and no other."""
    slit = {**TABLES, "sleeve": {**TABLES["sleeve"], "slits": {"pattern": "through", "count": 1, "width": 1, "cuts_flange": True}}}
    case = Case.from_tables(slit, "x")
    axes = vary.checked({"sleeve.slits.pattern": ["none", "through", "fingers"], "sleeve.slits.count": [1, 4], "sleeve.slits.depth": [8]})
    found = []
    for index in range(6):
        try:
            found.append(case.changed(vary.changes_at(axes, index)).sleeve.slits)
        except CaseError:
            found.append(None)
    assert [s and (s.pattern, s.count, s.depth) for s in found] == [
        ("none", 0, 0.0), ("none", 0, 0.0), ("through", 1, 0.0), None, None, ("fingers", 4, 8.0)
    ]


def test_around_moves_numbers_and_bands_by_a_twentieth():
    case = Case.from_tables({**TABLES, "friction": {"cone": [0.06, 0.08, 0.1], "bore": 0.12}}, "x")
    found = vary.around(case, ["sleeve.nose_wall", "friction.cone"])
    assert found[0] == {} and found[1:3] == [{"sleeve.nose_wall": 1.33}, {"sleeve.nose_wall": 1.47}]
    assert found[3:] == [{"friction.cone": [0.057, 0.076, 0.095]}, {"friction.cone": [0.063, 0.084, 0.105]}]


@pytest.mark.parametrize("key, said", [("shaft.bore", "it is 0"), ("shaft.material", "no number"), ("push.force", "does not give it")])
def test_around_what_has_no_twentieth_is_refused(key, said):
    with pytest.raises(CaseError, match=said):
        vary.around(Case.from_tables(TABLES, "x"), [key])


def test_around_a_clearance_that_comes_of_a_fit_is_refused():
    """Moved, it would stand without the scatter that the case itself is judged with."""
    fitted = {**TABLES, "sleeve": {**{k: v for k, v in TABLES["sleeve"].items() if k != "clearance"}, "fit": "H9/h9"}}
    with pytest.raises(CaseError) as error:
        vary.around(Case.from_tables(fitted, "x"), ["sleeve.taper", "sleeve.clearance"])
    assert error.value.faults == ["sleeve.clearance: can't be moved by 5 %: the case gives a fit, H9/h9; vary sleeve.fit"]


@pytest.mark.parametrize("axes, said", [
    ({"friction.cone": [0.06, 0.1]}, ["friction.cone is one number here; the case's scatter 0.06 to 0.1 does not enter."]),
    ({"friction.cone": [0.06, [0.05, 0.06, 0.07]]}, ["friction.cone is one number in some cases; the case's scatter 0.06 to 0.1 does not enter there."]),
    ({"friction.cone": [[0.05, 0.06, 0.07]]}, []),
    ({"friction.bore": [0.1], "sleeve.clearance": [0.02]}, ["sleeve.clearance is one number here; the case's fit H9/h9 does not enter."]),
    ({"sleeve.fit": ["H8/h7"], "sleeve.taper": [3]}, []),
])  # fmt: skip
def test_a_scatter_that_varied_numbers_replace_is_told(axes, said):
    scattered = Case.from_tables(TABLES, "x").changed({"friction.cone": [0.06, 0.08, 0.1], "sleeve.fit": "H9/h9"})
    assert vary.replaced(scattered, axes) == said
    assert not vary.replaced(Case.from_tables(TABLES, "x"), axes)
