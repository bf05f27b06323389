"""Where two runs that begin alike part: the second need not go the common way again."""

from __future__ import annotations

from collections.abc import Sequence

from colletfea.fea.stepping.events import Event, foreseen, imminent
from colletfea.fea.stepping.state import State


def parting(states: Sequence[State], sizes: Sequence[float], events: Sequence[Event]) -> int:
    """Number of the last of a run's states that a run with other events has in common with it.

    states: accepted ones from the start on; sizes [-]: what the increment from each had in mind, see run.Tally; events: those
    that one of the two runs has and the other has not. Up to there none of them fell or shortened an increment, or would have been
    met by a longer try of one that was shortened for its work's sake.
    """
    for k, (state, after) in enumerate(zip(states, states[1:])):
        past, target = list(states[max(k - 4, 0) : k + 1]), state.t + sizes[k]
        beyond = [*past, after][-5:]
        for event in events:
            met = event.measure(after) >= -event.tolerance or foreseen(event, beyond, target) < target
            if met or imminent(event, past) or foreseen(event, past, target) < target:
                return k
    return len(states) - 1
