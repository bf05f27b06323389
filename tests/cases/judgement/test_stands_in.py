"""Where a slit sleeve's hoop stiffness stands for something else than hoop stress, yield is not judged.

Bore 20.03, nose wall 2, L = 20, taper 4 deg: at z = 11.17 the wall is 2 + 8.83 tan 4 deg = 2.617 mm and the mean radius 11.32 mm, so
11.17 lies within it and 11.5 past it.
"""

import pytest
from helpers.push import case_of

from colletfea.cases.hand.corners import NOMINAL, Flowed, Reached, Seat, Stress, table
from colletfea.cases.judgement.strength import Added, yields
from colletfea.cases.report import limits

STEEL = {"young": 206000, "poisson": 0.3, "yield": 300}
CUT = {"sleeve__flange_thickness": 5, "sleeve__flange_diameter": 44, "sleeve__material": STEEL, "duty": {"torque": 20, "yield_safety": 1.2}}
UNCUT = CUT | {"sleeve__slits__cuts_flange": False}


def judged(z, value=400.0, keys=UNCUT, part="sleeve", flowed=None, **changes):
    case = case_of(**{**keys, **changes})
    nominal = next(corner for corner in table(case) if corner.name == NOMINAL)
    push = Reached(nominal, 9e3, 0.5, "travel", Seat(), Seat(), Seat(), {part: Stress(value, 12.0, z)}, 0.0, flowed=flowed or {})
    return yields(case, {"slits": None}, push, part, Added())


@pytest.mark.parametrize("value", [400.0, 100.0])
@pytest.mark.parametrize("z, keys, where", [(2.0, UNCUT, "beside a flange that is not cut"), (11.17, UNCUT, "beside a flange that is not cut"), (-2.0, CUT, "in the flange that the slit cuts")])
def test_a_stress_that_is_none_of_the_metal_is_told_and_not_judged(value, z, keys, where):
    found = judged(z, value, keys)
    assert found.ok is None and (found.value, found.limit) == (value, 250) and where in found.because and found.because.endswith("no stress of the metal")


@pytest.mark.parametrize("z, keys", [(11.5, UNCUT), (-2.0, UNCUT), (2.0, CUT)], ids=["past the panel", "a whole flange", "above a cut flange"])
def test_elsewhere_the_sleeve_is_judged(z, keys):
    assert judged(z, keys=keys).ok is False and judged(z, 100.0, keys).ok is True


def test_what_flows_there_is_not_told_as_metal():
    found = judged(2.0, flowed={"sleeve": Flowed(0.51, 0.019, 12.0, 2.0)}, solver__plastic=True)
    assert found.ok is None and "flows" not in found.because


def test_other_parts_and_a_stiffness_of_the_case_are_judged():
    assert judged(2.0, part="ring", ring__material=STEEL).ok is False and judged(2.0, sleeve__slits__hoop_stiffness=0.5).ok is False


@pytest.mark.parametrize("cut, said", [(True, "Stresses in the cut flange"), (False, "Stresses of the slit sleeve beside its flange, which is not cut")])
def test_the_limits_say_so(cut, said):
    slits = {"pattern": "through", "cuts_flange": cut}
    assert said in limits.blind_spots({"case": {"sleeve": {"slits": slits, "flange_thickness": 5.0}}, "hand": {}})
