"""Settings of the whole test run, made before numpy is imported."""

import gc
import os
import signal
import sys

import pytest

# As the command line does: matrices are small, and a second BLAS thread waits more than it works.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# The many commands that tests start compile this package once for all, whatever the shell asks for.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False

# A shell that runs a command in the background ignores Ctrl-C for it; tests of interrupts need Python's own handler.
if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
    signal.signal(signal.SIGINT, signal.default_int_handler)


# All that is imported and collected here stays to the end: Python's collector looks through it less often.
gc.set_threshold(10_000, 10, 100)


@pytest.fixture(autouse=True, scope="session")
def one_process():
    """Runs of the command line called in this process start no other one: workers of the tests share the cores already."""
    from colletfea.cases import cli

    given, cli.PROCESSES = cli.PROCESSES, 1
    yield
    cli.PROCESSES = given


@pytest.fixture
def blank_figures(monkeypatch):
    """Reports get their figures by name, each of one pixel: for tests of the files, the commands or the words around them."""
    from colletfea.cases.report import figures
    from helpers import blank

    monkeypatch.setattr(figures, "some", blank.drawings)


@pytest.fixture
def unrendered_figures(monkeypatch):
    """Figures are put together from the results and not rendered: for tests of what results of odd values do to a report."""
    from colletfea.cases.report.figures import canvas
    from helpers import blank

    monkeypatch.setattr(canvas, "finish", lambda figure: blank.PIXEL)
    monkeypatch.setattr(canvas, "vector", lambda *given, **more: "")
