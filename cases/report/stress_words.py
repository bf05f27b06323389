"""What stands under a part's table of peaks: how far its field is off by the mesh, and which wall would lower its stress."""

from __future__ import annotations

from typing import Any, Mapping

from colletfea.cases.report.wording import number, percent, quantity
from colletfea.cases.stored.names import dig

Data = Mapping[str, Any]


def lines(data: Data, part: str) -> list[str]:
    """Sentences on a part; empty where nothing is stored."""
    return [words for words in (_error(data, part), _slits(data, part), _wall(data, part)) if words]


def _error(data: Data, part: str) -> str:
    found = (data.get("stress_error") or {}).get(part)
    if not found:
        return ""
    said = (
        f"Error of this field by its own mesh, recovered against raw stress: {percent(found['relative'])} of the part's stress, "
        f"{percent(found['clear_relative'])} clear of the ends of contacts (root mean squares); the largest von Mises stress there is off by "
        f"about {quantity(found['at_peak_MPa'], 'MPa', 2)}."
    )
    return said + _against_margin(data, part, found["at_peak_MPa"])


def _slits(data: Data, part: str) -> str:
    """What the field of a slit sleeve can't hold, and which of it the verdict adds."""
    slits = dig(data, "hand.slits") if part == "sleeve" else None
    if not slits:
        return ""
    said = "A model of whole rings is blind to what slits do round the circumference."
    if slits.get("cone_peak_factor"):
        said += f" Pressure of the cone at the slot edges: about {number(slits['cone_peak_factor'], 3)} times its mean, in no stress here."
    if slits.get("bending_stress_MPa") is None:
        return f"{said} Bending of the metal between the slots: there is no simple formula, and the verdict leaves it out."
    return (
        f"{said} Bending of the slit wall as it closes: {quantity(slits['bending_stress_MPa'], 'MPa', 3)} by hand for a clearance of "
        f"{quantity(_clearance(data), 'mm', 3)}; it grows with what is closed, and the verdict adds it in full to the stress of this field, for the clearance "
        "of its own corner."
    )


def _clearance(data: Data) -> float | None:
    """The clearance [mm] that the hand calculation is for: the middle one of a fit."""
    given = dig(data, "case.sleeve.clearance")
    return dig(data, "hand.fit.middle.clearance_mm") if given is None else given


def _against_margin(data: Data, part: str, error: float) -> str:
    """Whether the error could turn the verdict."""
    verdict = next((v for v in data["verdicts"] if v["name"] == f"yield_{part}" and v["ok"] is not None), None)
    if verdict is None or not verdict["limit"]:
        return ""
    room = abs(verdict["limit"] - verdict["value"])
    if error < room:
        return f" The verdict has {quantity(room, 'MPa', 2)} {'to spare' if verdict['ok'] else 'too much'}: more than this error."
    return f" The verdict lies {quantity(room, 'MPa', 2)} from its limit, within this error: run with --fine before relying on it."


def _wall(data: Data, part: str) -> str:
    found = next((one for one in data.get("walls") or () if one["part"] == part), None)
    if not found:
        return ""
    if found["changed_to"] is None:
        return f"By hand no other wall from half to twice this one brings the {part} below its limit; less force, another material or another shape may."
    what = {"sleeve": "a nose wall", "ring": "a wall"}.get(part, "a wall")
    at = " at its thinnest place" if part == "ring" else ""
    return (
        f"Advice: {what} of about {number(found['wall_mm'], 2)} mm{at} ({found['key']} = {number(found['changed_to'], 4)}) would bring it to "
        f"{quantity(found['stress_MPa'], 'MPa', 3)} at the same clamp force: this stress times the ratio of the hand calculation's, to be confirmed by a run."
    )


def source(data: Data) -> str:
    """Where the estimate of the error comes from and how well it does where the true error is known; empty without one."""
    if not any((data.get("stress_error") or {}).values()):
        return ""
    return (
        "Stress jumps between elements; averaged at nodes it is nearer to the truth, and its distance from the raw one estimates the raw one's "
        "error (Zienkiewicz and Zhu, 1987, from memory). On thick rings and spheres of 2 to 16 elements the estimate is 1.05 to 1.27 times "
        "the true error. At a sharp end of a contact no mesh makes it small. The model's own errors, fit and friction are not in it."
    )
