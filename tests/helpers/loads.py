"""Loads that only tests put on a model."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from colletfea.fea.elements.mesh import Mesh


@dataclass(frozen=True)
class NodalForce:
    """Constant direction nodal forces (size,) [N] times a factor of the stage parameter."""

    force: np.ndarray
    factor: Callable[[float], float]

    def evaluate(self, mesh: Mesh, u: np.ndarray, unknowns: int, t: float) -> tuple[np.ndarray, ...]:
        """Nodal force (size,) [N], and a tangent without entries; see Pressure.evaluate."""
        return self.force * self.factor(t), np.empty((0, 1), int), np.empty((0, 1, 1))
