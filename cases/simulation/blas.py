"""One thread for dense algebra: sums split over threads are added in another order and differ in their last digits.

Small matrices gain nothing from a second thread, so a run's numbers need not depend on the machine's setting.
"""

from __future__ import annotations

import ctypes
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path

#: how builds of OpenBLAS, the library numpy and scipy bring along, name the two functions: plain, for 64-bit integers, and as bundled
_NAMES = [f"{front}openblas_{{}}_num_threads{end}" for front in ("scipy_", "") for end in ("64_", "")]


@contextmanager
def one_thread() -> Iterator[None]:
    """Every OpenBLAS of this process on one thread, and as before afterwards; a decorator, too.

    Does nothing for other libraries and where loaded libraries can't be listed (elsewhere than on Linux): there
    OPENBLAS_NUM_THREADS=1 in the environment does it, which the command line sets itself.
    """
    switches = [(set_threads, get_threads()) for get_threads, set_threads in _libraries()]
    try:
        for set_threads, _ in switches:
            set_threads(1)
        yield
    finally:
        for set_threads, before in switches:
            set_threads(before)


@cache
def _libraries() -> list[tuple[Callable[[], int], Callable[[int], None]]]:
    """Getter and setter of the number of threads of each OpenBLAS that is loaded; scipy's own is, once it was used."""
    import scipy.linalg  # noqa: F401  loads the libraries that are looked for

    try:
        maps = Path("/proc/self/maps").read_text(encoding="utf-8", errors="replace")
    except OSError:
        return []
    paths = {line.split(maxsplit=5)[5] for line in maps.splitlines() if "openblas" in line.lower() and line.count("/")}
    found = []
    for path in sorted(paths):
        try:
            library = ctypes.CDLL(path)
        except OSError:
            continue
        pairs = [(getattr(library, n.format("get"), None), getattr(library, n.format("set"), None)) for n in _NAMES]
        found += [(get, put) for get, put in pairs if get and put][:1]
    return found
