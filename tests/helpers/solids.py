"""Short cuts for tests of solids: solve, scale, read nodes, difference."""

from types import SimpleNamespace

import numpy as np

from colletfea.fea.bodies.elastic import Elastic
from colletfea.fea.bodies.solid import Body
from colletfea.fea.bodies.stress import cauchy, to_nodes
from colletfea.fea.model.balance import Balance
from colletfea.fea.model.drives import Drive
from colletfea.fea.model.model import Model
from colletfea.fea.solvers.full import FullNewton
from colletfea.fea.solvers.newton import Settings
from colletfea.fea.stepping.run import run_through
from colletfea.fea.stepping.state import initial_state

STEEL = Elastic(210_000.0, 0.3)
SMALL = 1e-4  # closed forms of linear elasticity: this part of the load, results divided by it


def hold(where, component, value=0.0):
    """Drive that puts a constant number or array on an edge."""
    return Drive(f"{where} {component}", where, component, displacement=lambda t: value)


def solve(
    mesh, bodies, drives, loads=(), twist=False, order=None, targets=(1.0,), solver=FullNewton, under=None, **settings
):
    """The model, its last state, and all states at the targets; bodies may be one law for all.

    under: from the solid to what Model.under takes, loads on the volume and temperatures.
    """
    if isinstance(bodies, Elastic):
        bodies = {name: Body(bodies) for name in mesh.cells}
    model = Model.build(mesh, bodies, loads=loads, twist=twist, order=order)
    model = model.under(**under(model.solid)) if under else model
    balance = Balance.of(model, drives)
    states = list(run_through(solver(balance, Settings(**settings)), initial_state(balance), targets))
    return SimpleNamespace(
        model=model, mesh=mesh, state=states[-1], states=states, u=field(model, states[-1])
    )


def field(model, state):
    """Nodal unknowns as (nodes, unknowns)."""
    return state.u.reshape(-1, model.unknowns)


def near(mesh, r, z):
    """Number of the node at (r, z), which must be there."""
    distance = np.hypot(*(mesh.nodes - (r, z)).T)
    assert distance.min() < 1e-9 * np.abs(mesh.nodes).max(), f"no node at {r}, {z}"
    return int(np.argmin(distance))


def nodal_stress(result):
    """Cauchy stress (nodes, 3, 3) carried to the nodes of one body."""
    solid, mesh = result.model.solid, result.mesh
    stress = cauchy(solid, result.state.u, result.state.flow, result.model.free(result.state.t))
    nodal = np.full((len(mesh.nodes), 3, 3), np.nan)
    for i, j in np.ndindex(3, 3):
        nodal[solid.nodes_of, i, j] = to_nodes(solid, mesh, stress[..., i, j])
    return nodal


def difference(function, u, direction, step):
    """Central difference quotient of a function of u along a direction."""
    return (function(u + step * direction) - function(u - step * direction)) / (2 * step)


def dense(dofs, values, size):
    """Sum of element matrices as one dense matrix."""
    matrix = np.zeros((size, size))
    np.add.at(matrix, (dofs[:, :, None], dofs[:, None, :]), values)
    return matrix
