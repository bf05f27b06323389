"""What adds a page to the results of a run, and how the run's processes share its drawings."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Executor
from itertools import chain, zip_longest
from pathlib import Path
from typing import Any, Protocol

from colletfea.cases.stored.result import Result
from colletfea.cases.workers import begun


class Page(Protocol):
    """What adds to stored results, `cases.report.page` say."""

    def prepare(self) -> object:
        """Load what drawings will need."""

    def drawings(self, result: Result, start: int = 0, step: int = 1) -> Sequence[Any]:
        """What takes long to make, every step-th from start on; known to pickle. None stands for one that there is nothing for."""

    def write(self, folder: Path, drawings: Sequence[Any] | None = None) -> object:
        """Add to the results in a folder, with drawings of its own where none are given."""


def drawn(page: Page, result: Result, executor: Executor | None) -> Callable[[], list[Any]]:
    """Begin a page's drawings; what is returned gives them all, in their order. Another process, if there is one, draws half."""
    if executor is None:
        return lambda: list(page.drawings(result))
    others = begun(executor, page.drawings, result, 1, 2)
    return lambda: _in_turn(page.drawings(result, 0, 2), others())


def _in_turn(*rows: Sequence[Any]) -> list[Any]:
    return list(chain.from_iterable(zip_longest(*rows)))
