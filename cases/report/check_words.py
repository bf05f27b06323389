"""What `run --check` found, in a sentence."""

from typing import Any, Mapping

from colletfea.cases.report.wording import percent
from colletfea.cases.stored.names import CHECKED


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
    said, verdict = moved(data), next((v for v in data["verdicts"] if v["name"] == "mesh"), None)
    if not said or not verdict or not verdict["ok"]:
        return ""
    return f"Checked: {said}; up to {percent(verdict['limit'])} is taken as settled."
