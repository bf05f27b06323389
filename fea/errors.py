"""What the mechanics floor raises: no equilibrium, and a mesh that can't be used."""

from __future__ import annotations


class MeshError(ValueError):
    """A mesh that the solver can't use; the message says what is wrong."""


class NotConverged(Exception):
    """No equilibrium was found.

    norms are the residuals of the iterations over the force scale [-], iterations their count.
    """

    def __init__(self, reason: str, norms: list[float] | None = None):
        super().__init__(reason)
        self.reason, self.norms = reason, norms or []
        self.iterations = len(self.norms)
