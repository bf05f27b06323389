"""The verdict on work that is missing."""

import pytest

from colletfea.cases.judgement.energy import LIMIT, energy
from colletfea.cases.stored import verdict


@pytest.mark.parametrize("missing", [0.0, 0.0018, LIMIT])
def test_nothing_is_said_up_to_the_limit(missing):
    assert energy(missing) is None


@pytest.mark.parametrize("missing, percent", [(0.0201, "2 %"), (0.157, "16 %"), (3.0, "3e+02 %")])
def test_more_is_a_failed_verdict_that_names_the_share(missing, percent):
    found = energy(missing)
    assert (found.name, found.value, found.limit) == ("energy", missing, LIMIT)
    assert found.ok is False and found.margin == pytest.approx(LIMIT / missing)
    assert found.because.startswith(percent + " of the work")
    assert verdict.title("energy") == "Work of the push adds up" and verdict.subject("energy") == "balance of the work"
