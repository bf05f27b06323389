"""Short ways to small contact models: drives, nodes by place, solved increments, profiles in numbers."""

import numpy as np

from colletfea.fea.bodies.elastic import Elastic
from colletfea.fea.bodies.solid import Body
from colletfea.fea.contact.pair import Pair
from colletfea.fea.contact.resultants import profile, resultant
from colletfea.fea.contact.tangent import tangent
from colletfea.fea.elements.grids import block, join, spread
from colletfea.fea.model.balance import Balance
from colletfea.fea.model.drives import Drive
from colletfea.fea.model.model import Model
from colletfea.fea.solvers.condensed import Condensed
from colletfea.fea.solvers.full import FullNewton
from colletfea.fea.solvers.newton import Settings
from colletfea.fea.stepping.run import run_through
from colletfea.fea.stepping.state import initial_state

YOUNG, POISSON = 210_000.0, 0.3
SHEAR = YOUNG / 2 / (1 + POISSON)
STEEL = Elastic(YOUNG, POISSON)


def touching(follower, leader, name="fit", young=YOUNG, **kept):
    """A contact pair with steel's modulus for its penalties."""
    return Pair(name, follower, leader, young, **kept)


def build(mesh, pairs=(), laws=STEEL, **kept):
    """Model of a mesh whose bodies are steel, or {body: law}."""
    law_of = laws if isinstance(laws, dict) else dict.fromkeys(mesh.cells, laws)
    return Model.build(mesh, {b: Body(law_of[b]) for b in mesh.cells}, pairs, **kept)


def hold(name, where, component, value=0.0):
    """A drive that keeps an edge or nodes at a value."""
    return Drive(name, where, component, displacement=lambda t: value)


def node(mesh, r, z, body=None):
    """The node numbers at a place, of one body."""
    near = np.flatnonzero(np.hypot(mesh.nodes[:, 0] - r, mesh.nodes[:, 1] - z) < 1e-9 * (1 + abs(r) + abs(z)))
    return near if body is None else np.intersect1d(near, mesh.body_nodes(body))


def solve(model, drives, targets=(1.0,), start=None, condensed=False, reversal=False, **settings):
    """Accepted states at exactly these parameters, from rest or from a state at its own parameter."""
    balance = Balance.of(model, drives)
    solver = (Condensed if condensed else FullNewton)(balance, Settings(**settings))
    first = initial_state(balance) if start is None else start
    return list(run_through(solver, first, list(targets), reversal))


def displacement(model, state, where, component):
    """Mean displacement component of an edge or of nodes."""
    nodes = model.mesh.edge_nodes(where) if isinstance(where, str) else where
    return float(np.mean(state.u.reshape(-1, model.unknowns)[nodes, component]))


def seat(model, state, name="fit"):
    """Element means and totals of a pair."""
    return profile(model.contact, state.contact, name), resultant(model.contact, state.contact, name)


def tangent_error(contact, u, old, step, directions=4, **kept):
    """Largest deviation of tangent times direction from a central difference of the force, relative."""
    evaluation = contact.evaluate(u, old, **kept)
    dofs, values = tangent(contact, evaluation)
    worst, rng = 0.0, np.random.default_rng(7)
    for _ in range(directions):
        d = rng.normal(size=contact.size)
        told = np.bincount(dofs.ravel(), weights=(values @ d[dofs][..., None]).ravel(), minlength=contact.size)
        ahead, behind = (contact.evaluate(u + s * d, old, **kept).force for s in (step, -step))
        seen = (ahead - behind) / (2 * step)
        worst = max(worst, np.max(np.abs(told - seen)) / max(np.max(np.abs(seen)), np.max(np.abs(told)), 1e-300))
    return worst


def uneven(start, end, count, seed=3):
    """count + 1 stations at irregular spacing, the longest about four times the shortest."""
    steps = np.random.default_rng(seed).uniform(0.4, 1.6, count)
    return start + (end - start) * np.append(0.0, np.cumsum(steps) / steps.sum())


def rigid(mesh, body, motion=None):
    """Drives that hold every node of a body at rest; motion {component: f(t)} moves it as one piece."""
    nodes, motion = mesh.body_nodes(body), motion or {}
    still = {c: (lambda t: np.zeros(len(nodes))) for c in (0, 1)}
    return [
        Drive(f"{body} {'rza'[c]}", nodes, c, displacement=motion.get(c, still.get(c))) for c in sorted({*still, *motion})
    ]


def small_cone(friction=0.1, clearance=0.0, twist=False, top=6, **kept):
    """Ring on a hollow 3 degree cone, about 1000 unknowns: model, and the drives of a push of `travel` mm at t = 1.

    clearance [mm] keeps them apart at first, measured along the push. With its top above 8 the ring overhangs the plug.
    """
    slope = np.tan(np.radians(3))

    def cone(z):
        return 10 - z * slope

    plug = block(7, cone, spread(-8, 8, 10), spread(0, 1, 3))
    ring = block(lambda z: cone(z - clearance), 16, spread(-5, top, 6), spread(0, 1, 3))
    mesh = join({"plug": plug, "ring": ring})
    model = build(mesh, (touching("ring.inner", "plug.outer", friction=friction),), twist=twist, **kept)

    def drives(travel):
        return [hold("base", "plug.bottom", 1), Drive("push", "ring.top", 1, displacement=lambda t: -travel(t))]

    return model, drives
