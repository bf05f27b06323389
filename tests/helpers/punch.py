"""An elastic block under a rigid flat or round punch, graded toward the contact's edge."""

from math import pi

import numpy as np

from colletfea.fea.bodies.elastic import Elastic
from colletfea.fea.elements.grids import graded, join, mapped, spread
from colletfea.fea.model.drives import ANGLE, R, Z, Drive
from helpers.contact import POISSON, YOUNG, build, hold, rigid, solve, touching

A = 5.0  # [mm] contact radius
SCALED = 1e-4 ** (1 / 3)  # of lengths, for a sphere pressed with a ten-thousandth of the force
#: width and depth of a block, base fixed and sides free, in radii of a flat punch: its force over the half-space's.
#: Source: a separate finite-element study
BLOCKS = {10: 1.0855, 20: 1.0413, 50: 1.0163, 100: 1.0082}


def ground(width, inside, beyond=(), count=16):
    """Block with its top face at z = 0; inside and beyond are spreads in r up to and past the contact's edge."""
    start = beyond[-1][1] if beyond else inside[-1][1]
    first = 2 * (start / (sum(p[2] for p in (*inside, *beyond))))
    along = graded(*inside, *beyond, (start, width, count, 1.5 * width / first / count))
    down = spread(0, 1, 2 * count, ratio=0.2 * A / width)
    return mapped(lambda r, t: (r, -width * (1 - t)), along, down)


def held_back(force, width, young=YOUNG, poisson=POISSON):
    """What a block of that width and depth [mm], base fixed, sinks less than a half-space under a force [N], near it."""
    share = 20 * (1 - 1 / BLOCKS[20])  # of a radius over the width; 0.79 to 0.81 for all of BLOCKS
    return share * force * (1 - poisson**2) / (2 * young * width)


def round_face(radius):
    """Height of a sphere's lowest cap over the plane z = 0."""
    return lambda r: radius - np.sqrt(radius**2 - r**2)


def scene(width, inside, beyond=(), face=lambda r: 0 * r, reach=1.2 * A, count=16, spot=None, **kept):
    """Mesh of block and punch, and the follower's pair: the edge "ground.spot" where they may touch, as far as `spot`."""
    edge = spot or (beyond[-1][1] if beyond else inside[-1][1])
    punch = mapped(lambda r, t: (r, face(r) * (1 - t) + t * 0.4 * reach), spread(0, reach, 12), spread(0, 1, 1))
    mesh = join(
        {"ground": ground(width, inside, beyond, count), "punch": punch},
        {"ground.spot": lambda r, z: (np.abs(z) < 1e-9) & (r < edge + 1e-9)},
    )
    return mesh, touching("ground.spot", "punch.bottom", **kept)


def pressed(mesh, pair, depth, twist=False, targets=(1.0,), **kept):
    """Model and states of the punch pressed in by depth, the block's base held."""
    model = build(mesh, (pair,), twist=twist)
    drives = [*base(twist), *rigid(mesh, "punch", moved(mesh, {Z: lambda t: -depth * t}, twist))]
    return model, solve(model, drives, targets, **kept)


def base(twist):
    """The block's bottom face held in all components."""
    return [hold(f"base {c}", "ground.bottom", c) for c in ((R, Z, ANGLE) if twist else (R, Z))]


def moved(mesh, motion, twist):
    """Motion of every node of the punch from {component: f(t)}; it does not turn unless told."""
    ones = np.ones(len(mesh.body_nodes("punch")))
    motion = ({ANGLE: lambda t: 0.0} if twist else {}) | motion
    return {c: (lambda t, f=f: f(t) * ones) for c, f in motion.items()}


def stations(a, width, inside):
    """Even edges up to 1.3 a, then growing to the width."""
    h = 1.3 * a / inside
    return graded((0, 1.3 * a, inside, 1.0), (1.3 * a, width, 14, 2 * (width - 1.3 * a) / 14 / h))


def ball_on_plate(radius, young, a, width, inside, soft_plate):
    """Cap of a sphere, pole at the origin, on a rigid or a like plate; pressed by about a^2 / R."""
    face, near = round_face(radius), 1.3 * a + 1e-9
    across = stations(a, width, inside)
    ball = mapped(lambda r, t: (r, face(r) * (1 - t) + t * width), across, spread(0, 1, 24, ratio=60))
    if soft_plate:
        plate = mapped(lambda r, t: (r, width * (t - 1)), stations(a, width, int(1.3 * inside)), spread(0, 1, 24, ratio=1 / 60))
    else:
        plate = mapped(lambda r, t: (r, width * (t - 1)), spread(0, width, 10), spread(0, 1, 1))
    on_cap = {"ball.pole": lambda r, z: (r < near) & (np.abs(z - face(np.minimum(r, width))) < 1e-9)}
    mesh = join({"ball": ball, "plate": plate}, on_cap)
    pair = touching("ball.pole", "plate.top", young=young)
    model = build(mesh, (pair,), Elastic(young, 0.3))
    held = [hold("base", "plate.bottom", Z)] if soft_plate else rigid(mesh, "plate")
    press = Drive("press", "ball.top", Z, displacement=lambda t: -(a**2) / radius * t)
    states = solve(model, [*held, press], np.linspace(0.2, 1, 5), condensed=True, residual=1e-7)
    return model, states[-1]


def hertz(force, radius, stiffness):
    """a = (3 F R / 4 E*)^(1/3) and p0 = 3 F / (2 pi a^2)."""
    a = (0.75 * force * radius / stiffness) ** (1 / 3)
    return a, 1.5 * force / (pi * a**2)
