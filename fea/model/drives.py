"""What is held, moved or loaded: drives on named edges, and the numbering of unknowns they imply."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from colletfea.fea.elements.mesh import Mesh

R, Z, ANGLE = 0, 1, 2


@dataclass(frozen=True)
class Drive:
    """One displacement component of an edge, given by value or by total force.

    where is an edge name or an array of node numbers. displacement(t) is the absolute value
    [mm; rad] at stage parameter t: a number moves all nodes together (they share one unknown), an
    array gives each node its own. force(t) is the total force [N; N mm] on nodes that move together.
    Exactly one of the two is given.
    """

    name: str
    where: str | np.ndarray
    component: int
    displacement: Callable[[float], float | np.ndarray] | None = None
    force: Callable[[float], float] | None = None

    def __post_init__(self):
        if (self.displacement is None) == (self.force is None):
            raise ValueError(f"drive {self.name}: give either displacement or force")


class Numbering:
    """Map of nodal unknowns (size,) to independent ones: free first, then prescribed.

    number (size,) is that map; free is the count of free ones, count that of all; weight (count,) makes them comparable:
    1 [-] for a force, 1 / length [1/mm] for a moment. length [mm] is the largest coordinate. Nodes on the axis
    keep u_r = 0. Raises ValueError where two drives take the same unknown.
    """

    def __init__(self, mesh: Mesh, unknowns: int, drives: Sequence[Drive]):
        self.unknowns, self.size = unknowns, len(mesh.nodes) * unknowns
        self.drives = tuple(drives)
        self.length = float(np.max(np.abs(mesh.nodes)))
        group = np.arange(self.size)
        fixed = np.zeros(self.size, bool)
        taken = np.zeros(self.size, bool)
        self._dofs, self._kept = {}, {}
        axis = np.flatnonzero(mesh.nodes[:, 0] < 1e-12 * self.length) * unknowns
        fixed[axis] = taken[axis] = True
        for drive in self.drives:
            dofs = self._drive_dofs(mesh, drive)
            kept = np.full(len(dofs), drive.force is not None) | ~np.isin(dofs, axis)
            dofs = dofs[kept]
            if np.any(taken[dofs]):
                raise ValueError(f"drive {drive.name} takes unknowns that another drive already has")
            taken[dofs] = True
            self._dofs[drive.name], self._kept[drive.name] = dofs, kept
            if drive.force is not None or np.ndim(drive.displacement(0.0)) == 0:
                group[dofs] = dofs[0]
            fixed[dofs] = drive.force is None
        self._renumber(group, fixed)

    def _drive_dofs(self, mesh: Mesh, drive: Drive) -> np.ndarray:
        nodes = mesh.edge_nodes(drive.where) if isinstance(drive.where, str) else np.asarray(drive.where)
        return nodes * self.unknowns + drive.component

    def _renumber(self, group: np.ndarray, fixed: np.ndarray) -> None:
        leaders = np.unique(group)
        order = np.concatenate([leaders[~fixed[leaders]], leaders[fixed[leaders]]])
        rank = np.empty(self.size, int)
        rank[order] = np.arange(len(order))
        self.number = rank[group]
        self.count, self.free = len(order), int(np.sum(~fixed[leaders]))
        weight = np.ones(self.count)
        angular = self.number[np.arange(self.size) % self.unknowns == ANGLE]
        weight[angular] = 1 / self.length
        self.weight = weight

    def expand(self, values: np.ndarray) -> np.ndarray:
        """Nodal unknowns (size,) [mm; rad] from independent ones (count,)."""
        return values[self.number]

    def contract(self, u: np.ndarray) -> np.ndarray:
        """Independent unknowns (count,) [mm; rad] of nodal ones u (size,) that respect the numbering."""
        values = np.empty(self.count)
        values[self.number] = u
        return values

    def reduce(self, force: np.ndarray) -> np.ndarray:
        """Sum nodal forces (size,) [N; N mm] onto the independent unknowns (count,)."""
        return np.bincount(self.number, weights=force, minlength=self.count)

    def prescribe(self, u: np.ndarray, t: float) -> np.ndarray:
        """Copy of u (size,) [mm; rad] with the prescribed values of parameter t put in."""
        u = u.copy()
        for drive in self.drives:
            if drive.displacement is not None:
                value = np.asarray(drive.displacement(t))
                u[self._dofs[drive.name]] = value[self._kept[drive.name]] if value.ndim else value
        return u

    def load(self, t: float) -> np.ndarray:
        """External forces (count,) [N; N mm] of the force drives at parameter t."""
        force = np.zeros(self.count)
        for drive in self.drives:
            if drive.force is not None:
                force[self.unknown(drive.name)] += drive.force(t)
        return force

    def unknown(self, name: str) -> np.ndarray:
        """Numbers (k,) of a drive's independent unknowns: one when its nodes move together."""
        return np.unique(self.number[self._dofs[name]])

    def value(self, name: str, u: np.ndarray) -> float:
        """Displacement [mm; rad] of a drive's nodes at u (size,), their mean where each has its own."""
        return float(np.mean(u[self._dofs[name]]))

    def totals(self, residual: np.ndarray) -> dict[str, float]:
        """Total force [N; N mm] that each drive puts on the model.

        residual (count,) [N; N mm] are reduced nodal forces, without the drives' own.
        """
        return {d.name: float(np.sum(residual[self.unknown(d.name)])) for d in self.drives}

    def work(self, residual: np.ndarray, step: np.ndarray) -> float:
        """Work [N mm] of the drives over a nodal step (size,) [mm; rad].

        residual (count,) [N; N mm] is the mean of the reduced forces before and after the step.
        """
        moved = self.contract(step)
        return float(sum(residual[n] @ moved[n] for n in (self.unknown(d.name) for d in self.drives)))
