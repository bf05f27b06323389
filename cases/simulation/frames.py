"""The states of all stages as one series to be played: push, then service, release and twist, each from the end of the push.

Its time is a way in mm that always grows: the ring's travel, a tenth of it for each part of service, in which little moves, the
ring's way back, then the way of the turned end round the surface of the seat. Travel, turn, speed and warmth go with every frame.
"""

from __future__ import annotations

from collections.abc import Sequence

from colletfea.cases.simulation.in_service import turning_share, warm_share
from colletfea.fea.model.model import Model
from colletfea.fea.stepping.fields import Frame
from colletfea.fea.stepping.state import State

STAGES = ("push", "release", "twist", "service")
#: of the ring's travel, for each of the parts that t counts in service
_PART = 0.1


def of_push(model: Model, states: Sequence[State]) -> list[Frame]:
    """Frames of the push; the time of each is its travel [mm]."""
    return [_frame(0, model, s, s.t, s.t, 0.0) for s in states]


def of_service(model: Model, states: Sequence[State], travel: float, speed: float) -> list[Frame]:
    """Frames of a service at a speed [1/min] after the end of the push, at a travel and time [mm]; states are those after its start."""
    return [_frame(3, model, s, travel * (1 + _PART * s.t), travel, 0.0, speed * turning_share(s.t), warm_share(s.t)) for s in states]


def of_release(model: Model, states: Sequence[State], travel: float, begun: float) -> list[Frame]:
    """Frames of a release after its first state, which is the end of the push, at a travel [mm], from the time begun on [mm]."""
    return [_frame(1, model, s, begun + s.t, travel - s.t, 0.0) for s in states[1:]]


def of_twist(model: Model, states: Sequence[State], travel: float, radius: float, begun: float) -> list[Frame]:
    """Frames of a twist after its first state, at a travel [mm], for a seat of a radius [mm], from the time begun on [mm]."""
    return [_frame(2, model, s, begun + radius * s.t, travel, s.t) for s in states[1:]]


def _frame(
    stage: int, model: Model, state: State, time: float, travel: float, turn: float, speed: float = 0.0, warmth: float = 0.0
) -> Frame:
    values = {"stage": float(stage), "travel_mm": travel, "turned_end_rad": turn, "speed_per_min": speed, "warm_share": warmth}
    return Frame(STAGES[stage], model, state, time, values)
