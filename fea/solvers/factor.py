"""Condensed bodies and their contact, factored on the surface unknowns; what did not change is kept."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np

from colletfea.fea.algebra.elimination import BlockLU, Table
from colletfea.fea.algebra.entries import Entries
from colletfea.fea.contact.multipliers import EdgeMeans
from colletfea.fea.contact.pair import OPEN, Evaluation
from colletfea.fea.contact.tangent import tangent
from colletfea.fea.solvers.condensation import Condensation


@dataclass(frozen=True)
class Factor:
    """Bodies plus contact, factored on the surface unknowns."""

    contacts: tuple[Evaluation, ...]  # of each pair, its tangent is taken at
    means: tuple[EdgeMeans | None, ...]  # its multipliers there, None where they are no unknowns
    tables: tuple[Table, ...]  # that tangent, by groups
    count: int  # factorisations before this one, as far back as something was kept
    ages: tuple[int, ...]  # of each group: the count at which its part of contact last changed
    lu: BlockLU
    springs: np.ndarray  # (n,) [N/mm3] normal stiffness of the contact points it was made with

    @classmethod
    def of(cls, bodies: Condensation, contact: Evaluation | None, last: Factor | None = None, least: float | None = None) -> Factor:
        """Factor the bodies with this contact on the surface (c,); None leaves it free.

        least [-] is the least softness of an edge where multipliers are unknowns, see multipliers.least_softness, None where they are not.
        Raises NotConverged where that is singular.

        A contact pair whose points stick and slip as they did in `last`, on the same edges, keeps its tangent from
        there, with its multipliers and their softness, and what was eliminated with it: while slip spreads in one pair, another
        often stays for long.
        """
        whole = bodies.balance.model.contact
        pairs = whole.points if contact is not None else []
        keeps = [last is not None and _same(contact, last.contacts[k], points) for k, points in enumerate(pairs)]
        means = [
            last.means[k] if keep else EdgeMeans.of(whole, contact, least, points) if least else None
            for k, (keep, points) in enumerate(zip(keeps, pairs))
        ]
        tables = [
            last.tables[k] if keep else _coupling(bodies, contact, points, means[k])
            for k, (keep, points) in enumerate(zip(keeps, pairs))
        ]
        count = 0 if last is None else last.count + 1
        ages = [0] * len(bodies.groups) if last is None else list(last.ages)
        for table in (table for table, keep in zip(tables, keeps) if not keep):
            for group in {group for key in table for group in key}:
                ages[group] = count
        contacts = tuple(last.contacts[k] if keep else contact for k, keep in enumerate(keeps))
        lu = BlockLU(bodies.groups, bodies.dense, _sum(tables), ages, last and last.lu)
        return cls(contacts, tuple(means), tuple(tables), count, tuple(ages), lu, whole.normal)

    def solve(self, right: np.ndarray) -> np.ndarray:
        """Displacements (c,) [mm; rad] of the surface under forces (c,) [N; N mm] on it."""
        return self.lu.solve(right)

    def pressed(self, misfit: np.ndarray) -> np.ndarray:
        """Nodal forces (size,) [N; N mm] of what the multipliers gain where nothing moves, see EdgeMeans."""
        return np.sum([means.pressed(misfit) for means in self.means], axis=0)

    def gained(self, misfit: np.ndarray, step: np.ndarray) -> np.ndarray:
        """What the multipliers (n,) [MPa] gain in a step (size,) [mm; rad] of the displacements, see EdgeMeans."""
        return np.concatenate([means.gained(misfit, step) for means in self.means])

    def fits(self, now: Evaluation, pairs: list[slice]) -> bool:
        """Whether the same points (n,) stick and slip on the same edges as when this was factored.

        pairs are the stretches of points of each pair.
        """
        return all(_same(now, then, points) for then, points in zip(self.contacts, pairs))


def _same(now: Evaluation, then: Evaluation, points: slice) -> bool:
    """Whether the same points of a pair stick and slip, on the same edges."""
    edges = [e.foot.edge[points][e.status[points] != OPEN] for e in (now, then)]
    return np.array_equal(now.status[points], then.status[points]) and np.array_equal(*edges)


def _coupling(bodies: Condensation, contact: Evaluation, points: slice, means: EdgeMeans | None) -> Table:
    """Tangent of a contact pair on the surface unknowns, by groups; edges that meet leave several values in a place."""
    dofs, values = tangent(bodies.balance.model.contact, contact, points)
    group, place, count = bodies.group[dofs], bodies.place[dofs], len(bodies.groups)
    met = np.flatnonzero(np.bincount(group.ravel(), minlength=count)[:count]).tolist()
    between = (group[:, :, None] * (count + 1) + group[:, None, :]).ravel()
    every = np.repeat(place.ravel(), place.shape[1]), np.tile(place, place.shape[1]).ravel(), values.astype(bodies.precision).ravel()
    if means is not None:
        row, column, values = means.coupling()
        between = np.concatenate([between, bodies.group[row] * (count + 1) + bodies.group[column]])
        every = [np.concatenate(two) for two in zip(every, (bodies.place[row], bodies.place[column], values.astype(bodies.precision)))]
    table = {}
    for k, m in itertools.product(met, repeat=2):
        some = np.flatnonzero(between == k * (count + 1) + m)
        table[k, m] = Entries(*(x[some] for x in every), (len(bodies.groups[k]), len(bodies.groups[m])))
    return table


def _sum(tables: list[Table]) -> Table:
    """Sum of several tables."""
    total: Table = {}
    for table in tables:
        for key, value in table.items():
            total[key] = total[key] + value if key in total else value
    return total
