"""Small models of bodies and contacts, solved in a few increments."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from colletfea.fea.bodies.elastic import Elastic
from colletfea.fea.bodies.solid import Body
from colletfea.fea.bodies.stress import cauchy, to_nodes
from colletfea.fea.contact.pair import Pair
from colletfea.fea.contact.resultants import Resultant, resultant
from colletfea.fea.elements.mesh import Mesh
from colletfea.fea.model.balance import Balance
from colletfea.fea.model.drives import Drive, R, Z
from colletfea.fea.model.model import Model
from colletfea.fea.solvers.condensed import Condensed
from colletfea.fea.solvers.full import FullNewton
from colletfea.fea.solvers.newton import Settings
from colletfea.fea.stepping.run import run_through
from colletfea.fea.stepping.state import State, initial_state

STEEL = Elastic(210e3, 0.3)
#: closed forms of linear elasticity are compared at this part of the load
SMALL = 1e-4


@dataclass(frozen=True)
class Solved:
    """A model with its accepted states."""

    model: Model
    states: list[State]

    @property
    def last(self) -> State:
        return self.states[-1]

    def moved(self, edge: str, component: int) -> float:
        """Mean displacement [mm; rad] of an edge's nodes in the last state."""
        return float(np.mean(self._u()[self.model.mesh.edge_nodes(edge), component]))

    def moved_at(self, r: float, z: float, component: int) -> float:
        """Displacement [mm; rad] of the node that is nearest to a place [mm]."""
        return float(self._u()[self._nearest(r, z), component])

    def stress_at(self, r: float, z: float) -> np.ndarray:
        """Cauchy stress (3, 3) [MPa] at the node nearest to a place [mm], carried there from the integration points."""
        return self.nodal_stress()[self._nearest(r, z)]

    def nodal_stress(self) -> np.ndarray:
        """Cauchy stress (nodes, 3, 3) [MPa] of one body, carried to its nodes from the integration points."""
        solid, mesh, state = self.model.solid, self.model.mesh, self.last
        stress, nodal = cauchy(solid, state.u, state.flow, self.model.free(state.t)), np.full((len(mesh.nodes), 3, 3), np.nan)
        for i, j in np.ndindex(3, 3):
            nodal[solid.nodes_of, i, j] = to_nodes(solid, mesh, stress[..., i, j])
        return nodal

    def seat(self, pair: str = "fit") -> Resultant:
        """What a pair carries in the last state."""
        return resultant(self.model.contact, self.last.contact, pair)

    def _u(self) -> np.ndarray:
        return self.last.u.reshape(-1, self.model.unknowns)

    def _nearest(self, r: float, z: float) -> int:
        return int(np.argmin(np.hypot(*(self.model.mesh.nodes - (r, z)).T)))


def hold(edge: str, component: int, name: str = "") -> Drive:
    """Drive that keeps an edge where it is."""
    return Drive(name or f"{edge} {component}", edge, component, displacement=lambda t: 0.0)


def rigid(mesh: Mesh, body: str, motion: Mapping[int, Callable[[float], float]] | None = None) -> list[Drive]:
    """Drives that hold every node of a body at rest; motion {component: f(t) [mm; rad]} moves or turns it as one piece."""
    nodes = mesh.body_nodes(body)
    ones, ways = np.ones(len(nodes)), {R: lambda t: 0.0, Z: lambda t: 0.0, **(motion or {})}
    return [Drive(f"{body} {'rza'[c]}", nodes, c, displacement=lambda t, way=way: way(t) * ones) for c, way in sorted(ways.items())]


def pair(follower: str, leader: str, name: str = "fit", young: float = STEEL.young, **kept: Any) -> Pair:
    """A contact pair, with steel's modulus for its penalties."""
    return Pair(name, follower, leader, young, **kept)


def model(mesh: Mesh, laws: Any = STEEL, pairs: Sequence[Pair] = (), **kept: Any) -> Model:
    """Model of a mesh; laws: one for all bodies, or {body: law or Body}; kept goes to Model.build."""
    every = laws if isinstance(laws, dict) else dict.fromkeys(mesh.cells, laws)
    bodies = {name: law if isinstance(law, Body) else Body(law) for name, law in every.items()}
    return Model.build(mesh, bodies, tuple(pairs), **kept)


def solved(
    whole: Model, drives: Iterable[Drive], targets: Iterable[float] = (1.0,), start: State | None = None, reversal: bool = False,
    full: bool = False, **settings: Any,
) -> Solved:
    """States at exactly these parameters, from rest or from a state at its own parameter; settings go to Settings.

    full: by full Newton, without contact the shorter way.
    """
    balance = Balance.of(whole, list(drives))
    solver = (FullNewton if full else Condensed)(balance, Settings(**{"residual": 1e-8, **settings}))
    return Solved(whole, list(run_through(solver, start or initial_state(balance), list(targets), reversal)))


def lone(mesh: Mesh, law: Any, drives: Iterable[Drive], loads: Sequence[Any] = (), targets: Iterable[float] = (1.0,), **kept: Any) -> Solved:
    """Bodies without contact, to a tight tolerance; kept goes to Model.build."""
    return solved(model(mesh, law, loads=loads, **kept), drives, targets, full=True, residual=1e-10)
