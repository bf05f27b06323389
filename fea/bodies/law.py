"""What a law of flowing metal takes and gives, and what its points keep from one increment to the next."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np


@dataclass(frozen=True)
class Flow:
    """History of integration points (e, q) in an accepted state; evaluations read it and never change it.

    c is 4 or 6 components, see bodies.elastic. What never flows keeps strain, alpha and work 0.
    """

    strain: np.ndarray  # (e, q, c) [-] plastic part of the Green-Lagrange strain, engineering shears
    alpha: np.ndarray  # (e, q) [-] equivalent plastic strain, never falls
    work: np.ndarray  # (e, q) [MPa] plastic work over undeformed volume, by the mean of old and new stress
    stress: np.ndarray  # (e, q, c) [MPa] second Piola-Kirchhoff stress of the accepted state

    def __post_init__(self):
        for values in (self.strain, self.alpha, self.work, self.stress):
            values.flags.writeable = False

    @classmethod
    def none(cls, shape: tuple[int, int], components: int) -> Flow:
        """Metal of shape (e, q) points that never flowed and is not stressed."""
        return cls(*(np.zeros(s) for s in ((*shape, components), shape, shape, (*shape, components))))

    def with_twist(self) -> Flow:
        """The same with the shears of twist, 0, behind its four components."""
        wide = ((0, 0), (0, 0), (0, 2))
        return Flow(np.pad(self.strain, wide), self.alpha.copy(), self.work.copy(), np.pad(self.stress, wide))


class Response(Protocol):
    """What a law answers at points (...)."""

    stress: np.ndarray  # (..., c) [MPa] second Piola-Kirchhoff
    strain: np.ndarray  # (..., c) [-] new plastic strain
    alpha: np.ndarray  # (...) [-] new equivalent plastic strain

    def tangent(self) -> np.ndarray:
        """d(stress)/d(strain) (..., c, c) [MPa], symmetric, consistent with the step from the old history."""


class FlowLaw(Protocol):
    """A law with history: pure, strain and old history in, stress, tangent and new history out."""

    def moduli(self, hoop_ratio: np.ndarray | float = 1.0) -> np.ndarray:
        """Elastic stiffness (..., 6, 6) [MPa] for hoop ratios (...)."""

    def respond(self, strain: np.ndarray, moduli: np.ndarray, old: np.ndarray, alpha: np.ndarray) -> Response:
        """Response to a Green-Lagrange strain (..., c) [-].

        moduli (..., c, c) [MPa] are those above at the points; old (..., c) [-] and alpha (...) [-] are the plastic strain and
        its equivalent in the last accepted state, left untouched.
        """
