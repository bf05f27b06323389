"""Edge means of pressure as unknowns beside the displacements: Newton's step for them, eliminated edge by edge.

The multiplier of a follower edge is to be the mean of its points' pressures max(multiplier - k gap, 0). With a the share of the edge
that touches, a step d of the multiplier obeys (1 - a) d + mean(k d_gap) = misfit: where all of it touches the mean gap is to close.
One multiplier a point would be more conditions than an edge has nodes, and pressures would turn noisy.
Source: the conditions of the augmented Lagrangian as one system for displacements and multipliers, e.g. Alart & Curnier, Comput.
Methods Appl. Mech. Eng. 92 (1991) (from memory); by edge means, and with a least softness, derived here.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from colletfea.fea.contact.contact import Contact, density
from colletfea.fea.contact.pair import Evaluation
from colletfea.fea.contact.tangent import first_of_pairs, outer

#: least softness 1 - a [-] of an edge in the tangent, for it is divided by: a step then leaves of the mean gap what springs as many times
#: stiffer would. Sixteen couplings take 6 % more iterations with 0.01 and as many with 0.001. The second holds while what
#: touches still changes: stiff edges then let go of a few points at a time only. 57 unlike designs take 10 % fewer evaluations so than with
#: the first throughout, and 0.3 gains nothing
_LEAST, _CHANGING = 0.003, 1.0


@dataclass(frozen=True)
class EdgeMeans:
    """Multipliers of the follower edges of one stretch of points, about the evaluation that the tangent was taken at.

    Of the m points of the stretch that touch: index (m,) their numbers; edge (m,) the follower edges they are on; dofs (d, m) the
    unknowns they move with, d = 6 * unknowns; push (d, m) [mm2] what their pressure adds to Evaluation.force there, friction in it;
    opening (d, m) [-] the gradient of their gap. Of all points: normal (n,) [N/mm3] their stiffness then, see Contact.softer, softness
    (n,) [-] that of their edge. first (p,) are the places in index at which another pair of edges begins.
    """

    contact: Contact
    points: slice
    index: np.ndarray
    edge: np.ndarray
    dofs: np.ndarray
    push: np.ndarray
    opening: np.ndarray
    normal: np.ndarray
    softness: np.ndarray
    first: np.ndarray

    @classmethod
    def of(cls, contact: Contact, ev: Evaluation, least: float, points: slice = slice(None)) -> EdgeMeans:
        """Multipliers of a stretch of contact points at an evaluation; least [-]: see least_softness."""
        start, stop, _ = points.indices(len(ev.pressure))
        some, c = slice(*np.searchsorted(ev.closed.index, (start, stop))), ev.closed
        index, force = c.index[some], density(c, np.ones(len(c.index)), ev.law.by_pressure.T)[:, some]
        split = np.concatenate([c.follower[0][:, some], -c.leader[0][:, some]])
        touching = np.zeros(len(ev.pressure))
        touching[c.index] = 1.0
        return cls(
            contact, points, index, contact.edge[index], contact.dofs(index, c.edge[some]),
            (split[:, None] * (force * ev.area[index])).reshape(6 * contact.unknowns, -1), outer(split, c.normal[:, some], contact.unknowns),
            contact.normal, np.maximum(1.0 - contact.edge_means(touching), least), first_of_pairs(contact, index, c.edge[some]),
        )

    def coupling(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """What eliminated multipliers add to the tangent: unknowns of rows and columns (k,), and values (k,) [N/mm; N, N mm for the angle].

        The places repeat between edges. All that an edge moves with answers to all of it: by the sum of its points' pushes times that of
        what they open.
        """
        if not len(self.index):
            return (np.empty(0, int),) * 2 + (np.empty(0),)
        firm = (self.normal * self.contact.weights / (-2 * self.softness))[self.index]
        push, opening = (np.add.reduceat(x, self.first, axis=1).ravel() for x in (self.push, self.opening * firm))
        key = (self.edge[self.first] * self.contact.size + self.dofs[:, self.first]).ravel()
        places, of = np.unique(key, return_inverse=True)
        push, opening = (np.bincount(of, x) for x in (push, opening))
        edge, dof = np.divmod(places, self.contact.size)
        begins, many = (np.unique(edge, return_index=True, return_counts=True)[k] for k in (1, 2))
        begins, many = np.repeat(begins, many), np.repeat(many, many)  # of each place: where those of its edge begin, and how many there are
        row = np.repeat(np.arange(len(edge)), many)
        column = begins[row] + np.arange(len(row)) - (np.cumsum(many) - many)[row]
        return dof[row], dof[column], push[row] * opening[column]

    def pressed(self, misfit: np.ndarray) -> np.ndarray:
        """Nodal forces (size,) [N; N mm] of the pressures that the multipliers gain where nothing moves.

        misfit (n,) [MPa] of all points: see Contact.misfit.
        """
        forces = self.push * (misfit / self.softness)[self.index]
        return np.bincount(self.dofs.ravel(), forces.ravel(), self.contact.size)

    def gained(self, misfit: np.ndarray, step: np.ndarray) -> np.ndarray:
        """What the multipliers of the stretch's points [MPa] gain in a step (size,) [mm; rad] of the displacements; misfit: see pressed."""
        opened = np.zeros(len(misfit))
        opened[self.index] = np.sum(self.opening * step[self.dofs], axis=0)
        return ((misfit - self.contact.edge_means(self.normal * opened)) / self.softness)[self.points]


def least_softness(now: Evaluation, before: Evaluation | None) -> float:
    """Least softness [-] of an edge for the step from an evaluation that followed on another one; before is None at the start."""
    settled = before is None or np.array_equal(now.closed.index, before.closed.index)
    return _LEAST if settled else _CHANGING
