"""How sharp the checks of `colletfea verify` are, and that what they say of themselves is so."""

import re
from dataclasses import replace

import pytest

from colletfea.cases import verify


@pytest.mark.parametrize("what, off", [("push force", 0.001), ("bore force", 0.004), ("torque capacity", 0.004)])
@pytest.mark.parametrize("sign", [1, -1])
def test_a_simulated_coupling_that_is_off_by_more_than_its_reference_is_found(what, off, sign):
    """The tolerances are those of tests/case/test_x1.py: 0.05 % in the push, 0.3 % in bore and torque."""
    check = next(c for c in verify.CHECKS if c.name == f"simulated {what} at travel 1.2")
    assert verify.measure(check).holds
    assert not verify.measure(replace(check, function=lambda: check.function() * (1 + sign * off))).holds


@pytest.mark.parametrize("check", [c for c in verify.CHECKS if re.search(r"(off|high|low) when measured", c.because)], ids=lambda c: c.name)
def test_what_a_check_says_it_was_off_by_is_what_it_is_off_by(check):
    """To the digit said, and never more than that; less on another mesh is no lie."""
    number, unit = re.search(r"([\d.e-]+) ?(%|mm|) (?:off|high|low) when measured", check.because).groups()
    said = float(number) / {"%": 100, "mm": check.target, "": 1}[unit]
    assert verify.measure(check).error <= 1.1 * said
