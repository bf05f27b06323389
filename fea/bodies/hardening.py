"""Yield stress over equivalent plastic strain."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Hardening:
    """Isotropic hardening, straight between the points of a table, of constant slope behind the last one.

    strains [-] begin with 0 and rise; stresses [MPa] > 0 begin with the first yield stress and never fall; slope [MPa] >= 0.
    Raises ValueError where they do not.
    """

    strains: tuple[float, ...]
    stresses: tuple[float, ...]
    slope: float = 0.0

    def __post_init__(self):
        if len(self.strains) != len(self.stresses) or not self.strains or self.strains[0] != 0:
            raise ValueError("a hardening table has as many strains as stresses, the first strain 0")
        if self.stresses[0] <= 0:
            raise ValueError(f"the yield stress must be above 0, not {self.stresses[0]:g} MPa")
        if np.any(np.diff(self.strains) <= 0):
            raise ValueError("the strains of a hardening table must rise")
        if np.any(np.diff(self.stresses) < 0) or self.slope < 0:
            raise ValueError("a hardening table must not fall: metal that softens is not computed")

    @classmethod
    def linear(cls, yield_stress: float, slope: float = 0.0) -> Hardening:
        """Yield stress [MPa] plus slope [MPa] times the equivalent plastic strain; slope 0 is ideal plasticity."""
        return cls((0.0,), (float(yield_stress),), float(slope))

    @classmethod
    def table(cls, rows: Sequence[tuple[float, float]]) -> Hardening:
        """Rows (equivalent plastic strain [-], stress [MPa]) from strain 0 on; constant behind the last one."""
        return cls(tuple(float(strain) for strain, _ in rows), tuple(float(stress) for _, stress in rows))

    def at(self, alpha: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Yield stress and its slope (...) [MPa] at equivalent plastic strains alpha (...) [-]."""
        strains, stresses = np.array(self.strains), np.array(self.stresses)
        slopes = np.append(np.diff(stresses) / np.diff(strains), self.slope)
        piece = np.searchsorted(strains, alpha, side="right") - 1
        return stresses[piece] + slopes[piece] * (alpha - strains[piece]), slopes[piece]
