"""What `colletfea verify` measures on bodies without a coupling round them, and by hand formulas; see verify.CHECKS for targets.

A function takes nothing and returns one number.
"""

from __future__ import annotations

import math
from typing import Any

from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.fits import clearances
from colletfea.cases.hand import calculation
from colletfea.cases.hand.corners import usable_torque
from colletfea.cases.hand.threads import Thread
from colletfea.cases.hand.tightening import greatest_preload

#: closed forms of linear elasticity are compared at this part of the load
_SMALL = 1e-4


def _solved(nodes_across, nodes_along, law, drives, loads=(), targets=(1.0,), twist=False, under=None):
    """Last state of a strip of one body, with its model. drives are (edge, component, value(t)); tight tolerance.

    under: from the solid to what Model.under takes.
    """
    import numpy as np

    from colletfea.fea.bodies.solid import Body
    from colletfea.fea.elements.mesh import Mesh, strip
    from colletfea.fea.model.balance import Balance
    from colletfea.fea.model.drives import Drive
    from colletfea.fea.model.model import Model
    from colletfea.fea.solvers.full import FullNewton
    from colletfea.fea.solvers.newton import Settings
    from colletfea.fea.stepping.run import run_through
    from colletfea.fea.stepping.state import initial_state

    nodes, cells, sides = strip(np.array(nodes_across, float), np.array(nodes_along, float))
    mesh = Mesh.build(nodes, {"body": cells}, {f"body.{name}": rows for name, rows in sides.items()})
    model = Model.build(mesh, {"body": Body(law)}, loads=loads, twist=twist)
    model = model.under(**under(model.solid)) if under else model
    balance = Balance.of(model, [Drive(f"{edge} {component}", f"body.{edge}", component, value) for edge, component, value in drives])
    *_, last = run_through(FullNewton(balance, Settings(residual=1e-10)), initial_state(balance), list(targets))
    return model, last


def incompressible_bore() -> float:
    """Bore displacement [mm] of a tube 3/9 with E = 1000 and ν = 0.4999 in plane strain under 1 MPa, on the published five elements."""
    from colletfea.fea.bodies.elastic import Elastic
    from colletfea.fea.model.drives import Z
    from colletfea.fea.model.loads import Pressure

    ends = [("bottom", Z, lambda t: 0.0), ("top", Z, lambda t: 0.0)]
    model, last = _solved([3, 3.5, 4.2, 5.2, 6.75, 9], [0, 1], Elastic(1000.0, 0.4999), ends, [Pressure("body.inner", lambda t: _SMALL * t)])
    return float(last.u.reshape(-1, 2)[model.mesh.edge_nodes("body.inner"), 0].mean()) / _SMALL


def stretched_bar() -> float:
    """Force over E and first section of a bar stretched to 1.1 of its length, sides free; St Venant-Kirchhoff."""
    from colletfea.fea.bodies.elastic import Elastic
    from colletfea.fea.model.drives import Z

    _, last = _solved([0, 5, 10], [0, 5, 10], Elastic(1000.0, 0.3), [("bottom", Z, lambda t: 0.0), ("top", Z, lambda t: t)], targets=(0.5, 1.0))
    return last.totals["top 1"] / (math.pi * 100 * 1000.0)


def twisted_shaft() -> float:
    """Angle [rad] by which 100 N·m turn a hollow steel shaft 10/20, 100 long."""
    from colletfea.fea.bodies.elastic import Elastic
    from colletfea.fea.model.drives import ANGLE, Z

    drives = [("bottom", Z, lambda t: 0.0), ("bottom", ANGLE, lambda t: 0.0), ("top", ANGLE, lambda t: _SMALL * t)]
    _, last = _solved([5, 7.5, 10], [0, 50, 100], Elastic(210e3, 0.3), drives, twist=True)
    return 1e5 * _SMALL / last.totals["top 2"]


def spinning_disc() -> float:
    """Growth [mm] of the bore of a steel disc 20/100 mm in radius at 1000 rad/s."""
    import numpy as np

    from colletfea.fea.bodies.elastic import Elastic
    from colletfea.fea.model.drives import Z
    from colletfea.fea.model.spin import Spin

    under = lambda solid: {"loads": [Spin.of(solid, {"body": 7.85e-9}, lambda t: 1000 * (_SMALL * t) ** 0.5)]}
    model, last = _solved(np.linspace(20, 100, 17), [0, 1], Elastic(210e3, 0.3), [("bottom", Z, lambda t: 0.0)], under=under)
    return float(last.u.reshape(-1, 2)[model.mesh.edge_nodes("body.inner"), 0].mean()) / _SMALL


def held_warm_bar() -> float:
    """Axial stress [MPa] of a steel bar that is 100 K warmer and can't lengthen."""
    from colletfea.fea.bodies.elastic import Elastic
    from colletfea.fea.bodies.warmth import Warmth
    from colletfea.fea.model.drives import Z

    ends = [("bottom", Z, lambda t: 0.0), ("top", Z, lambda t: 0.0)]
    under = lambda solid: {"warmth": Warmth.of(solid, {"body": 100 * 11.5e-6}, lambda t: _SMALL * t)}
    _, last = _solved([0, 5, 10], [0, 5, 10], Elastic(210e3, 0.3), ends, under=under)
    return last.totals["top 1"] / (math.pi * 100) / _SMALL


def flowing_tube() -> float:
    """Outside displacement [mm] of a tube 100/200, yield 240 MPa, plane strain, under 160 MPa, which flows to r = 136."""
    import numpy as np

    from colletfea.fea.bodies.hardening import Hardening
    from colletfea.fea.bodies.plastic import Plastic
    from colletfea.fea.model.drives import Z
    from colletfea.fea.model.loads import Pressure

    stiff = 1000.0  # the closed form is of small strain
    law = Plastic(210e3 * stiff, 0.3, hardening=Hardening.linear(240.0, 0.0))
    ends = [("bottom", Z, lambda t: 0.0), ("top", Z, lambda t: 0.0)]
    model, last = _solved(np.linspace(100, 200, 17), [0, 10], law, ends, [Pressure("body.inner", lambda t: t)], (100.0, 120.0, 140.0, 150.0, 160.0))
    return stiff * float(last.u.reshape(-1, 2)[model.mesh.edge_nodes("body.outer"), 0].mean())


def release_ratio() -> float:
    """Pull that takes a gently pushed ring off again over the cone's normal force, 3 degrees and friction 0.15."""
    from colletfea.cases.simulation import push
    from colletfea.cases.simulation.pushed import silent
    from colletfea.cases.simulation.plan import plan
    from colletfea.cases.simulation.release import release

    steel = {"young": 205e3, "poisson": 0.29}
    tables: dict[str, Any] = {
        "shaft": {"diameter": 14.0, "material": steel},
        "sleeve": {"length": 12.0, "nose_wall": 1.4, "taper": 3.0, "clearance": 0.06, "material": steel},
        "ring": {"length": 12.0, "outer_diameter": 30.0, "start": 1.5, "material": steel},
        "friction": {"cone": 0.15, "bore": 0.12},
        "push": {"force": 10.0},
        "mesh": {"size": 0.7},
    }
    case = Case.from_tables(tables, "release")
    done = push.push(case, plan(case, calculation.hand(case), "quick"), "quick", silent)
    off = release(case, done.model, done.states[-1]).summary() or {}
    return off["release_force_N"] / off["cone_normal_force_at_slip_N"] if off else math.nan


def screw_preload() -> float:
    """Preload [N] of M8x1, class 8.8, at 0.9 of yield with thread friction 0.12."""
    return greatest_preload(Thread(8.0, 1.0), 640.0, 0.12)


def stress_area() -> float:
    """Stress area [mm2] of M16 coarse."""
    return Thread(16.0, 2.0).stress_area


def loosest_fit() -> float:
    """Greatest clearance [mm] of 20 H8/f7."""
    return clearances("H8/f7", 20.0).loosest


def torque_beside_thrust() -> float:
    """Torque [N mm] that 20 kN with friction 0.1 at a radius of 5 mm carry beside a thrust of 1 kN."""
    return usable_torque(20e3, 1e5, 0.1, 1e3)
