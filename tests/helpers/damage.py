"""Damage to files of a folder, drawn at random but the same everywhere, and a command held to its promise on it."""

import contextlib
import io
import os
import signal
import warnings

from hypothesis import HealthCheck, Phase
from hypothesis import strategies as st

from colletfea.cases import cli

ALWAYS = {"phases": (Phase.generate,), "derandomize": True, "database": None, "deadline": None, "suppress_health_check": list(HealthCheck)}
#: seconds that a command may take on small files; one that waits for a pipe would take for ever
PATIENCE = 30


@st.composite
def damages(draw, files):
    """(file, what is done with it, with what)."""
    kind = draw(st.sampled_from(["cut", "bytes", "gone", "folder", "link", "more", "other", "pipe"]))
    return draw(st.sampled_from(files)), kind, draw(st.floats(0, 1)), draw(st.binary(min_size=1, max_size=20)), draw(st.sampled_from(files))


def damaged(folder, file, kind, share, content, other):
    """Do to a file of the folder what was drawn, unless it is none any more."""
    path = folder / file
    if path.exists() and not path.is_file() and not path.is_symlink():
        return
    whole = path.read_bytes() if path.is_file() else b""
    at = int(share * len(whole))
    if kind in ("gone", "folder", "link", "pipe"):
        path.unlink(missing_ok=True)
    if kind == "folder":
        path.mkdir(exist_ok=True)
    elif kind == "pipe":
        os.mkfifo(path)
    elif kind == "link":
        path.symlink_to(other if share < 0.5 else file)  # to itself, too
    elif kind != "gone" and not path.is_symlink():
        taken = (folder / other).read_bytes() if (folder / other).is_file() else b""
        path.write_bytes({"cut": whole[:at], "bytes": whole[:at] + content + whole[at + len(content) :], "more": whole + content, "other": taken}[kind])


def answered(*words):
    """Exit code of a command, held to its promise; a warning of the interpreter counts as an unexpected error."""
    out, err = io.StringIO(), io.StringIO()
    before = signal.signal(signal.SIGALRM, _waited)
    signal.alarm(PATIENCE)
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err), warnings.catch_warnings():
            warnings.simplefilter("error")
            code = cli.main([*map(str, words)])
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)
    said = err.getvalue()
    assert code in (0, 2), said
    if code == 2:
        assert out.getvalue() == "" and said.count("\n") == 1 and len(said) < 600 and said.rstrip("\n").isprintable(), said
    return code


def _waited(*_):
    raise KeyboardInterrupt  # exit code 3, which no damage may lead to
