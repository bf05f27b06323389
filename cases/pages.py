"""What adds a page to the results of a run, and how the run's processes share its drawings."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor
from contextlib import contextmanager
from itertools import chain, zip_longest
from pathlib import Path
from typing import Any, Protocol

from colletfea.cases.stored.result import Result
from colletfea.cases.workers import begun, loaded


class Page(Protocol):
    """What adds to stored results, `cases.report.page` say."""

    def prepare(self) -> object:
        """Load what drawings will need."""

    def drawings(self, result: Result, start: int = 0, step: int = 1) -> Sequence[Any]:
        """What takes long to make, every step-th from start on; known to pickle. None stands for one that there is nothing for."""

    def write(self, folder: Path, drawings: Sequence[Any] | None = None) -> object:
        """Add to the results in a folder, with drawings of its own where none are given."""


@contextmanager
def drawn(page: Page | None, result: Result, executor: Executor | None, processes: int) -> Iterator[Callable[[], list[Any]] | None]:
    """A page's drawings, begun; what is handed over gives them all, in their order, within the block. None where there is no page.

    Another process, if there is one, draws half: of at most so many processes.
    """
    if page is None:
        yield None
        return
    page.prepare()
    with loaded(executor, processes) as drawers:
        others = drawers and begun(drawers, page.drawings, result, 1, 2)
        yield lambda: _in_turn(page.drawings(result, 0, 2), others()) if others else list(page.drawings(result))


def _in_turn(*rows: Sequence[Any]) -> list[Any]:
    return list(chain.from_iterable(zip_longest(*rows)))
