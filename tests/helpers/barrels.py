"""A barrel in a curved ring, pressed together and slid at random: contact in every regime, off balance."""

from dataclasses import replace

import numpy as np
from helpers.contact import touching

from colletfea.fea.contact.contact import Contact
from colletfea.fea.contact.pair import OPEN, SLIP, STICK
from colletfea.fea.elements.grids import join, mapped, spread


def bulge(z):
    """Radius of the curved face that the two bodies share."""
    return 1.0 + 0.05 * z * (2 - z)


def barrels(z_outer=(-0.1, 1.8), count=7):
    """A barrel in a curved ring; grids do not match, and the ring ends inside the barrel's face."""
    inner = mapped(lambda s, z: (s * bulge(z), z), spread(0.5, 1, 2), spread(0, 2, count))
    outer = mapped(lambda s, z: (bulge(z) + s, z), spread(0, 0.5, 2), spread(*z_outer, 5))
    return join({"shaft": inner, "hub": outer})


MESH = barrels()
FILLS = {"follower_fill": lambda r, z: 0.9 - 0.1 / (1 + r), "leader_fill": lambda r, z: 0.5 + 0.1 * z**2}
REGIMES = {
    # overlap [mm], motion since the accepted state [mm], friction, statuses that must occur
    "stick": (0.02, 1e-4, 5.0, {STICK}),
    "slip": (0.002, 5e-3, 0.1, {SLIP}),
    "frictionless": (0.003, 5e-3, 0.0, {SLIP}),
    "open": (-0.05, 5e-3, 0.1, {OPEN}),
    "mixed": (0.0003, 2e-4, 0.5, {OPEN, STICK, SLIP}),
}


def rest(contact):
    """History of the undeformed bodies: points know where they stand, nothing is stored."""
    start = contact.start()
    return replace(start, arc=contact.evaluate(np.zeros(contact.size), start).arc)


def scene(regime, twist, fills=True, mesh=MESH, slide=0.0):
    """A contact, an unbalanced trial position and the history of an earlier one, in a given regime.

    The hub's first edges overhang the shaft's end when it is the follower, so "off the chain" is part
    of every scene.
    """
    overlap, motion, friction, _ = REGIMES[regime]
    pair = touching("hub.inner", "shaft.outer", young=1000.0, friction=friction, slide=slide, **(FILLS if fills else {}))
    contact = Contact(mesh, (pair,), twist)
    rng = np.random.default_rng(1)
    field = rng.normal(size=(len(mesh.nodes), contact.unknowns)) * 5e-4
    field[mesh.body_nodes("hub"), 0] -= overlap
    earlier = contact.evaluate(field.ravel(), rest(contact))
    old = earlier.history().carrying(earlier.pressure * 0.3)
    old = replace(old, traction=old.traction * 0.2)
    shift = rng.normal(size=field.shape) * motion * 0.1
    shift[mesh.body_nodes("hub"), 1:] += motion
    return contact, (field + shift).ravel(), old
