"""The mesh generator gmsh behind one `with`; nothing else imports it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from colletfea.fea.errors import MeshError

_OPTIONS = {
    "General.Terminal": 0,
    "Mesh.MeshOnlyEmpty": 1,  # curves come with their nodes, only the blocks are left to fill
    "Mesh.SecondOrderIncomplete": 1,  # 8-node quadrilaterals
}


@contextmanager
def session(name: str) -> Iterator[Any]:
    """Start gmsh, hand out its `model`, and end it again even when meshing raises.

    Silent, and without a signal handler, so that an interrupt stays Python's. A session that is
    already open in this process is used and left open. Raises MeshError with gmsh's own words.
    """
    import gmsh

    nested = bool(gmsh.isInitialized())
    if not nested:
        gmsh.initialize(readConfigFiles=False, interruptible=False)
    try:
        for option, value in _OPTIONS.items():
            gmsh.option.setNumber(option, value)
        gmsh.model.add(name)
        yield gmsh.model
    except Exception as err:
        if type(err) is not Exception:  # gmsh raises the bare class only
            raise
        raise MeshError(f"meshing failed: {err}") from err
    finally:
        if nested:
            gmsh.model.remove()
        else:
            gmsh.finalize()
