"""Signals that wait while a block runs which must not be left in the middle."""

from __future__ import annotations

import signal
from collections.abc import Iterator
from contextlib import contextmanager

ENDING = {signal.SIGINT, signal.SIGTERM}


@contextmanager
def waiting() -> Iterator[None]:
    """Interrupts and requests to terminate come after the block; where a system can't hold them back nothing is changed."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, ENDING)
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
