"""What a simulated service went through: its states, and how fast and how warm the coupling is in each."""

from __future__ import annotations

from dataclasses import dataclass, field

from colletfea.fea.contact.resultants import resultant
from colletfea.fea.model.model import Model
from colletfea.fea.stepping.state import State, missing_since

COLD, WARM, STILL = "cold at speed", "warm at speed", "warm at rest"


@dataclass
class Stage:
    """States of a service by their names; t counts them, 1 for each. message: why it stopped early, else empty.

    accepted: every state after the start. residuals [-] of the try that failed last, over the force scale.
    """

    model: Model
    start: State
    states: dict[str, State] = field(default_factory=dict)
    message: str = ""
    accepted: list[State] = field(default_factory=list)
    residuals: list[float] = field(default_factory=list)

    @property
    def last(self) -> State:
        """The state that it ended with."""
        return next(reversed(self.states.values()), self.start)

    @property
    def missing(self) -> float:
        """Share [-] of its work that is neither stored nor lost."""
        return missing_since(self.start, self.accepted)

    def normal(self, pair: str, *names: str) -> float:
        """Normal force [N] of a pair in the last of these states that there is, else at the start."""
        state = next((self.states[name] for name in reversed(names) if name in self.states), self.start)
        return resultant(self.model.contact, state.contact, pair).normal_force

    def most_lost(self, pair: str) -> float:
        """Normal force [N] that a pair loses at most, 0 where it only tightens."""
        return max(0.0, *(self.normal(pair) - self.normal(pair, name) for name in (COLD, WARM, STILL)))


def warm_share(t: float) -> float:
    """How warm [-] the coupling is at t: from 0 at 1 to 1 at 2 and on."""
    return _share(t, 1)


def turning_share(t: float) -> float:
    """Share [-] of the speed at t: centrifugal force, its square, rises from 0 to 1 and falls from 2 to 3."""
    return max(_share(t, 0) - _share(t, 2), 0.0) ** 0.5


def _share(t: float, start: int) -> float:
    return min(max(t - start, 0.0), 1.0)
