"""A piece of work in a process of its own: how far it is, stopped on request, ended with whoever started it.

Its temporary files lie in one folder, which goes when the job ends, whichever way: done, stopped, killed, or left alone by a
program that is gone itself.
"""

from __future__ import annotations

import multiprocessing
import os
import shutil
import signal
import tempfile
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

PATIENCE = 10.0  # seconds between asking a job to stop and ending its process

DONE, FAILED, STOPPED = "done", "failed", "stopped"


@dataclass(frozen=True)
class Desk:
    """What the work gets: tell(fraction, text) says how far it is, stop() whether to end, folder is for its files."""

    tell: Callable[[float, str], None]
    stop: Callable[[], bool]
    folder: Path


class Job:
    """One call of a function, task(desk, *arguments), in a new process. Function and arguments must be known to pickle."""

    def __init__(self, task: Callable[..., Any], *arguments: Any) -> None:
        self.fraction, self.text = 0.0, "starting"
        self.outcome: tuple[str, Any] | None = None  # (DONE, value), (FAILED, sentence) or (STOPPED, None)
        self._asked: float | None = None
        context = multiprocessing.get_context("spawn")
        self._line, theirs = context.Pipe()
        self._folder = tempfile.mkdtemp(prefix="colletfea-")
        self._process = context.Process(target=_work, args=(theirs, self._folder, task, arguments), daemon=True)
        try:
            self._process.start()
        except BaseException:
            self._clean()
            raise
        theirs.close()

    def poll(self) -> bool:
        """Hear what the process has said; True once there is an outcome, and nothing of the job is left by then."""
        try:
            while self.outcome is None and self._line.poll():
                self._hear(*self._line.recv())
        except (EOFError, OSError):
            self.outcome = (STOPPED, None) if self._asked is not None else (FAILED, "The process ended before it was done.")
        if self.outcome is None and self._asked is not None and time.monotonic() - self._asked > PATIENCE:
            self.outcome = (STOPPED, None)
        if self.outcome is not None:
            self._clean()
        return self.outcome is not None

    def stop(self) -> None:
        """Ask for an end that keeps what was reached; a process that does not hear it is ended by a later poll."""
        if self._asked is None and self.outcome is None:
            self._asked = time.monotonic()
            try:
                self._line.send("stop")
            except OSError:  # it has just ended: poll hears why
                pass

    def end(self) -> None:
        """End the process now and forget what it has reached."""
        self.outcome = self.outcome or (STOPPED, None)
        self._clean()

    def _hear(self, what: str, *said: Any) -> None:
        if what == "at":
            self.fraction, self.text = said
        else:
            self.outcome = (what, *said)

    def _clean(self) -> None:
        if self._process.pid is not None and self._process.is_alive():
            self._process.join(0.5 if self.outcome and self.outcome[0] == DONE else 0.0)
            self._process.kill()
            self._process.join()
        self._line.close()
        shutil.rmtree(self._folder, ignore_errors=True)


def _work(line: Connection, folder: str, task: Callable[..., Any], arguments: tuple) -> None:
    """The new process: Ctrl-C is its starter's business, whose end ends it as well."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    tempfile.tempdir = folder
    asked = threading.Event()
    threading.Thread(target=_listen, args=(line, folder, asked), daemon=True).start()
    try:
        said = (DONE, task(Desk(lambda fraction, text: line.send(("at", fraction, text)), asked.is_set, Path(folder)), *arguments))
    except KeyboardInterrupt:
        said = (STOPPED, None)
    except Exception as error:
        said = (FAILED, " ".join(str(error).split()) or type(error).__name__)
    line.send(said)


def _listen(line: Connection, folder: str, asked: threading.Event) -> None:
    try:
        while True:
            line.recv()
            asked.set()
    except (EOFError, OSError):  # the starter is gone
        shutil.rmtree(folder, ignore_errors=True)
        os._exit(1)
