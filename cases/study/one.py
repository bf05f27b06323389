"""One case of a study, in whatever process: raw tables in, one flat row out."""

from __future__ import annotations

import math
import threading
import time
from dataclasses import dataclass, replace
from typing import Any

from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.faults import CaseError
from colletfea.cases.hand import columns
from colletfea.cases.hand.corners import LEAST, NOMINAL, Clamp, Corner, Reached, Rub
from colletfea.cases.hand.coupling import coupling
from colletfea.cases.hand.geometry import sizes
from colletfea.cases.judgement import blocks, loads
from colletfea.cases.judgement.energy import energy
from colletfea.cases.judgement.plausible import asked_about
from colletfea.cases.judgement.verdicts import judge
from colletfea.cases.simulation import corners
from colletfea.cases.simulation.corners import Way
from colletfea.cases.stored.names import EARLY, INTERRUPTED
from colletfea.cases.stored.store import Row
from colletfea.cases.study.scatter import Sample

#: ends of a case: as the exit codes of `run`
DONE, UNEXPECTED, BAD_INPUT, STOPPED = 0, 1, 2, 3
SAMPLE = "sample"

# the mesh generator has one session a process, so threads of a process take turns
_ALONE = threading.Lock()


@dataclass(frozen=True)
class Task:
    """One case: its number, the raw tables of the study's case with their title, changes of dotted keys, level; a sample of it."""

    index: int
    title: str
    tables: dict[str, Any]
    changes: dict[str, Any]
    level: str
    sample: Sample | None = None

    def case(self) -> Case:
        """The case itself. Raises CaseError."""
        return Case.from_tables(self.tables, self.title).changed(self.changes)


def row(task: Task) -> Row:
    """Results of one case under dotted names, what it is asked about, exit code, seconds and a sentence last; raises for an interrupt alone."""
    clock, asked = time.perf_counter(), []
    try:
        case = task.case()
        asked = asked_about(case)
        with _ALONE:
            found, code, message = _solved(case, task.level) if task.sample is None else _sampled(case, task.sample, task.level)
    except CaseError as error:
        found, code, message = {}, BAD_INPUT, error.faults[0]
    except Exception as error:
        found, code, message = {}, UNEXPECTED, f"Unexpected {type(error).__name__}: {' '.join(str(error).split())}"
    seconds = round(time.perf_counter() - clock, 3)
    return {**found, "checks": asked, "exit_code": code, "seconds": seconds, "message": message or None}


def _solved(case: Case, level: str) -> tuple[Row, int, str]:
    from colletfea.cases.deciding import decided
    from colletfea.cases.run import ends
    from colletfea.meshing.session import keep_open

    keep_open()
    result = decided(case, level)
    pushes, lost = result.pushes, loads.lost(loads.service_of(case))
    reasons = {pushes.nominal.reason, *(one.reason for one in result.seen.reached)}
    if INTERRUPTED in reasons:
        raise KeyboardInterrupt
    found = {
        **flat("clamp", {k: v for k, v in blocks.clamp(pushes.clamp).items() if k != "because"}),
        **_entries("corners", [blocks.corner(case, one, lost) for one in result.seen.reached]),
        **{name: value for state, block in ends(case, pushes.nominal).items() for name, value in flat(state, block or {}).items()},
        "self_locking": math.atan(case.friction.cone.low) / sizes(case).taper,
        **judged([verdict.to_dict() for verdict in result.verdicts]),
    }
    return found, STOPPED if reasons.intersection(EARLY) else DONE, pushes.message


def _sampled(case: Case, drawn: Sample, level: str) -> tuple[Row, int, str]:
    """One push at the sample's clearance, friction and force."""
    from colletfea.meshing.session import keep_open

    keep_open()
    rub = Rub(drawn.cone, drawn.bore)
    corner = Corner(SAMPLE, drawn.clearance, rub, rub, LEAST)
    end = case.push if drawn.force is None else replace(case.push, travel=None, force=drawn.force)
    service = loads.service_of(case)
    lost = loads.lost(service)
    _, reached = corners.push(case, corner, end, None, False, Way(level))
    if reached.reason == INTERRUPTED:
        raise KeyboardInterrupt
    # bending by hand belongs to the sample's own clearance; sentences, which name corners, are not kept
    own = corners.at_corner(case, corner, end)
    bending = {"slits": {"bending_stress_MPa": columns.slit_bending(coupling(own))}}
    as_nominal = replace(reached, corner=replace(corner, name=NOMINAL))
    clamp = Clamp(None, reached.force, reached.force, 1.0, "drawn")
    more = [loads.seat_open(own, as_nominal, lost), energy([as_nominal], {})]
    verdicts = judge(own, bending, clamp, [as_nominal], lost, loads.added(service), [v for v in more if v])
    found = {
        **_entries("corners", [blocks.corner(case, reached, lost)]),
        "times_the_duty": times_the_duty(case, reached, lost),
        "release_force_N": release_force(case, reached),
        **judged([verdict.to_dict() for verdict in verdicts]),
    }
    return found, STOPPED if reached.reason in EARLY else DONE, reached.message


def times_the_duty(case: Case, reached: Reached, lost: dict[str, float]) -> float | None:
    """How many times torque and thrust of the duty, without slip safety, the seats just carry; None without a duty.

    The cone, where it carries, is taken as its push less the thrust with slip safety leaves it.
    """
    duty = case.duty
    if duty is None:
        return None
    lost = reached.taken(lost)
    found = [reached.bore.share(reached.corner.carrying.bore, duty.torque * 1e3, abs(duty.thrust), lost.get("bore", 0.0))]
    if duty.carried_by == "ring" and duty.torque:
        found.append(reached.cone_carrying.share(reached.corner.carrying.cone, duty.torque * 1e3, 0.0, lost.get("cone", 0.0)))
    return max(min(found), 0.0)


def release_force(case: Case, reached: Reached) -> float:
    """Pull [N] that moves the ring back, R tan(rho - alpha) with R the cone's radial force; 0 where it lets go by itself.

    A ring that sticks keeps its radial force while its pull turns round. Source: statics of a cone, as in the hand calculation.
    """
    angle = math.atan(reached.corner.pulling.cone) - sizes(case).taper
    return max(reached.cone.radial * math.tan(angle), 0.0)


def judged(verdicts: list[dict[str, Any]]) -> Row:
    """Value, limit, margin and answer of each verdict, and the worst answer under `holds`.

    A ring of which it is not known whether it stays on its own is left out of `holds`: its screws hold it, and that is no fault.
    """
    found = {f"verdicts.{v['name']}.{key}": v[key] for v in verdicts for key in ("value", "limit", "margin", "ok")}
    answers = [v["ok"] for v in verdicts if v["name"] != "self_locking" or v["ok"] is False]
    return {**found, "holds": False if False in answers else None if None in answers else True}


def _entries(name: str, entries: list[dict[str, Any]]) -> Row:
    """A list of named blocks under their names, but for what is not the same columns in every row."""
    found: Row = {}
    for entry in entries:
        found |= flat(f"{name}.{entry['name']}", {key: value for key, value in entry.items() if key not in ("name", "trail", "search", "service")})
    return found


def flat(path: str, data: Any) -> Row:
    """Nested blocks under dotted names; a number that is not finite is None."""
    if isinstance(data, dict):
        return {name: value for key, inner in data.items() for name, value in flat(f"{path}.{key}", inner).items()}
    value = data.item() if hasattr(data, "item") else data
    return {path: None if isinstance(value, float) and not math.isfinite(value) else value}
