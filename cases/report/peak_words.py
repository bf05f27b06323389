"""Stress peaks in words, and the numbers under which places that are not believed stand in pictures and table."""

from __future__ import annotations

from typing import Any, Mapping, NamedTuple

from colletfea.cases.report.wording import number, percent

KEYS = {"part", "quantity", "value", "unit", "r_mm", "z_mm", "verdict", "meshes", "exponent", "spot", "believed_share", "doubted"}
#: radius of an edge that is advised, over the nose wall
_ROUND = 0.1


class Doubt(NamedTuple):
    """A place of a part at which two meshes still differ: its number, in words, undeformed (r, z) and radius [mm]."""

    number: int
    part: str
    at: str
    r: float
    z: float
    radius: float


def doubts(summary: Mapping[str, Any]) -> list[Doubt]:
    """The places that are not believed, part by part; the same place of two parts has one number."""
    numbers: dict[str, int] = {}
    found = {
        (peak["part"], spot["at"]): Doubt(numbers.setdefault(spot["at"], len(numbers) + 1), peak["part"], spot["at"], spot["r_mm"], spot["z_mm"], spot["radius_mm"])
        for peak in summary["simulation"]["peaks"]
        for spot in peak.get("doubted") or ()
    }
    return list(found.values())


def said(summary: Mapping[str, Any], peak: Mapping[str, Any]) -> str:
    """The verdict of a peak, its values on the meshes, its place's number in the picture, what would help, and whatever else is stored."""
    more = [str(peak["verdict"])]
    if peak.get("meshes"):
        values = ", ".join(number(value, 3) for value in peak["meshes"][-4:])
        more.append(f"on meshes of halved elements: {values} {peak['unit']}")
    known = {doubt.at: doubt.number for doubt in doubts(summary)}
    more += [f"place {known[peak['spot']]} in the picture"] if peak.get("spot") in known else []
    more += _advice(summary, peak)
    more += [
        f"{key.replace('_', ' ')} {percent(value) if key.endswith('relative') else number(value)}"
        for key, value in peak.items()
        if key not in KEYS and value is not None
    ]
    return "; ".join(more)


def _advice(summary: Mapping[str, Any], peak: Mapping[str, Any]) -> list[str]:
    """A radius in numbers for an edge whose peak is no stress."""
    spot, verdict = peak.get("spot") or "", peak["verdict"]
    key = "ring.edge_radius" if spot.startswith("ring's") else "sleeve.nose_radius" if "nose" in spot else ""
    if not key or "not a stress" not in verdict:
        return []
    radius = _ROUND * summary["case"]["sleeve"]["nose_wall"]
    return [f"with {key} = {number(radius, 1)} the peak becomes one that can be judged"]
