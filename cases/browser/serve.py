"""The address of the page on this machine, what may go wrong with it, and the one piece of work that runs at a time."""

from __future__ import annotations

import secrets
import socket
import webbrowser
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from colletfea.cases.browser.job import Job

HOST = "127.0.0.1"


class NotServed(Exception):
    """The page can't be served; one sentence."""


def bound(port: int | None) -> socket.socket:
    """A socket that listens on this machine's own address; any free port where none is asked for. Raises NotServed."""
    if port is not None and not 1 <= port <= 65535:
        raise NotServed(f"--port {port}: must be a whole number from 1 to 65535.")
    sock = socket.socket()
    try:
        sock.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        sock.bind((HOST, port or 0))
        sock.listen(64)
    except OSError as error:
        sock.close()
        raise NotServed(f"--port {port}: can't be served there: {error.strerror}; give another port or none.") from error
    return sock


def new_key() -> str:
    """What makes the page's address known to nobody else."""
    return secrets.token_urlsafe(24)


def opener() -> Callable[[str], Any]:
    """What opens an address in the browser of this machine. Raises NotServed where there is none."""
    try:
        return webbrowser.get().open
    except webbrowser.Error as error:
        raise NotServed("No browser was found; with --no-browser the page's address is printed and nothing is opened.") from error


@dataclass
class Slot:
    """The one piece of work that runs at a time, and the tab it belongs to."""

    job: Job | None = None
    what: str = ""
    owner: object = None

    def refusal(self, asker: object) -> str:
        """Why no other work may begin now, empty where it may."""
        if self.job is None:
            return ""
        where = "" if self.owner is asker else " in another tab"
        return f"Not started: {self.what} is under way{where}. Wait for its end, or stop it."

    def begin(self, owner: object, what: str, task: Callable[..., Any], *arguments: Any) -> None:
        """Start work; the slot must be free."""
        self.job, self.what, self.owner = Job(task, *arguments), what, owner

    def finished(self, owner: object) -> tuple[str, Any] | None:
        """The outcome of the owner's work once it has one; the slot is then free."""
        if self.job is None or self.owner is not owner or not self.job.poll():
            return None
        outcome = self.job.outcome
        self.job = self.owner = None
        return outcome

    def end(self, owner: object = None) -> None:
        """End the work of an owner who is gone, of any where None."""
        if self.job is not None and owner in (None, self.owner):
            self.job.end()
            self.job = self.owner = None
