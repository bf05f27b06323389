"""A sleeve that is pushed in a second, and what worker processes are given to do in tests."""

import os
import signal
import time
from pathlib import Path

STEEL = {"name": "steel", "young": 205000, "poisson": 0.29, "yield": 400}
#: a closed sleeve whose loosest and tightest push differ by the friction of its cone alone
TABLES = {
    "title": "small sleeve",
    "shaft": {"diameter": 14, "beyond": [6, 8], "material": STEEL},
    "sleeve": {"length": 12, "nose_wall": 1.4, "taper": 3, "clearance": 0.06, "material": STEEL},
    "ring": {"length": 12, "outer_diameter": 30, "start": 1.5, "material": STEEL},
    "friction": {"cone": 0.08, "bore": 0.12},
    "duty": {"torque": 5},
    "push": {"travel": 1.2},
    "mesh": {"size": 1.3},
}
LINES = """
title = "small sleeve"
shaft = { diameter = 14 }
sleeve = { length = 12, nose_wall = 1.4, taper = 3, clearance = 0.06 }
ring = { length = 12, outer_diameter = 30, start = 1.5 }
friction = { cone = 0.08, bore = 0.12 }
duty = { torque = 5 }
push = { travel = 1.2 }
mesh = { size = 1.3 }
"""


def without_seconds(rows):
    """Rows without what differs from run to run."""
    return [{name: value for name, value in row.items() if not name.endswith("seconds")} for row in rows]


def square(number):
    """Its square; ValueError below 0."""
    if number < 0:
        raise ValueError("below 0")
    return number * number


def dies_once(mark):
    """Kill this process, unless another one did so for the same mark (a path)."""
    if not Path(mark).exists():
        Path(mark).touch()
        os.kill(os.getpid(), signal.SIGKILL)
    return "survived"


def dies_at(number):
    """Kill this process for the number 3; else the number, after a moment."""
    if number == 3:
        os.kill(os.getpid(), signal.SIGKILL)
    time.sleep(0.01)
    return number


def threads(_):
    """What limits the threads of linear algebra here."""
    return os.environ.get("OPENBLAS_NUM_THREADS")


def nap(number):
    """The number after a third of a second."""
    time.sleep(0.33)
    return number
