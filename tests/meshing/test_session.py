"""gmsh is started silently, ended whatever happens, and leaves the interrupt to Python."""

import signal
import subprocess
import sys

import gmsh
import pytest
from helpers.sections import PLAIN

from colletfea.fea.errors import MeshError
from colletfea.meshing.build import build
from colletfea.meshing.session import session


@pytest.fixture(autouse=True)
def nothing_kept_open():
    """A study in this process keeps gmsh open for its next case; a session of its own begins without."""
    if gmsh.isInitialized():
        gmsh.finalize()


def test_session_ends_when_meshing_raises():
    with pytest.raises(ZeroDivisionError), session("broken"):
        assert gmsh.isInitialized()
        1 / 0  # noqa: B018
    assert not gmsh.isInitialized()


def test_failure_of_the_generator_becomes_a_mesh_error():
    with pytest.raises(MeshError, match="meshing failed: .*999"), session("broken") as model:
        model.getBoundary([(2, 999)])


def test_meshing_is_silent_and_keeps_the_interrupt_handler(capfd):
    before = signal.getsignal(signal.SIGINT)
    build(PLAIN)
    assert signal.getsignal(signal.SIGINT) is before
    assert capfd.readouterr() == ("", "")


def test_an_open_session_is_left_open_with_its_model():
    gmsh.initialize(interruptible=False)
    try:
        gmsh.model.add("mine")
        build(PLAIN)
        assert gmsh.isInitialized()
        assert "mine" in gmsh.model.list() and "section" not in gmsh.model.list()
    finally:
        gmsh.finalize()


def test_a_request_to_terminate_still_reaches_python():
    import signal

    asked = []
    before = signal.signal(signal.SIGTERM, lambda number, frame: asked.append(number))
    try:
        with session("signals"):
            signal.raise_signal(signal.SIGTERM)
    finally:
        signal.signal(signal.SIGTERM, before)
    assert asked == [signal.SIGTERM]


def test_a_pipe_that_nobody_reads_raises_and_does_not_end_the_process():
    """gmsh takes Python's handling of SIGPIPE away; run in a process of its own, which would die of it."""
    code = (
        "import os\nfrom colletfea.meshing.session import session\n"
        "with session('x'): pass\n"
        "end, start = os.pipe()\nos.close(end)\n"
        "try: os.write(start, b'x')\n"
        "except BrokenPipeError: print('raised')\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout) == (0, "raised\n")


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_an_interrupt_waits_for_the_end_of_the_session(number):
    """Inside one of gmsh's calls it would come out as a wrong argument of that call."""
    reached, before = [], signal.signal(signal.SIGTERM, signal.default_int_handler)
    try:
        with pytest.raises(KeyboardInterrupt), session("interrupted"):
            signal.raise_signal(number)
            reached.append("end")
        assert reached == ["end"] and not gmsh.isInitialized()
    finally:
        signal.signal(signal.SIGTERM, before)
