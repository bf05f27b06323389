"""The states of all stages as one series to be played: push, then release, then twist.

Its time is a way in mm that always grows: the ring's travel, then its way back, then the way of the turned end round the
surface of the seat. Travel and turn go with every frame.
"""

from __future__ import annotations

from collections.abc import Sequence

from colletfea.fea.model.model import Model
from colletfea.fea.stepping.fields import Frame
from colletfea.fea.stepping.state import State

STAGES = ("push", "release", "twist")


def of_push(model: Model, states: Sequence[State]) -> list[Frame]:
    """Frames of the push; the time of each is its travel [mm]."""
    return [_frame(0, model, s, s.t, s.t, 0.0) for s in states]


def of_release(model: Model, states: Sequence[State], begun: float) -> list[Frame]:
    """Frames of a release after its first state, which is the end of the push, at travel and time begun [mm]."""
    return [_frame(1, model, s, begun + s.t, begun - s.t, 0.0) for s in states[1:]]


def of_twist(model: Model, states: Sequence[State], travel: float, radius: float, begun: float) -> list[Frame]:
    """Frames of a twist after its first state, at a travel [mm], for a seat of a radius [mm], from the time begun on [mm]."""
    return [_frame(2, model, s, begun + radius * s.t, travel, s.t) for s in states[1:]]


def _frame(stage: int, model: Model, state: State, time: float, travel: float, turn: float) -> Frame:
    return Frame(STAGES[stage], model, state, time, {"stage": float(stage), "travel_mm": travel, "turned_end_rad": turn})
