"""What the page lets a process of its own do: simulate, make the report, make the parts. Each is called as a job's task."""

from __future__ import annotations

import io
import zipfile
from typing import Any

from colletfea.cases.browser.job import Desk
from colletfea.cases.casefile.case import Case
from colletfea.cases.stored.result import Result


def simulate(desk: Desk, case: Case, level: str) -> Result:
    """The simulation of a case, in this process alone."""
    from colletfea.cases.run import solve

    return solve(case, level, processes=1, progress=desk.tell, stop=desk.stop)


def report(desk: Desk, result: Result) -> bytes:
    """The report of a result, one page that needs no other file."""
    from colletfea.cases.report import page

    desk.tell(0.1, "drawing the report")
    folder = desk.folder / "results"
    result.save(folder, fields=False)
    return page.make(folder).read_bytes()


def parts(desk: Desk, case: Case, found: dict[str, Any]) -> bytes:
    """The parts as solids and the drawing, in one ZIP file; found: the simulation or the hand calculation, for the screws' torque."""
    from colletfea.cases.parts import make
    from colletfea.cases.summary import version

    desk.tell(0.1, "making the parts")
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as pack:
        for name, text in make.make(case, version(), make.torque_of(found)).texts.items():
            pack.writestr(name, text)
    return packed.getvalue()
