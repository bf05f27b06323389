"""The mesh generator gmsh behind one `with`; nothing else imports it."""

from __future__ import annotations

import os
import signal
import threading
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from colletfea.fea.errors import MeshError
from colletfea.meshing import signals

_OPTIONS = {
    "General.Terminal": 0,
    "Mesh.MeshOnlyEmpty": 1,  # curves come with their nodes, only the blocks are left to fill
    "Mesh.SecondOrderIncomplete": 1,  # 8-node quadrilaterals
}


@contextmanager
def session(name: str) -> Iterator[Any]:
    """Start gmsh, hand out its `model`, and end it again even when meshing raises.

    Silent, and without a signal handler: an interrupt stays Python's and comes when the session ends. A session that is
    already open in this process is used and left open. Raises MeshError with gmsh's own words.
    """
    with signals.waiting():  # inside one of gmsh's calls an interrupt would be told as a wrong argument of that call
        yield from _opened(name)


def _opened(name: str) -> Iterator[Any]:
    import gmsh

    nested = bool(gmsh.isInitialized())
    if not nested:
        keep_open()
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


def keep_open() -> None:
    """Start gmsh for the rest of this process, where it has not been: whoever builds many meshes starts it once."""
    import gmsh

    if not gmsh.isInitialized():
        gmsh.initialize(readConfigFiles=False, interruptible=False)
        _restore_signals()


def _restore_signals() -> None:
    """Give Python its signals back: gmsh sets SIGTERM and SIGPIPE to the system's defaults behind Python's back.

    With those a pipe that nobody reads any more, a worker process that died say, would end this process without a word.
    """
    if threading.current_thread() is not threading.main_thread():
        return
    for number in (signal.SIGTERM, getattr(signal, "SIGPIPE", None)):
        handler = None if number is None else signal.getsignal(number)
        if handler is not None:
            signal.signal(number, handler)


def step_text(solids: Iterable[int]) -> str:
    """The named solids (tags) of the open session's model as the text of a STEP file in mm (ISO 10303).

    The model must be synchronized. Raises MeshError where nothing could be written.
    """
    import gmsh

    gmsh.option.setNumber("Geometry.OCCExportOnlyVisible", 1)
    gmsh.option.setString("Geometry.OCCTargetUnit", "MM")
    gmsh.model.setVisibility(gmsh.model.getEntities(), 0)
    gmsh.model.setVisibility([(3, tag) for tag in solids], 1, recursive=True)
    with TemporaryDirectory() as folder, _kernel_silent():
        path = Path(folder) / "solids.step"
        gmsh.write(str(path))
        if not path.is_file():
            raise MeshError("the solids can't be written as STEP")
        return path.read_text(encoding="ascii")


@contextmanager
def _kernel_silent() -> Iterator[None]:
    """The kernel reports on the process's standard output, past gmsh's own switch: nobody hears it."""
    kept, nowhere = os.dup(1), os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 1)
        yield
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)
