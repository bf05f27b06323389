"""What the mechanics floor raises: no equilibrium, and a mesh that can't be used."""

from __future__ import annotations


class MeshError(ValueError):
    """A mesh that the solver can't use; the message says what is wrong."""


class NotConverged(Exception):
    """No equilibrium was found.

    norms [-] are residuals over the force scale, that of the start first; iterations those spent, as many as led to the last norm
    where not given.
    """

    def __init__(self, reason: str, norms: list[float] | None = None, iterations: int | None = None):
        super().__init__(reason)
        self.reason, self.norms = reason, norms or []
        self.iterations = max(len(self.norms) - 1, 0) if iterations is None else iterations
