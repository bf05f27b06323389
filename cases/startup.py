"""Loads scipy without what only lists numpy's names would bring along.

scipy copies every public name of numpy, and so asks for parts that numpy loads when asked: its generator of wrappers and its
test tools, a fifth of the time that the two libraries take to load. Nothing that is used here is in them.
"""

import sys
from types import ModuleType

_ASIDE = ("f2py", "testing")


def load() -> None:
    """Load scipy.sparse.linalg with stand-ins for those parts, which are taken away again: whoever asks later gets the real ones."""
    if "scipy" in sys.modules:
        return
    import numpy

    placed = {name: ModuleType(f"numpy.{name}") for name in _ASIDE if f"numpy.{name}" not in sys.modules}
    vars(numpy).update(placed)
    try:
        import scipy.sparse.linalg  # noqa: F401
    finally:
        for name, module in placed.items():
            if vars(numpy).get(name) is module:
                delattr(numpy, name)
