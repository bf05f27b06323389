"""Metals that flow, rings and bars of them, and small strain on request."""

import numpy as np

from colletfea.fea.bodies.hardening import Hardening
from colletfea.fea.bodies.plastic import Plastic
from colletfea.fea.bodies.solid import Body
from colletfea.fea.bodies.stress import cauchy, to_nodes
from colletfea.fea.elements.grids import block, join, spread
from colletfea.fea.model.model import Model

#: closed forms of small strain: moduli times this, displacements and strains times it before they are compared
STIFF = 1000.0


def metal(yield_stress, slope=0.0, young=210_000.0, poisson=0.3, times=1.0):
    """J2 metal of straight hardening; times is a factor on both moduli."""
    return Plastic(young * times, poisson, hardening=Hardening.linear(yield_stress, slope * times))


def ring(law, bore, outside, elements, height=1.0, loads=(), ratio=None, grading=1.0, **kept):
    """Model of one row of elements "ring" between two radii."""
    mesh = join({"ring": block(bore, outside, spread(0, height, 1), spread(0, 1, elements, grading))})
    eta = None if ratio is None else lambda r, z: np.full(np.shape(r), ratio)
    return Model.build(mesh, {"ring": Body(law, eta)}, loads=loads, **kept)


def radial(model, state, edge):
    """Mean radial displacement [mm] of an edge, small strain undone."""
    return STIFF * float(np.mean(state.u.reshape(-1, model.unknowns)[model.mesh.edge_nodes(edge), 0]))


def hoop_at(model, state, edge):
    """Mean hoop stress [MPa] on an edge, carried to its nodes."""
    nodal = to_nodes(model.solid, model.mesh, cauchy(model.solid, state.u, state.flow)[..., 1, 1])
    return float(np.mean(nodal[np.isin(model.solid.nodes_of, model.mesh.edge_nodes(edge))]))


def front(model, state, bore):
    """Radius [mm] up to which a ring has flowed, by its plastic share."""
    flowing = state.flow.alpha > 0
    return float(np.sqrt(bore**2 + np.sum(model.solid.volume[flowing]) / np.pi / np.ptp(model.mesh.nodes[:, 1])))
