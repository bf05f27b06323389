"""What `run --check` found, in a sentence; with the names of what was compared."""

from typing import Any, Mapping

from colletfea.cases.report.wording import percent

NAMES = {
    "travel_mm": "the travel",
    "push_force_N": "the push force",
    "bore.normal_force_N": "the bore's normal force",
    "bore.mean_pressure_MPa": "the bore's mean pressure",
    "cone.normal_force_N": "the cone's normal force",
    "von_mises_MPa.shaft": "the shaft's stress",
    "von_mises_MPa.sleeve": "the sleeve's stress",
    "von_mises_MPa.ring": "the ring's stress",
}


def moved(data: Mapping[str, Any]) -> str:
    """What moved most, as in "with half the mesh size ... the ring's stress at the end of the nominal push moves by 1.2 %, all else by less".

    Empty where nothing was compared.
    """
    found = {name: abs(value) for name, value in (data.get("check") or {}).items() if value is not None}
    if not found:
        return ""
    most = max(found, key=found.__getitem__)
    return f"with half the mesh size and half the increments, {NAMES.get(most, most)} at the end of the nominal push moves by {percent(found[most])}, all else by less"


def sentence(data: Mapping[str, Any]) -> str:
    """That mesh and increments are fine enough; empty where that was not asked, not known, or fails and is told with what fails."""
    said, verdict = moved(data), next((v for v in data["verdicts"] if v["name"] == "mesh"), None)
    if not said or not verdict or not verdict["ok"]:
        return ""
    return f"Checked: {said}; up to {percent(verdict['limit'])} is taken as settled."
