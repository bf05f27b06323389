"""Sections for the mesh tests: one to vary by hand, and seeded random ones over the range of real couplings."""

from __future__ import annotations

import dataclasses
from math import radians, tan

import numpy as np

from colletfea.meshing.section import Section

PLAIN = Section(
    shaft_radius=7.0,
    shaft_bore=0.0,
    beyond_back=6.0,
    beyond_front=8.0,
    bore_radius=7.03,
    nose_wall=1.4,
    length=12.0,
    taper=radians(3),
    flange_thickness=0.0,
    flange_radius=0.0,
    nose_radius=0.0,
    ring_length=12.0,
    ring_radius=15.0,
    ring_start=1.5,
    ring_taper=radians(3),
    edge_radius=0.0,
    travel=1.2,
)
FLANGED = dataclasses.replace(PLAIN, flange_thickness=4.0, flange_radius=16.0)
ROUNDED = dataclasses.replace(PLAIN, nose_radius=0.2, edge_radius=0.3)


def vary(section: Section = PLAIN, **changes) -> Section:
    return dataclasses.replace(section, **changes)


def random_section(seed: int) -> Section:
    """A drawable coupling: d 4..150 mm, 1..15 degrees, thin and thick, with and without each feature."""
    rng = np.random.default_rng(seed)
    pick = lambda low, high: float(np.exp(rng.uniform(np.log(low), np.log(high))))
    often = lambda value, share=0.5: value if rng.random() < share else 0.0
    shaft = pick(2, 75)
    bore = shaft * (1 + rng.uniform(0, 0.005))
    wall, length, taper = shaft * pick(0.08, 0.5), shaft * pick(0.6, 6), radians(pick(1, 15))
    flange = often(shaft * pick(0.2, 1))
    ring_taper = taper + often(radians(rng.uniform(-6, 6) / 60))
    root = bore + wall + length * tan(taper)
    start = length * rng.uniform(0.05 if flange else -0.1, 0.6)
    overhang = min(0.8 * (wall - (shaft - bore)) / tan(ring_taper), 0.5 * length) * rng.uniform(-0.5, 1)
    ring_length = max(length + overhang - start, 0.2 * length)
    return Section(
        shaft_radius=shaft,
        shaft_bore=often(shaft * rng.uniform(0.2, 0.85)),
        beyond_back=often(shaft * pick(0.1, 2), 0.9),
        beyond_front=often(shaft * pick(0.1, 2), 0.9),
        bore_radius=bore,
        nose_wall=wall,
        length=length,
        taper=taper,
        flange_thickness=flange,
        flange_radius=root + shaft * pick(0.05, 1.5) if flange else 0.0,
        nose_radius=often(wall * pick(0.02, 0.4)),
        ring_length=ring_length,
        ring_radius=root + shaft * pick(0.4, 2),
        ring_start=start,
        ring_taper=ring_taper,
        edge_radius=often(min(shaft, ring_length) * pick(0.004, 0.1)),
        travel=rng.uniform(0.01, 0.15) * length,
        stations=(length * 0.3, length * 0.42) if rng.random() < 0.4 else (),
    )
