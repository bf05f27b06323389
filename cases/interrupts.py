"""Signals that end a run: a request to terminate counts as an interrupt; while results are written it takes two.

Signals reach the main thread only; elsewhere nothing is changed.
"""

import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType


@contextmanager
def terminable() -> Iterator[None]:
    """Let SIGTERM raise KeyboardInterrupt, as Ctrl-C does."""
    with _handling((signal.SIGTERM,), signal.default_int_handler):
        yield


@contextmanager
def held() -> Iterator[None]:
    """Let the first interrupt pass, for a block that needs seconds and whose end keeps the work; a second one interrupts."""
    come = []

    def once(number: int, frame: FrameType | None) -> None:
        if come:
            raise KeyboardInterrupt
        come.append(number)

    with _handling((signal.SIGINT, signal.SIGTERM), once):
        yield


@contextmanager
def _handling(numbers: tuple[int, ...], handler: Callable[[int, FrameType | None], None]) -> Iterator[None]:
    """Handle these signals so; one that is ignored stays so."""
    main = threading.current_thread() is threading.main_thread()
    taken = [n for n in numbers if main and signal.getsignal(n) not in (signal.SIG_IGN, None)]
    before = {n: signal.signal(n, handler) for n in taken}
    try:
        yield
    finally:
        for number, old in before.items():
            signal.signal(number, old)
