"""An accepted state of a run, its energies, and the state at rest that a run starts from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from colletfea.fea.bodies.law import Flow
from colletfea.fea.contact.pair import Evaluation, History
from colletfea.fea.model.balance import Balance


#: share of the energy stored at the start of a stage that counts as its work where it turns over less
_LITTLE = 0.1


@dataclass(frozen=True)
class Work:
    """Energies [N mm] since the start of the run, whole ring."""

    drives: float = 0.0  # put in by the drives, trapezoid
    loads: float = 0.0  # put in by external loads, trapezoid
    stored: float = 0.0  # elastic energy of the bodies
    springs: float = 0.0  # put into contact: mean pressure times the overlap gained
    friction: float = 0.0  # put into friction, mean of old and new traction
    dissipated: float = 0.0  # part of it that is lost: mean friction limit times what slip is not elastic
    plastic: float = 0.0  # put into plastic flow, mean of old and new stress
    warming: float = 0.0  # done by free strain that grows against the stress, mean of old and new stress

    def relative_error(self) -> float:
        """Relative error [-] of work in = stored + springs + friction + plastic.

        In are drives, loads and warming. The elastic energy W(E - Ep - Et) changes by S:dE - S:dEp - S:dEt: the middle one is
        put into flow, the last one done by the free strain Et. Heat itself is no part of it, only the work that it turns into.
        """
        return abs(self.lost()) / self._done()

    def lost(self) -> float:
        """Work [N mm] put in that is found nowhere, < 0 where more is found."""
        return self._given() - (self.stored + self.springs + self.friction + self.plastic)

    def spilt(self, before: Work) -> float:
        """What was lost since an earlier state over all work done by now [-]."""
        return abs(self.lost() - before.lost()) / self._done()

    def own(self, before: Work) -> float:
        """What was lost since an earlier state over what was put in since then [-]."""
        return abs(self.lost() - before.lost()) / max(abs(self._given() - before._given()), 1e-300)

    def turned(self, before: Work) -> float:
        """Work [N mm] turned over since an earlier state: put in or taken out, or, where that is more, stored or given back."""
        return max(abs(self._given() - before._given()), abs(self.stored - before.stored))

    def _given(self) -> float:
        return self.drives + self.loads + self.warming

    def _done(self) -> float:
        return max(abs(self._given()), abs(self.stored), 1e-300)


@dataclass(frozen=True, eq=False)
class State:
    """An accepted state, equal to itself only. nodal (size,) is internal - external + contact force; totals are per drive."""

    t: float
    u: np.ndarray
    history: History
    contact: Evaluation
    nodal: np.ndarray
    totals: dict[str, float]
    scale: float  # [N] force scale, see model.Balance
    norm: float  # [-] what is out of balance over it, see Balance.imbalance
    penetration: float  # [mm] largest mean overlap of a follower edge that touches all along; of others what is left of their balance
    work: Work
    iterations: int = 0
    events: tuple[str, ...] = ()  # names of those it was landed on
    flow: Flow | None = None  # None where no body may flow

    @property
    def missing(self) -> float:
        """Share [-] of the work put in that is neither stored nor lost; 0 where nothing presses: then there is no work but rounding."""
        return self.work.relative_error() if np.any(self.contact.pressure > 0) else 0.0


def missing_since(start: State, states: Sequence[State]) -> float:
    """Share [-] of the work of a stage that is neither stored nor lost, in the state of it that misses most; states follow on start.

    The work of a stage is what its increments turn over. Where that is less than a tenth of the energy that start stores, the tenth
    stands for it: a stage that hardly moves would be judged by rounding.
    """
    own = sum(b.work.turned(a.work) for a, b in pairwise([start, *states]))
    missing = max((abs(state.work.lost() - start.work.lost()) for state in states), default=0.0)
    return missing / max(own, _LITTLE * start.work.stored, 1e-300)


def initial_state(balance: Balance, t: float = 0.0) -> State:
    """The unloaded state at rest at parameter t: unknowns (size,) [mm; rad], pressures (n,) [MPa] and forces all 0."""
    model = balance.model
    history, u = model.contact.start(), np.zeros(model.size)
    contact = model.contact.evaluate(u, history)
    nothing = {n: np.zeros_like(getattr(contact, n)) for n in ("force", "pressure", "traction", "slip", "status")}
    contact = replace(contact, **nothing)  # overlap of an interference fit has met no increment yet
    totals = {d.name: 0.0 for d in balance.numbering.drives}
    kept = contact.history()
    return State(t, u, kept, contact, np.zeros(model.size), totals, 1.0, 0.0, 0.0, Work(), flow=model.solid.start())
