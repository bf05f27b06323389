"""The worst of one verdict's values over the corners."""

import pytest

from colletfea.cases.judgement.corner import worst
from colletfea.cases.stored.verdict import Verdict


def verdict(margin, ok):
    return Verdict("slip", 1.0, 1.0, "N m", margin, ok, "")


FAILS, FAILS_MORE, HOLDS, HOLDS_WELL = (verdict(*given) for given in ((0.9, False), (0.5, False), (1.1, True), (3.0, True)))
UNKNOWN, UNJUDGED = verdict(None, None), verdict(0.2, None)


@pytest.mark.parametrize("worse, better", [
    (FAILS, UNKNOWN), (FAILS, UNJUDGED), (FAILS, HOLDS), (UNKNOWN, HOLDS), (UNJUDGED, HOLDS), (FAILS_MORE, FAILS), (HOLDS, HOLDS_WELL), (UNJUDGED, UNKNOWN),
])  # fmt: skip
def test_not_ok_comes_first_then_not_judged_then_the_smallest_margin(worse, better):
    """One that is not judged may be any, so that it can't be left out for one that holds."""
    assert worst([worse, better]) is worst([None, better, worse]) is worse


def test_none_of_none():
    assert worst([None, None]) is worst([]) is None
