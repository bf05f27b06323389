"""Which numbers a result is asked about, and which not."""

from helpers.push import case_of, summary

from colletfea.cases.casefile import examples
from colletfea.cases.casefile.case import Case
from colletfea.cases.judgement.plausible import asked_about, unsound
from colletfea.cases.report import decision


def test_a_torque_in_the_wrong_unit_is_asked_about():
    """60 000 N·m on 20 mm: 16 T / (pi d^3) = 38 197 MPa; 60 N·m: 38 MPa."""
    said = asked_about(case_of(duty={"torque": 60000}))
    assert len(said) == 1 and said[0].startswith("duty.torque = 60000 N·m on a shaft of 20 mm is a shear stress of 3.8e+04 MPa")
    assert not asked_about(case_of(duty={"torque": 60}))


def test_no_bundled_example_is_asked_about():
    assert not [line for name in examples.names() for line in asked_about(Case.example(name))]


def test_balance_and_penetration_beyond_what_is_promised():
    sound = {"axial_relative": 1e-9, "penetration_over_clearance": 9e-4}
    assert not unsound(sound, True)
    assert "Axial forces miss balance by 1e-05" in unsound(sound | {"axial_relative": 1e-5}, True)[0]
    assert "overlap by 0.01 of the gap" in unsound(sound | {"penetration_over_clearance": 0.01}, True)[0]
    assert not unsound(sound | {"penetration_over_clearance": 0.01}, False)


def test_the_decision_says_what_is_asked_about_whether_the_run_came_to_its_end_or_not():
    told = dict(summary(push__travel=0.2)) | {"checks": ["Is the unit meant?"]}
    assert "Is the unit meant?" in decision.sentences(told)
    stopped = told | {"simulation": told["simulation"] | {"stop_reason": "interrupted"}}
    assert "Is the unit meant?" in decision.sentences(stopped)
