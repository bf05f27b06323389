"""Elastic-plastic metal: J2 flow in the second Piola-Kirchhoff stress, also behind a softened hoop.

Green-Lagrange strain E = Ee + Ep, S = D Ee, flow where q(S) passes the yield stress, q^2 = 3/2 S:P S, P the deviator.
Implicit step: S = S_trial - D dEp with dEp = c P S, c = 3 da / (2 q), q(S) = yield(alpha + da).
Source: closest-point return and consistent tangent, Simo & Hughes, Computational Inelasticity, ch. 3 (from memory).

Softened hoop: the metal stands in series with an elastic hoop spring of compliance (1/eta - 1)/E, which is what the compliance
1/(eta E) says. S_TT is then the metal's mean hoop stress; yield is taken on all of S, flow is isotropic. Derived here: D differs
from the isotropic one in the hoop only, so that D P has two values, 2G on shears and on the difference of RR and ZZ, and
k = v D v / 6 on v = (1, 1, -2); the return is one scalar equation in da for every eta, 0 included. At eta = 1 k is 2G, and the
step is the radial return.

Flow stress in Cauchy terms is off by twice the strain (bar of 300 MPa at 1 and 5 % strain: 306 and 332 MPa).
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from colletfea.fea.bodies.elastic import Elastic
from colletfea.fea.bodies.hardening import Hardening

#: share of the yield stress that counts as elastic, and share of it to which the return is solved: both rounding
_ELASTIC, _RETURNED = 1e-11, 1e-13
_ITERATIONS = 100


@dataclass(frozen=True)
class Plastic(Elastic):
    """Elastic law with von Mises yield and isotropic hardening; a FlowLaw, without history of its own."""

    hardening: Hardening = field(kw_only=True)

    def respond(self, strain: np.ndarray, moduli: np.ndarray, old: np.ndarray, alpha: np.ndarray) -> Returned:
        """See FlowLaw.respond."""
        stress = np.einsum("...ij,...j->...i", moduli, strain - old)
        limit = self.hardening.at(alpha)[0]
        over = np.nonzero(equivalent(stress) > (1 + _ELASTIC) * limit)
        if not len(over[0]):
            return Returned(stress, old, alpha, moduli, over, None)
        step = _Return.of(stress[over], moduli[over], alpha[over], self.hardening)
        new, grown = old.copy(), alpha.copy()
        stress[over] = step.stress
        new[over] += step.factor[:, None] * _deviator_strain(step.stress)
        grown[over] += step.gained
        return Returned(stress, new, grown, moduli, over, step)


def equivalent(stress: np.ndarray) -> np.ndarray:
    """Equivalent stress q (...) [MPa] of stresses (..., 4 or 6) [MPa]."""
    d, x, shear = _split(stress)
    return np.sqrt(3 * (d**2 + np.sum(shear**2, axis=-1)) + x**2)


def _split(stress: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Half the difference of RR and ZZ, their mean less TT, and shears (..., 1 or 3)."""
    return (stress[..., 0] - stress[..., 1]) / 2, (stress[..., 0] + stress[..., 1]) / 2 - stress[..., 2], stress[..., 3:]


def _deviator_strain(stress: np.ndarray) -> np.ndarray:
    """Deviator P S (..., c) with engineering shears: the direction of flow."""
    result = 2 * stress
    result[..., :3] = stress[..., :3] - np.mean(stress[..., :3], axis=-1, keepdims=True)
    return result


@dataclass(frozen=True)
class _Return:
    """The return of m points that flow."""

    stress: np.ndarray  # (m, c) [MPa]
    gained: np.ndarray  # (m,) [-] da
    factor: np.ndarray  # (m,) [1/MPa] c
    limit: np.ndarray  # (m,) [MPa] new yield stress
    slope: np.ndarray  # (m,) [MPa] of hardening there
    weak: np.ndarray  # (m, 3) [MPa] D (1, 1, -2)
    hoop: np.ndarray  # (m,) [MPa] k

    @classmethod
    def of(cls, trial: np.ndarray, moduli: np.ndarray, alpha: np.ndarray, hardening: Hardening) -> _Return:
        """From trial stresses (m, c) [MPa] beyond yield, moduli (m, c, c) [MPa] and old alpha (m,) [-]."""
        weak = moduli[:, :3, 0] + moduli[:, :3, 1] - 2 * moduli[:, :3, 2]
        hoop = (weak[:, 0] + weak[:, 1] - 2 * weak[:, 2]) / 6
        double = 2 * moduli[:, 3, 3]
        d, x, shear = _split(trial)
        squares = 3 * (d**2 + np.sum(shear**2, axis=-1)), x**2
        gained = _solve(squares, (double, hoop), alpha, hardening)
        limit, slope = hardening.at(alpha + gained)
        factor = 1.5 * gained / limit
        shrunk = 1 / (1 + double * factor)
        stress = trial * shrunk[:, None]
        direct = trial[:, :3] - (factor * x / (3 * (1 + hoop * factor)))[:, None] * weak
        mean = (direct[:, 0] + direct[:, 1]) / 2
        stress[:, 0], stress[:, 1], stress[:, 2] = mean + d * shrunk, mean - d * shrunk, direct[:, 2]
        return cls(stress, gained, factor, limit, slope, weak, hoop)

    def tangent(self, moduli: np.ndarray) -> np.ndarray:
        """Consistent tangent (m, c, c) [MPa] from elastic moduli (m, c, c) [MPa]."""
        double = 2 * moduli[:, 3, 3]
        core = moduli.copy()
        core[:, :3, :3] -= (
            (self.factor / (6 * (1 + self.hoop * self.factor)))[:, None, None] * self.weak[:, :, None] * self.weak[:, None, :]
        )
        less = double**2 * self.factor / (2 * (1 + double * self.factor))
        core[:, :2, :2] -= less[:, None, None] * np.array([[1, -1], [-1, 1]])
        core[:, 3:, 3:] /= (1 + double * self.factor)[:, None, None]
        normal = 1.5 / self.limit[:, None] * _deviator_strain(self.stress)
        pulled = np.einsum("mij,mj->mi", core, normal)
        theta = 1 - self.slope * self.gained / self.limit
        share = theta / (self.slope + theta * np.sum(normal * pulled, axis=1))
        return core - share[:, None, None] * pulled[:, :, None] * pulled[:, None, :]


def _solve(squares: tuple, moduli: tuple, alpha: np.ndarray, hardening: Hardening) -> np.ndarray:
    """Gain da (m,) [-] of equivalent plastic strain: q(da) = yield(alpha + da), by Newton inside a bracket.

    squares are the two parts of the trial q^2 [MPa2] that shrink by the two moduli [MPa]. The radial return with the stiffer of
    them and the slope at hand is exact for a closed ring with a straight law; with a concave one it lies below the answer, and
    Newton's steps come from there without passing it.
    """
    limit, slope = hardening.at(alpha)
    excess = np.sqrt(squares[0] + squares[1]) - limit
    low, high = np.zeros_like(alpha), excess / (1.5 * np.minimum(*moduli))
    gained = excess / (1.5 * np.maximum(*moduli) + slope)
    for _ in range(_ITERATIONS):
        limit, slope = hardening.at(alpha + gained)
        factor = 1.5 * gained / limit
        shrunk = [1 / (1 + modulus * factor) for modulus in moduli]
        q = np.sqrt(sum(s * f**2 for s, f in zip(squares, shrunk)))
        left = q - limit
        if np.all(np.abs(left) <= _RETURNED * limit):
            break
        low, high = np.where(left > 0, gained, low), np.where(left < 0, gained, high)
        fall = sum(s * f**3 * modulus for s, f, modulus in zip(squares, shrunk, moduli)) / q
        tried = gained + left / (fall * 1.5 / limit * (1 - slope * gained / limit) + slope)
        gained = np.where((tried >= low) & (tried <= high), tried, (low + high) / 2)
    return gained


@dataclass(frozen=True)
class Returned:
    """Response of Plastic at points (...); a Response."""

    stress: np.ndarray
    strain: np.ndarray
    alpha: np.ndarray
    moduli: np.ndarray  # (..., c, c) [MPa] elastic
    flowing: tuple[np.ndarray, ...]  # places of the points that flow in this step
    step: _Return | None

    def tangent(self) -> np.ndarray:
        """See Response.tangent; elastic moduli where nothing flows in this step."""
        if self.step is None:
            return self.moduli
        result = self.moduli.copy()
        result[self.flowing] = self.step.tangent(self.moduli[self.flowing])
        return result
