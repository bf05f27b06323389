"""Temperatures of bodies, as the strain that each point would take if it were free."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from colletfea.fea.bodies.solid import Solid
from colletfea.fea.elements.mesh import Field


@dataclass(frozen=True)
class Warmth:
    """Free thermal expansion of a solid, the same in all directions, times a factor of the stage parameter.

    expansion (e, q) [-] is the change of a line's length over that length: coefficient of expansion [1/K] times temperature [K]
    above that of the unstressed shape.

    At finite strain: a line grows by x = factor * expansion, so free expansion is F = (1 + x) 1 and its Green-Lagrange strain
    Et = (x + x^2/2) 1. It is split off additively, E = Ee + Ep + Et, as plastic strain is (see plastic), and Ee goes into the
    elastic law and the return as any strain does: a body that is free to grow has no stress at any x, and moduli, yield stress
    and tangents stay those of the cold body. F = Fe Ft instead would take Ee = (E - Et)/(1 + x)^2: it differs by 2x of
    the elastic strain, 0.1 % of the stress at 50 K of steel. A softened hoop expands as the metal does: a slit ring at one
    temperature grows without stress. Source: additive split of Green-Lagrange strain, Green & Naghdi 1965 (from memory);
    the difference to the product form is derived here.
    """

    expansion: np.ndarray
    factor: Callable[[float], float]

    @classmethod
    def of(cls, solid: Solid, bodies: Mapping[str, float | Field], factor: Callable[[float], float]) -> Warmth:
        """Expansion [-] of bodies at factor 1, each a number or a function of undeformed (R, Z) [mm], arrays in, array out."""
        expansion = np.zeros(solid.radius.shape)
        for name, given in bodies.items():
            part = solid.slices[name]
            r, z = solid.points[part, :, 0], solid.points[part, :, 1]
            expansion[part] = given(r, z) if callable(given) else given
        expansion.flags.writeable = False
        return cls(expansion, factor)

    def strain(self, t: float) -> np.ndarray:
        """Direct components (e, q) [-] of the free Green-Lagrange strain at stage parameter t."""
        grown = self.factor(t) * self.expansion
        return grown + grown**2 / 2
