"""Bodies that turn about the axis at a steady speed, seen from a frame that turns with them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from colletfea.fea.bodies.solid import Solid
from colletfea.fea.elements.mesh import Mesh


@dataclass(frozen=True)
class Spin:
    """Centrifugal force: density times the square of the speed times the current radius, on the undeformed volume.

    A load of Model. mass (e, 8, 8) [t] are the elements' mass matrices, whole ring times fill; dofs (e, 8) the unknowns u_r of
    their nodes; resting (e, 8) [t mm] is mass times undeformed radius. speed [rad/s] of the stage parameter. Mass is kept, so
    its volume is the reference one, and its arm is r = R + u: the force is linear in u, and its potential is minus half the
    square of the speed times the moment of inertia. Twist changes nothing but the angle of a ring that is alike all round.
    """

    dofs: np.ndarray
    mass: np.ndarray
    resting: np.ndarray
    speed: Callable[[float], float]

    @classmethod
    def of(cls, solid: Solid, density: Mapping[str, float], speed: Callable[[float], float]) -> Spin:
        """Of bodies with a density [t/mm3: 7.85e-9 is steel] at a speed [rad/s]; the other bodies weigh nothing."""
        each = np.zeros(len(solid.nodes_of))
        for name, given in density.items():
            each[solid.slices[name]] = given
        rows = np.flatnonzero(each)
        weight = solid.volume[rows] * each[rows, None]
        mass = np.einsum("eq,qa,qb->eab", weight, solid.value, solid.value)
        resting = (weight * solid.radius[rows]) @ solid.value
        return cls(solid.nodes_of[rows] * solid.unknowns, mass, resting, speed)

    def evaluate(self, mesh: Mesh, u: np.ndarray, unknowns: int, t: float) -> tuple[np.ndarray, ...]:
        """Nodal force (size,) [N], and unknown numbers with -d(force)/du [N/mm]; see Pressure.evaluate."""
        square = self.speed(t) ** 2
        local = square * (self.resting + (self.mass @ u[self.dofs][..., None])[..., 0])
        force = np.bincount(self.dofs.ravel(), weights=local.ravel(), minlength=u.size)
        return force, self.dofs, -square * self.mass
