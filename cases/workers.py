"""Processes of this machine that share the work of a case: its pushes, then the report's figures."""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from typing import Any

from colletfea.meshing import signals

_THREADS = "/proc/self/task"  # where Linux lists the threads of a process


@contextmanager
def helpers(processes: int) -> Iterator[Executor | None]:
    """Processes beside this one, None where one process is all; they end with the block and with this process, whatever ends it."""
    if processes <= 1:
        yield None
        return
    before, method = set(multiprocessing.active_children()), _method()
    executor = ProcessPoolExecutor(processes - 1, multiprocessing.get_context(method), _begin)
    executor.copies = method == "fork"
    try:
        with signals.waiting():  # a copy must not act on one before it knows what to do with it
            executor.submit(os.getpid)  # starts them
        yield executor
    finally:
        executor.shutdown(wait=False, cancel_futures=True)
        for process in set(multiprocessing.active_children()) - before:
            process.terminate()
            process.join()


@contextmanager
def loaded(executor: Executor | None, processes: int) -> Iterator[Executor | None]:
    """Processes that know what this one has loaded by now: where they are copies of it they are ended, and made anew."""
    if executor is None or not executor.copies:
        yield executor
        return
    executor.shutdown()
    with helpers(processes) as fresh:
        yield fresh


def _method() -> str:
    """How processes are started: as copies of this one, with all that it has imported, or from nothing.

    A copy has this thread only: what another one holds locked at that moment stays locked there. So a process that is more
    than one thread is not copied, nor one whose threads can't be counted.
    """
    return "fork" if os.path.isdir(_THREADS) and len(os.listdir(_THREADS)) == 1 else "spawn"


def _begin() -> None:
    """In a new process: Ctrl-C, which reaches every process of a terminal, is the first one's business; with it this one ends."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    if hasattr(signal, "pthread_sigmask"):
        signal.pthread_sigmask(signal.SIG_UNBLOCK, signals.ENDING)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    multiprocessing.parent_process().join()
    os._exit(1)


def begun(executor: Executor | None, function: Callable[..., Any], *given: Any) -> Callable[[], Any]:
    """Let another process begin function(*given); what is returned gives its result, and raises what it raises.

    Where there is no other process, or it dies, this one does it when the result is asked for.
    """
    future = _handed(executor, function, given)
    return lambda: _result(future, function, given)


def share(executor: Executor | None, function: Callable[..., Any], tasks: Sequence[tuple], own: int = 1) -> Iterator[tuple[int, Any]]:
    """(index, result) of function(*task) for every task, the first `own` by this process, the others by whoever is free.

    A task whose process died is done again here. What a function raises is raised.
    """
    handed = {k: _handed(executor, function, tasks[k]) for k in range(max(own, 1), len(tasks))}
    futures = {k: future for k, future in handed.items() if future}
    for index, task in enumerate(tasks):
        if index not in futures or futures[index].cancel():
            futures.pop(index, None)
            yield index, function(*task)
    for index, future in futures.items():
        yield index, _result(future, function, tasks[index])


def _handed(executor: Executor | None, function: Callable[..., Any], task: tuple) -> Future | None:
    """The future of a task, None where nobody is there to take it."""
    try:
        return executor.submit(function, *task) if executor else None
    except BrokenProcessPool:  # its process died while it was idle
        return None


def _result(future: Future | None, function: Callable[..., Any], task: tuple) -> Any:
    try:
        return future.result() if future else function(*task)
    except BrokenProcessPool:
        return function(*task)
