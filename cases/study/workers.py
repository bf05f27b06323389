"""Who computes the cases: processes of this machine or a Dask cluster, both as executors of `concurrent.futures`.

The only file that imports Dask. What is sent, how it gets there and what is done when a worker of a cluster dies is Dask's business.
"""

from __future__ import annotations

import logging
import multiprocessing
import os
import re
import signal
import threading
import time
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, CancelledError, Executor, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from typing import Any

from colletfea.cases.summary import versions_of

#: seconds to reach a scheduler and to hear of a worker
PATIENCE = 20.0
#: a task that lost its process alone this many times is given up
_TRIES = 2
_ADDRESS = re.compile(r"(\w+://)?(\[[0-9a-fA-F:]+\]|[\w.-]+):\d{1,5}")
#: one thread of linear algebra a process: a second one costs more in waiting than it gives
_THREADS = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")
#: what must have the same version on both sides
_ALIKE = ("python", "colletfea", "numpy", "scipy", "gmsh", "distributed")


class Gone(Exception):
    """Nobody is left to compute; the message is one sentence for the user. What was computed before is kept."""


class Unreachable(Exception):
    """No work can be handed out there; the message is one sentence for the user."""


@dataclass(frozen=True)
class Pool:
    """An executor, how many tasks it is given at a time, whether it is still there, and what it is called."""

    executor: Executor
    window: int
    alive: Callable[[], bool] = lambda: True
    name: str = "the workers"


Opened = Callable[[], AbstractContextManager[Pool]]


def default_count() -> int:
    """Processors that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


@contextmanager
def here() -> Iterator[Pool]:
    """This process, one task after the other."""
    yield Pool(_Here(), 1)


@contextmanager
def local(count: int) -> Iterator[Pool]:
    """Processes of this machine, one thread of linear algebra each; they end with the block and with this process."""
    before, kept = set(multiprocessing.active_children()), {name: os.environ.get(name) for name in _THREADS}
    os.environ.update(dict.fromkeys(_THREADS, "1"))
    executor = ProcessPoolExecutor(count, multiprocessing.get_context("spawn"), _begin)
    try:
        yield Pool(executor, 2 * count)
    finally:
        for name, value in kept.items():
            os.environ.pop(name) if value is None else os.environ.update({name: value})
        executor.shutdown(wait=False, cancel_futures=True)
        for process in set(multiprocessing.active_children()) - before:
            process.terminate()
            process.join()


def _begin() -> None:
    """In a new process: Ctrl-C is the first one's business, and where the first one is gone this one ends."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    multiprocessing.parent_process().join()
    os._exit(1)


@contextmanager
def cluster(address: str, patience: float | None = None) -> Iterator[Pool]:
    """A running Dask scheduler with its workers. Raises Unreachable where it, its workers or their versions are not as needed."""
    patience = PATIENCE if patience is None else patience
    if not _ADDRESS.fullmatch(address):
        raise Unreachable(f"--scheduler {address}: must be HOST:PORT or tcp://HOST:PORT.")
    try:
        import dask
        from distributed import Client
    except ImportError as error:
        raise Unreachable("--scheduler: needs Dask, which is not installed: pip install 'colletfea[cluster]'.") from error
    with _quiet(), dask.config.set({"distributed.comm.timeouts.connect": f"{patience}s"}):
        try:
            client = Client(address, timeout=patience, set_as_default=False)
        except (OSError, ValueError, TimeoutError) as error:
            raise Unreachable(f"--scheduler {address}: no Dask scheduler answers there within {patience:g} s.") from error
        try:
            _check(client, address, patience)
            slots = max(sum(client.nthreads().values()), 1)
            yield Pool(client.get_executor(pure=False), 2 * slots, lambda: client.status == "running", f"the scheduler {address}")
        finally:
            client.close(timeout=1)


@contextmanager
def _quiet() -> Iterator[None]:
    """Without Dask's own log: what goes wrong is said in one sentence."""
    logger = logging.getLogger("distributed")
    before = logger.level
    logger.setLevel(logging.CRITICAL + 1)
    try:
        yield
    finally:
        logger.setLevel(before)


def _check(client: Any, address: str, patience: float) -> None:
    """Some worker is there within the time, and each has the packages that this process has."""
    try:
        client.wait_for_workers(1, timeout=patience)
    except TimeoutError as error:
        raise Unreachable(f"--scheduler {address}: has no worker within {patience:g} s.") from error
    own = versions()
    try:
        found = client.run(versions)
    except Exception as error:
        said = " ".join(str(error).split())
        raise Unreachable(f"--scheduler {address}: its workers can't run colletfea {own['colletfea']}: {said}.") from error
    for worker, other in found.items():
        unlike = [name for name in _ALIKE if own[name] != other[name]]
        if unlike:
            pairs = ", ".join(f"{name} {other[name]} and not {own[name]}" for name in unlike)
            raise Unreachable(f"--scheduler {address}: worker {worker} has {pairs}; results would not be alike.")


def versions() -> dict[str, str]:
    """Versions of this process that results hang on."""
    return versions_of(*_ALIKE)


def share(opened: Opened, function: Callable[[Any], Any], tasks: Iterable[Any]) -> Iterator[tuple[Any, Any]]:
    """(task, result of function(task)) in the order they end; the exception in place of a result where one was raised.

    A task whose process died is tried again, by itself; one that takes its process with it is given up. Raises Gone where
    the pool is lost as a whole, Unreachable where it could not be opened.
    """
    left, again = iter(tasks), _Again()
    while True:
        with opened() as pool:
            flying: dict[Future, Any] = {}
            broken = False
            while True:
                alone = bool(again.tasks)
                if not broken:
                    _send(pool, function, again if alone else left, flying, 1 if alone else pool.window)
                if not flying:
                    break
                for task, result in _ended(pool, flying):
                    died = isinstance(result, BrokenProcessPool)
                    broken = broken or died
                    if not died or again.given_up(task, alone):
                        yield task, RuntimeError("the process that computed it died, each time") if died else result
            if not broken:
                return


class _Again:
    """Tasks that lost their process, to be tried by themselves; next() of it gives the first of them."""

    def __init__(self) -> None:
        self.tasks: list[Any] = []
        self._deaths: dict[int, int] = {}

    def __next__(self) -> Any:
        if not self.tasks:
            raise StopIteration
        return self.tasks.pop(0)

    def given_up(self, task: Any, alone: bool) -> bool:
        """Note that a task lost its process; True where it was alone there, for the last time that it is tried."""
        self._deaths[id(task)] = self._deaths.get(id(task), 0) + alone
        if self._deaths[id(task)] >= _TRIES:
            return True
        self.tasks.append(task)
        return False


class _Here(Executor):
    """This process itself."""

    def submit(self, function: Callable[..., Any], /, *given: Any, **more: Any) -> Future:
        """The future of function(*given), which has ended; an interrupt is raised at once."""
        future: Future = Future()
        try:
            future.set_result(function(*given, **more))
        except Exception as error:
            future.set_exception(error)
        return future


def _send(pool: Pool, function: Callable[[Any], Any], tasks: Any, flying: dict[Future, Any], room: int) -> None:
    """Hand out tasks until as many are on their way as there is room for."""
    while len(flying) < room:
        try:
            task = next(tasks)
        except StopIteration:
            return
        try:
            flying[pool.executor.submit(function, task)] = task
        except BrokenProcessPool as error:  # a process died while it was idle
            lost: Future = Future()
            lost.set_exception(error)
            flying[lost] = task
            return


def _ended(pool: Pool, flying: dict[Future, Any]) -> list[tuple[Any, Any]]:
    """Tasks that have ended, taken out of `flying`, with their results or exceptions; waits for the first."""
    while not (done := wait(flying, 1.0, FIRST_COMPLETED).done):
        if not pool.alive():
            _wait_for_return(pool)
    ended = [(flying.pop(future), future) for future in done]
    if any(future.cancelled() or isinstance(future.exception(), CancelledError) for _, future in ended):
        raise Gone(f"{pool.name[0].upper()}{pool.name[1:]} went away before the study was done.")
    return [(task, future.exception() or future.result()) for task, future in ended]


def _wait_for_return(pool: Pool) -> None:
    end = time.monotonic() + PATIENCE
    while not pool.alive():
        if time.monotonic() > end:
            raise Gone(f"{pool.name[0].upper()}{pool.name[1:]} has not answered for {PATIENCE:g} s.")
        time.sleep(0.2)
