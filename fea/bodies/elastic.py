"""Material laws on Green-Lagrange strain, component order (RR, ZZ, TT, RZ, RT, TZ).

Shear strains are engineering strains (2 E_RZ ...). The first four components serve a model
without twist, all six a model with it. T is the hoop (circumferential) direction.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Elastic:
    """St Venant-Kirchhoff law, softened in the hoop direction only.

    young [MPa] > 0, poisson [-] in [0, 0.5). The hoop ratio eta in [0, 1] replaces the hoop
    entry 1/E of the isotropic compliance by 1/(eta E): 1 is a closed ring, 0 carries no hoop
    stress (fingers). Source: compliance of a slit ring seen from outside, derived here; eta = 1 is
    the isotropic law of any textbook.
    """

    young: float
    poisson: float

    def moduli(self, hoop_ratio: np.ndarray | float = 1.0) -> np.ndarray:
        """Stiffness (..., 6, 6) [MPa] for hoop ratios of shape (...)."""
        eta = np.asarray(hoop_ratio, dtype=float)
        e, nu = self.young, self.poisson
        a, b = 1 - eta * nu**2, nu + eta * nu**2
        direct, cross = e * a / (a**2 - b**2), e * b / (a**2 - b**2)
        d = np.zeros((*eta.shape, 6, 6))
        d[..., 0, 0] = d[..., 1, 1] = direct
        d[..., 0, 1] = d[..., 1, 0] = cross
        hoop = eta * nu * (direct + cross)
        for i in (0, 1):
            d[..., i, 2] = d[..., 2, i] = hoop
        d[..., 2, 2] = eta * (e + 2 * nu * hoop)
        for i in (3, 4, 5):
            d[..., i, i] = e / (2 * (1 + nu))
        return d
