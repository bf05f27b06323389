"""How sharp the checks of `colletfea verify` are, and that what they say of themselves is so."""

import re
from dataclasses import replace
from pathlib import Path

import pytest

from colletfea.cases import verify
from colletfea.cases.hand import slit_formulas
from colletfea.cases.verification import check as one
from colletfea.cases.verification import formulas, friction, half_space

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
TABLE = [line.split("|")[1].strip() for line in README.split("## Verified against")[1].split("## ")[0].splitlines() if line.startswith("| ")][1:]


@pytest.mark.parametrize("what, off", [("push force", 0.001), ("bore force", 0.004), ("torque capacity", 0.004)])
@pytest.mark.parametrize("sign", [1, -1])
def test_a_simulated_coupling_that_is_off_by_more_than_its_reference_is_found(what, off, sign):
    """The tolerances are those of tests/case/test_x1.py: 0.05 % in the push, 0.3 % in bore and torque."""
    check = next(c for c in verify.CHECKS if c.name == f"simulated {what} at travel 1.2")
    assert one.measure(check).holds
    assert not one.measure(replace(check, function=lambda: check.function() * (1 + sign * off))).holds


@pytest.mark.parametrize("check", [c for c in verify.CHECKS if re.search(r"(off|high|low) when measured", c.because)], ids=lambda c: c.name)
def test_what_a_check_says_it_was_off_by_is_what_it_is_off_by(check):
    """To the digit said, and never more than that; less on another mesh is no lie."""
    number, unit = re.search(r"([\d.e-]+) ?(%|mm|) (?:off|high|low) when measured", check.because).groups()
    said = float(number) / {"%": 100, "mm": check.target, "": 1}[unit]
    assert one.measure(check).error <= 1.1 * said


def test_checks_belong_to_rows_of_the_table_and_leave_one_out():
    """That one needs scikit-fem; README and the command say how many are run."""
    rows = {check.row for check in verify.CHECKS} - {""}
    assert set(TABLE) - rows == {"stiffness of twist and of a soft hoop"} and rows < set(TABLE) and len(TABLE) == verify.ROWS
    assert f"{len(rows)} of the {verify.ROWS} rows of README's verification table" in verify.coverage()
    assert f"`colletfea verify` runs {len(rows)} of these {verify.ROWS} rows" in " ".join(README.split())


def test_no_two_checks_have_the_same_name_and_each_has_a_source():
    assert len({check.name for check in verify.CHECKS}) == len(verify.CHECKS) and all(check.source for check in verify.CHECKS)


def test_of_a_table_the_row_that_is_farthest_off_is_compared(monkeypatch):
    """One wrong figure among fourteen is found, whatever its sense."""
    check = next(c for c in verify.CHECKS if c.name.startswith("extreme clearances"))
    assert one.measure(check).holds
    for wrong in ((21, 74), (20, 73)):
        table = {**formulas._FITS, "H8/f7": (*formulas._FITS["H8/f7"][:3], wrong, *formulas._FITS["H8/f7"][4:])}
        monkeypatch.setattr(formulas, "_FITS", table)
        assert not one.measure(check).holds


def test_a_slit_law_that_is_off_is_found(monkeypatch):
    """A fortieth more hoop stiffness of one slit, by formula and in the simulation."""
    own = slit_formulas.through_slit_ratio
    monkeypatch.setattr(slit_formulas, "through_slit_ratio", lambda *given: 1.025 * own(*given))
    for name in ("one slit closed evenly, force over E and closing", "closing force of one slit by hand, over E"):
        assert not one.measure(next(c for c in verify.CHECKS if c.name == name)).holds


@pytest.mark.parametrize("name", ["flat punch, force", "sphere on a flat, peak pressure", "rod drawn out of a sleeve, force"])
def test_contact_that_is_softer_by_its_springs_is_found(name, monkeypatch):
    """Without the multipliers overlap is left in, which takes some of the pressure away."""
    check, own = next(c for c in verify.CHECKS if c.name == name), half_space.solved
    soft = lambda *given, **kept: own(*given, **{**kept, "augment": False})
    monkeypatch.setattr(half_space, "solved", soft)
    monkeypatch.setattr(friction, "solved", soft)
    half_space._sphere.cache_clear()
    assert not one.measure(check).holds
    half_space._sphere.cache_clear()
