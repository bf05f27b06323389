"""Two runs that reach for the lock of a folder while a third one lets it go."""

import fcntl

import pytest

from colletfea.cases.stored.lock import locked
from colletfea.cases.stored.store import ResultsError


@pytest.fixture
def let_go(tmp_path, monkeypatch):
    """The lock's path; who holds it removes it between our opening and our locking of it, and then `after` happens."""
    path, flock, after = tmp_path / ".r.lock", fcntl.flock, []

    def late(stream, how):
        if not after:
            return flock(stream, how)
        path.unlink()
        after.pop()()
        return flock(stream, how)

    monkeypatch.setattr(fcntl, "flock", late)
    return path, after


def test_a_lock_that_was_just_removed_is_nobodys_and_a_new_one_is_taken(tmp_path, let_go):
    path, after = let_go
    after.append(lambda: None)
    with locked(tmp_path / "r", tmp_path / "r"):
        assert path.exists()
        with pytest.raises(ResultsError, match="is writing results there"), locked(tmp_path / "r", tmp_path / "r"):
            pass
    assert not path.exists()


def test_a_lock_that_another_run_has_made_anew_is_that_runs(tmp_path, let_go):
    path, after = let_go
    held = locked(tmp_path / "r", tmp_path / "r")
    after.append(held.__enter__)
    with pytest.raises(ResultsError, match="is writing results there"), locked(tmp_path / "r", tmp_path / "r"):
        pass
    assert path.exists()
    held.__exit__(None, None, None)
    assert not path.exists()
