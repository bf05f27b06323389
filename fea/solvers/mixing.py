"""Anderson mixing: a fixed-point iteration led by its last few steps."""

from __future__ import annotations

import numpy as np

#: steps that are looked back on; 10 and 20 gain nothing over it, 3 costs a round or two
_DEPTH = 5


class Mixing:
    """Of an iteration x <- x + f(x): the step to take instead of f(x), by least squares on the last differences of f.

    weight (n,) makes the unknowns comparable.

    Source: Anderson 1965; Walker & Ni, SIAM J. Numer. Anal. 49 (2011), the unconstrained form (from memory).
    """

    def __init__(self, weight: np.ndarray):
        self.weight = weight
        self._last: tuple[np.ndarray, np.ndarray] | None = None
        self._moved: list[np.ndarray] = []  # differences of x + f(x)
        self._changed: list[np.ndarray] = []  # differences of f(x)

    def step(self, given: np.ndarray) -> np.ndarray:
        """The step (n,) in place of f(x) = given (n,); x is taken to move by what was answered before."""
        given = given * self.weight
        if self._last is not None:
            before, taken = self._last
            self._changed = [*self._changed, given - before][-_DEPTH:]
            self._moved = [*self._moved, taken + given - before][-_DEPTH:]
        answer = given
        if self._changed:
            share = np.linalg.lstsq(np.array(self._changed).T, given, rcond=1e-10)[0]
            answer = given - share @ np.array(self._moved)
        self._last = given, answer
        return answer / self.weight
