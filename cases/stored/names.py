"""Names that results are stored under, each in one place: ends of a push, events of its states, parts, fits of corners."""

from typing import Any

TRAVEL, DUTY, FORCE, TOUCH = "travel", "duty", "force", "touch"
MET, SHUT, YIELD, STRAIN, COLLAPSE = "flange met", "slots shut", "yield", "overstrained", "collapse"
NOT_CONVERGED, INTERRUPTED = "not converged", "interrupted"

#: why a push ended, in words; TOUCH is an event of a state and ends none
REASONS = {
    TRAVEL: "the ring came to the end of its travel",
    FORCE: "the force asked for was reached",
    DUTY: "the duty with its slip safety was reached",
    MET: "the ring met the flange",
    SHUT: "the slots shut",
    YIELD: "a part reached its permitted stress",
    STRAIN: "a part was strained past all elasticity (by 3 % and past twice its yield, or pressed together by more than a third somewhere)",
    COLLAPSE: "a part flowed through its wall and carried no more",
    NOT_CONVERGED: "no equilibrium was found beyond this point",
    INTERRUPTED: "the run was interrupted",
}
#: reasons that leave partial results
EARLY = (NOT_CONVERGED, INTERRUPTED)
PARTS = ("shaft", "sleeve", "ring")
#: what may follow on a push
STAGES = ("service", "release", "twist")
#: corners, and which clearance of the fit each has
FITS = {"nominal": "middle fit", "grip": "loosest fit", "tight": "tightest fit", "loose": "loosest fit"}
#: states of a contact element, in the order that stored numbers count them
CONTACT_STATES = ("open", "stick", "slip")
#: lines along which stress is stored
SURFACE, RADIUS = "shaft surface", "radius at mid-seat"
#: what `run --check` compares, in words
CHECKED = {
    "travel_mm": "the travel",
    "push_force_N": "the push force",
    "bore.normal_force_N": "the bore's normal force",
    "bore.mean_pressure_MPa": "the bore's mean pressure",
    "cone.normal_force_N": "the cone's normal force",
    "von_mises_MPa.shaft": "the shaft's stress",
    "von_mises_MPa.sleeve": "the sleeve's stress",
    "von_mises_MPa.ring": "the ring's stress",
}
STEPS = "steps_"  # begins the names of the arrays over the increments of the push


def dig(data: Any, path: str) -> Any:
    """The value at a dotted path, None as soon as something on the way is missing or null."""
    for key in path.split("."):
        if not isinstance(data, dict):
            return None
        data = data.get(key)
    return data
