"""Settings of the whole test run, made before numpy is imported."""

import os
import signal

import pytest

# As the command line does: matrices are small, and a second BLAS thread waits more than it works.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# A shell that runs a command in the background ignores Ctrl-C for it; tests of interrupts need Python's own handler.
if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
    signal.signal(signal.SIGINT, signal.default_int_handler)


@pytest.fixture(autouse=True, scope="session")
def one_process():
    """Runs of the command line called in this process start no other one: workers of the tests share the cores already."""
    from colletfea.cases import cli

    given, cli.PROCESSES = cli.PROCESSES, 1
    yield
    cli.PROCESSES = given
