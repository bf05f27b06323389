"""Which numbers a result is asked about, and which not."""

from dataclasses import replace

import pytest
from helpers.push import case_of, coarsest, summary

from colletfea.cases.casefile import examples
from colletfea.cases.casefile.case import Case
from colletfea.cases.hand.corners import Clamp, Corner, Reached, Rub, Seat
from colletfea.cases.judgement.plausible import asked_about, roughly, short_of_force, unsound
from colletfea.cases.report import decision
from colletfea.cases.run import solve


def test_a_torque_in_the_wrong_unit_is_asked_about():
    """60 000 N·m on 20 mm: 16 T / (pi d^3) = 38 197 MPa; 60 N·m: 38 MPa."""
    said = asked_about(case_of(duty={"torque": 60000}))
    assert len(said) == 1 and said[0].startswith("duty.torque = 60000 N·m on a shaft of 20 mm is a shear stress of 38000 MPa")
    assert not asked_about(case_of(duty={"torque": 60}))


def test_what_is_given_and_not_used_is_said():
    case = Case.example("sprocket_hub")
    assert asked_about(case.changed({"push.scatter": 3.2})) == ["push.scatter = 3.2 is not used where there are [screws]: screws.tightening_scatter = 1.6 is."]
    hard = {"young": 206000, "poisson": 0.3, "hardening": 1000}
    assert asked_about(case.changed({"ring.material": hard})) == ["ring.material.hardening is not used without ring.material.yield: the part is kept elastic."]
    assert not asked_about(case.changed({"ring.material": hard | {"yield": 500}}))


def test_no_bundled_example_is_asked_about():
    assert not [line for name in examples.names() for line in asked_about(Case.example(name))]


def reached(name="nominal", **values):
    corner = Corner(name, 0.04, Rub(0.1, 0.1), Rub(0.1, 0.1), "least")
    return Reached(corner, 1e4, 0.3, "force", Seat(), Seat(), Seat(), {}, 0.0, **values)


def test_balance_and_penetration_beyond_what_is_promised():
    sound = {"axial_missing": 1e-9, "overlap": 9e-4}
    assert not unsound([reached(**sound)], True)
    assert "Axial forces miss balance by 1e-05 of the force scale; up to" in unsound([reached(**sound | {"axial_missing": 1e-5})], True)[0]
    assert "overlap by 0.01 of the gap" in unsound([reached(**sound | {"overlap": 0.01})], True)[0]
    assert not unsound([reached(**sound | {"overlap": 0.01})], False)
    assert "with solver.augment = true it is less" in unsound([reached(**sound | {"overlap": 0.05})], False)[0]


def test_the_worst_corner_is_the_one_that_is_told():
    said = unsound([reached(overlap=0.003), reached("tight", overlap=0.03), reached("loose")], True)
    assert said == ["Parts overlap by 0.03 of the gap at the end (corner tight); up to 0.002 is normal."]


def test_a_corner_that_ends_below_its_force_is_told():
    """The made-up corner ends at 10 000 N by its force."""
    assert not short_of_force([reached()], Clamp(None, 10005.0, 16000.0, 1.6, ""))
    said = short_of_force([reached(), reached("grip")], Clamp(None, 10200.0, 16000.0, 1.6, ""))
    assert len(said) == 2 and said[1].startswith("Corner grip was to be pushed to 10200 N and ends at 10000 N, where the force jumps")


def test_a_force_that_sways_and_a_travel_that_it_hardly_tells_are_told():
    """At a fifth of the travel's growth 1 % of force is 5 % of travel; a push to a travel has no travel to doubt."""
    assert not roughly([reached(rise=0.4), reached("grip", rise=None)])
    said = roughly([reached(sways=0.04), reached("grip", sways=0.06), reached("least")])[0]
    assert "A corner dents a soft part on the cone (corners nominal, grip): the push force may be off by 6 %" in said
    assert "(corner grip; 1 % of force stands for 5 % of travel)" in roughly([reached(rise=0.4), reached("grip", rise=0.2)])[0]
    assert "(corner nominal; it falls)" in roughly([reached(rise=-0.2)])[0]
    assert not roughly([replace(reached(rise=0.1), reason="travel")], 1.0) and not roughly([replace(reached(sways=0.06), reason="interrupted")])


def test_a_line_of_contact_that_the_mesh_does_not_resolve_is_told():
    said = roughly([reached(), reached("grip", blurred=0.04), reached("tight", blurred=0.064)])
    assert len(said) == 1 and "narrower than an element (corners grip, tight)" in said[0] and "off by some 6 %" in said[0]
    assert not roughly([replace(reached(blurred=0.04), reason="interrupted")])


def test_ends_whose_forces_depend_on_the_mesh_are_told():
    """A ring that came to the end of its seat unasked, and a part past its elasticity."""
    spent, strained = (replace(reached("grip"), reason=reason) for reason in ("travel", "overstrained"))
    assert roughly([reached(), spent]) == ["The ring has all but left its seat (corner grip): the push force there may be off by some 8 %."]
    assert not roughly([spent], 2.0)
    assert [line[:48] for line in roughly([reached(), strained], 2.0)] == ["A part was strained past all elasticity (corner "]
    asked = solve(coarsest(case_of(push__travel=0.3)), "quick").summary
    assert asked["simulation"]["stop_reason"] == "travel" and asked["checks"] == []


@pytest.mark.parametrize(
    "given, said",
    [
        ({"shaft__diameter": 2200, "sleeve__length": 2200, "sleeve__nose_wall": 220, "ring__length": 2200, "ring__outer_diameter": 5000, "ring__start": 300},
         "shaft.diameter = 2200 is 2.2 m: lengths are in mm"),
        ({"duty": {"torque": 0.006}}, "duty.torque = 0.006 N·m on a shaft of 20 mm is a shear stress of 0.0038 MPa, next to nothing"),
        ({"duty": {"torque": 60, "thrust": 4e5}}, "duty.thrust = 400000 N is 1300 MPa in the shaft"),
        ({"push": {"force": 22}}, "push.force = 22 N is 0.0"),
        ({"push": {"force": 2.2e7}}, "forces are in N; is that meant?"),
        ({"sleeve__material": {"young": 210000, "poisson": 0.3, "yield": 43000}}, "sleeve.material yields at 20 % of its young"),
        ({"duty": {"torque": 60}, "service": {"speed": 150000}}, "turns the ring's outside at"),
        ({"duty": {"torque": 60}, "service": {"ring_hotter": 293}}, "service.ring_hotter = 293 K is a difference"),
    ],
)  # fmt: skip
def test_each_number_that_looks_like_another_unit_is_asked_about(given, said):
    found = asked_about(case_of(**given))
    assert len(found) == 1 and said in found[0], found


def test_the_decision_says_what_is_asked_about_whether_the_run_came_to_its_end_or_not():
    told = dict(summary(push__travel=0.2)) | {"checks": ["Is the unit meant?"]}
    assert "Is the unit meant?" in decision.sentences(told)
    stopped = told | {"simulation": told["simulation"] | {"stop_reason": "interrupted"}}
    assert "Is the unit meant?" in decision.sentences(stopped)
