"""Processes of this machine that share the pushes of a case."""

from __future__ import annotations

import multiprocessing
import signal
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from typing import Any


@contextmanager
def helpers(processes: int) -> Iterator[Executor | None]:
    """Processes beside this one, None where one process is all; they end with the block, whatever ends it."""
    if processes <= 1:
        yield None
        return
    before = set(multiprocessing.active_children())
    executor = ProcessPoolExecutor(processes - 1, multiprocessing.get_context("spawn"), _ignore_interrupts)
    try:
        yield executor
    finally:
        executor.shutdown(wait=False, cancel_futures=True)
        for process in set(multiprocessing.active_children()) - before:
            process.terminate()
            process.join()


def _ignore_interrupts() -> None:
    """Ctrl-C reaches every process of a terminal; this one's end is the first one's business."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def share(executor: Executor | None, function: Callable[..., Any], tasks: Sequence[tuple]) -> Iterator[tuple[int, Any]]:
    """(index, result) of function(*task) for every task, the first one by this process, the others by whoever is free.

    A task whose process died is done again here. What a function raises is raised.
    """
    futures = {k: executor.submit(function, *tasks[k]) for k in range(1, len(tasks))} if executor else {}
    for index, task in enumerate(tasks):
        if index not in futures or futures[index].cancel():
            futures.pop(index, None)
            yield index, function(*task)
    for index, future in futures.items():
        yield index, _result(future, function, tasks[index])


def _result(future: Future, function: Callable[..., Any], task: tuple) -> Any:
    try:
        return future.result()
    except BrokenProcessPool:
        return function(*task)
