"""Random designs of moderate sizes with a duty and no push, for comparing the hand calculation with the simulation."""

import math

import numpy as np

from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.faults import CaseError

MATERIALS = [
    {"young": young, "poisson": poisson}
    for young, poisson in ((206000, 0.3), (200000, 0.29), (110000, 0.34), (70000, 0.33))
]


def random_case(pattern, seed):
    """The first sound design of a slit pattern and seed: 8 to 80 mm, tapers 2 to 10 degrees, unlike materials, 0.6 to
    1.0 of the sleeve's length in the ring, 15 to 80 MPa of seat pressure at the duty."""
    rng = np.random.default_rng([seed, len(pattern)])
    for _ in range(200):
        try:
            return Case.from_tables(_tables(rng, pattern), f"{pattern} {seed}")
        except CaseError:
            continue
    raise AssertionError(f"no sound design from seed {seed}")


def _tables(rng, pattern):
    d = float(np.exp(rng.uniform(math.log(8), math.log(80))))
    length, wall = d * rng.uniform(0.7, 1.6), d * rng.uniform(0.05, 0.18)
    taper = float(np.exp(rng.uniform(math.log(2), math.log(10))))
    slope, clearance = math.tan(math.radians(taper)), d * rng.uniform(0.0005, 0.002)
    start = length * rng.uniform(0.0, 0.25) + 1.5 * clearance / slope
    ring = length * rng.uniform(0.6, 1.0)
    outer = (d + clearance + 2 * (wall + length * slope)) * rng.uniform(1.25, 1.9)
    shaft, sleeve, clamp = (MATERIALS[k] for k in rng.integers(0, 4, 3))
    friction = float(rng.uniform(0.1, 0.2))
    grip = rng.uniform(15, 80) * math.pi * d * length
    tables = {
        "shaft": {"diameter": d, "bore": float(rng.choice([0.0, 0.0, 0.4])) * d, "material": shaft},
        "sleeve": {"length": length, "nose_wall": wall, "taper": taper, "clearance": clearance, "material": sleeve},
        "ring": {"length": ring, "outer_diameter": outer, "start": start, "material": clamp},
        "friction": {"cone": rng.uniform(0.05, 0.18), "bore": friction},
        "duty": {"torque": grip * friction * d / 2 / 1.5e3},
    }
    if pattern == "fingers":
        tables["sleeve"]["slits"] = {
            "pattern": "fingers", "count": int(rng.integers(3, 9)), "width": d * rng.uniform(0.03, 0.08),
            "depth": length * rng.uniform(0.5, 0.85),
        }  # fmt: skip
    if pattern == "through":
        tables["sleeve"]["slits"] = {"pattern": "through", "count": 1, "width": d * rng.uniform(0.03, 0.08)}
    return tables
