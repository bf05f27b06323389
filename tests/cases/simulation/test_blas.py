"""One thread for dense algebra while a case is solved, whatever was set before."""

import sys

import pytest
from helpers.push import case_of

from colletfea.cases import deciding, run
from colletfea.cases.simulation import blas, push


@pytest.mark.skipif(sys.platform != "linux", reason="loaded libraries are listed on Linux only")
def test_threads_are_one_inside_and_as_before_afterwards():
    """Set to two outside, where this build has two."""
    libraries = blas._libraries()
    before = [get() for get, _ in libraries]
    assert libraries
    try:
        for _, put in libraries:
            put(2)
        outside = [get() for get, _ in libraries]
        with blas.one_thread():
            assert [get() for get, _ in libraries] == [1] * len(libraries)
        assert [get() for get, _ in libraries] == outside
    finally:
        for (_, put), count in zip(libraries, before):
            put(count)


def test_solving_and_pushing_ask_for_it(monkeypatch):
    """A push alone, a whole case and one of a study."""
    assert run._solved.__wrapped__ and deciding.decided.__wrapped__ and push.push.__wrapped__


@pytest.mark.slow
@pytest.mark.skipif(sys.platform != "linux", reason="loaded libraries are listed on Linux only")
def test_a_case_gives_the_same_digits_with_one_thread_and_with_two():
    """Push, release and twist; only seconds and the run's own mark may differ."""
    case, libraries = case_of(mesh={"size": 2.0}, after={"twist": True, "release": True}), blas._libraries()
    before, found = [get() for get, _ in libraries], []
    try:
        for count in (1, 2):
            for _, put in libraries:
                put(count)
            found.append(_numbers(run.solve(case, "quick").summary))
    finally:
        for (_, put), count in zip(libraries, before):
            put(count)
    assert found[0] == found[1]


def _numbers(value):
    if isinstance(value, dict):
        return {k: _numbers(v) for k, v in value.items() if "seconds" not in k and k != run.store.RUN_ID}
    return [_numbers(v) for v in value] if isinstance(value, list) else value
