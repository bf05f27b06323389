"""A push as far as it came, and what set its way."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from colletfea.cases.hand.corners import Collapse
from colletfea.cases.simulation.in_service import Stage
from colletfea.cases.simulation.model import CONE
from colletfea.cases.simulation.plan import Plan
from colletfea.cases.stored import names
from colletfea.fea.model.model import Model
from colletfea.fea.stepping.events import Event
from colletfea.fea.stepping.increment import Solver
from colletfea.fea.stepping.run import Tally
from colletfea.fea.stepping.state import State
from colletfea.meshing.section import Section

Progress = Callable[[float, str], None]
More = Callable[[Model], list[Event]]


def silent(done: float, text: str) -> None:
    """Progress that nobody follows."""


def nothing_more(model: Model) -> list[Event]:
    """No events but those of every push."""
    return []


@dataclass
class Course:
    """What sets the way of a push besides its case, for others that go a part of it.

    solver: by name; method: the solver itself, ready, from the first increment on.
    events: what its increments had to fall on.
    """

    plan: Plan
    section: Section
    solver: str
    method: Solver | None = None
    events: list[Event] = field(default_factory=list)


@dataclass
class Push:
    """A push as far as it came. states begins with the unloaded one; reason as in the results.

    level is that of the mesh and the increments.
    aside: states that were looked up on the way, by their event; beyond: states further on than the end that was asked for.
    collapse: the one that the push ended with. astray: left on the way, see roles.astray. residuals [-]: of the try that failed last, over
    the force scale; empty where none did. course, service (what followed on its end, where the case has one): lost where a push is
    copied or sent to another process.
    """

    model: Model
    size: float
    states: list[State] = field(default_factory=list)
    tally: Tally = field(default_factory=Tally)
    reason: str = names.TRAVEL
    message: str = ""
    seconds: float = 0.0
    mesh_seconds: float = 0.0
    level: str = "default"
    aside: dict[str, State] = field(default_factory=dict)
    beyond: list[State] = field(default_factory=list)
    residuals: list[float] = field(default_factory=list)
    collapse: Collapse | None = None
    astray: bool = False
    course: Course | None = field(default=None, repr=False)
    service: Stage | None = field(default=None, repr=False)

    def __getstate__(self) -> dict[str, Any]:
        return {**self.__dict__, "course": None, "service": None}

    @property
    def follower(self) -> str:
        """The edge that follows on the cone."""
        return next(pair.follower for pair in self.model.contact.pairs if pair.name == CONE)

    def landed(self, event: str) -> State | None:
        """The state that an event fell on, or that was looked up for it, None where it did not fall."""
        return next((s for s in self.states if event in s.events), self.aside.get(event))

    def interrupt(self) -> None:
        """Count as interrupted; what was reached is kept."""
        self.reason = names.INTERRUPTED
        self.message = f"Interrupted at travel {self.states[-1].t:.4g} mm; what was reached is kept."
