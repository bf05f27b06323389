"""Places that fail while results are written, at whichever file: a sentence, exit 2 or 3, and what was there before is kept."""

import errno
import os

import pytest
from helpers import results as made
from helpers.section import section as section_arrays

from colletfea.cases import cli, run
from colletfea.cases.casefile import examples
from colletfea.cases.report import figures
from colletfea.cases.stored import store
from colletfea.cases.stored.reading import load

FAULTS = [errno.ENOSPC, errno.EDQUOT, errno.EIO, errno.EROFS, errno.EACCES]


def failing(monkeypatch, function, number, after):
    """Let a function of the store fail from its call number `after` on; gives the list of calls."""
    calls, own = [], getattr(store, function)

    def faulty(path, *given):
        calls.append(path)
        if len(calls) > after:
            raise OSError(number, os.strerror(number), str(path))
        return own(path, *given)

    monkeypatch.setattr(store, function, faulty)
    return calls


def contents(folder):
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@pytest.fixture
def solved(monkeypatch):
    """Runs solve nothing and draw nothing: what is tried here is the writing."""
    monkeypatch.setattr(run, "_solved", lambda *given: made.result(made.summary(run_id="b" * 32), arrays=section_arrays()))
    monkeypatch.setattr(figures, "some", lambda *given: [])


@pytest.mark.parametrize("number", [FAULTS[0], FAULTS[-1]], ids=os.strerror)
def test_a_run_whose_files_fail_one_after_the_other(number, solved, tmp_path, monkeypatch, capsys):
    """The first write fails, then the second one, and so on, until all go through."""
    folder, after = tmp_path / "r", 0
    (tmp_path / "s.toml").write_text(examples.text("spindle"), encoding="utf-8")
    made.write(folder, arrays=section_arrays())
    before = contents(folder)
    while True:
        with monkeypatch.context() as patch:
            calls = failing(patch, "whole", number, after)
            code = cli.main(["run", str(tmp_path / "s.toml"), "--out", str(folder)])
        out, err = capsys.readouterr()
        if len(calls) <= after:
            break
        assert code == 3 and f"the results could not be written: {os.strerror(number)}; what was there before is kept." in err.splitlines()[-1]
        assert contents(folder) == before and {path.name for path in tmp_path.iterdir()} == {"r", "s.toml"}
        after += 1
    assert code == 0 and after > 5 and load(folder).summary["run_id"] == "b" * 32


@pytest.mark.parametrize("number", FAULTS, ids=os.strerror)
def test_a_report_whose_files_fail(number, solved, tmp_path, monkeypatch, capsys):
    made.write(tmp_path / "r", arrays=section_arrays())
    before = contents(tmp_path / "r")
    failing(monkeypatch, "whole", number, 0)
    assert cli.main(["report", str(tmp_path / "r")]) == 2
    out, err = capsys.readouterr()
    assert out == "" and err.count("\n") == 1 and os.strerror(number) in err
    assert contents(tmp_path / "r") == before


@pytest.mark.parametrize("command", [["new", "fresh.toml"], ["parts", "s.toml", "--out", "p"], ["sweep", "s.toml", "--vary", "sleeve.nose_wall=2,2.1", "--out", "p"]], ids=lambda c: c[0])
def test_other_commands_on_a_full_disk(command, tmp_path, monkeypatch, capsys):
    """What holds the first file they write: one sentence and exit 2, no half file."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "s.toml").write_text(examples.text("spindle"), encoding="utf-8")
    failing(monkeypatch, "whole", errno.ENOSPC, 0)
    assert cli.main(command) in (2, 3)
    out, err = capsys.readouterr()
    assert os.strerror(errno.ENOSPC) in err and "Unexpected" not in err
    assert set(contents(tmp_path)) == {"s.toml"}
