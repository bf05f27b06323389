"""What `run --check` found, in a sentence."""

from typing import Any, Mapping

from colletfea.cases.report.verdict_words import margin
from colletfea.cases.report.wording import percent
from colletfea.cases.stored.names import CHECKED, PARTS
from colletfea.cases.stored.verdict import subject

#: the verdict on mesh and increments: where it is not ok the numbers are in doubt, and not the design
MESH = "mesh"
#: verdicts that stand on a quantity which is compared
_TURNS = {
    "travel_mm": ("bottoming",), "push_force_N": ("screws", "jacking"), "bore.normal_force_N": ("slip",), "bore.mean_pressure_MPa": ("seat_open",),
    "cone.normal_force_N": ("cone_slip",), **{f"von_mises_MPa.{part}": (f"yield_{part}",) for part in PARTS},
}  # fmt: skip


def moved(data: Mapping[str, Any]) -> str:
    """What moved most, as in "with half the mesh size ... the ring's stress at the end of the nominal push moves by 1.2 %, all else by less".

    Empty where nothing was compared.
    """
    found = {name: abs(value) for name, value in (data.get("check") or {}).items() if value is not None}
    if not found:
        return ""
    most = max(found, key=found.__getitem__)
    return f"with half the mesh size and twice the increments, {CHECKED.get(most, most)} at the end of the nominal push moves by {percent(found[most])}, all else by less"


def sentence(data: Mapping[str, Any]) -> str:
    """That mesh and increments are fine enough; empty where that was not asked, not known, or fails and is told with what fails."""
    said, verdict = moved(data), _verdict(data)
    if not said or not verdict or not verdict["ok"]:
        return ""
    return f"Checked: {said}; up to {percent(verdict['limit'])} is taken as settled."


def unsettled(data: Mapping[str, Any]) -> str:
    """That the numbers have not settled, with the verdicts that this may turn; empty where they have or that was not asked or not known."""
    verdict = _verdict(data)
    if not verdict or verdict["ok"] is not False:
        return ""
    turned = _may_turn(data, verdict["limit"])
    names = f"It may turn the verdict on {' and on '.join(turned)}" if turned else "No verdict on what moves so far is that near its limit"
    return (
        f"The numbers are not settled, mesh or increments are too coarse: {moved(data)}, against {percent(verdict['limit'])} taken as settled. "
        f"{names}: give a finer mesh.size, or run with --fine."
    )


def _may_turn(data: Mapping[str, Any], settled: float) -> list[str]:
    """Judged verdicts on what moves by more than is taken as settled, nearer to their limit than that, by their subjects and margins."""
    far = {name: abs(by) for key, by in data["check"].items() if by is not None and abs(by) > settled for name in _TURNS[key]}
    return [
        f"{subject(v['name'])} (margin {margin(v)})" for v in data["verdicts"]
        if v["name"] in far and v["ok"] is not None and v["margin"] is not None and 1 - far[v["name"]] < v["margin"] < 1 + far[v["name"]]
    ]  # fmt: skip


def _verdict(data: Mapping[str, Any]) -> Mapping[str, Any] | None:
    return next((v for v in data["verdicts"] if v["name"] == MESH), None)
