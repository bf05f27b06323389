"""The push of a closed sleeve by GetFEM, on a mesh and by increments that are handed over; run by `library_push.py`.

Needs GetFEM's Python module (Debian: python3-getfem) and numpy, not colletfea, so that another interpreter can run it:

    python3 getfem_push.py push.npz

push.npz holds nodes (n, 2), cell_BODY (e, 8), edge_NAME (k, 3), travels (s,) [mm], young [MPa], poisson, cone and bore friction.
Prints one line of JSON: processor seconds and iterations of all increments, and push force [N], normal force on the bore [N] and
the shaft's reaction [N] at each.

Bodies of the same 8-node elements, St Venant-Kirchhoff on Green-Lagrange strain, whole ring. Contact is searched by rays on the
deformed faces, with multipliers on the followers (bilinear, so that they don't outnumber the displacements) and augmented
Lagrangian terms; Newton starts from the extrapolated last two states and ends at the same share of the force scale as ours.
"""

from __future__ import annotations

import json
import sys
import time

import getfem
import numpy as np

#: our order of an element's nodes -> GetFEM's
_ORDER = [0, 4, 1, 7, 5, 3, 6, 2]
#: largest residual over the largest push force
_RESIDUAL = 1e-9
_SCALE = 2e4  # N
#: followers, leaders, and how far rays look [mm]
_PAIRS = {"cone": ("ring.cone", "sleeve.cone", 0.6), "bore": ("sleeve.bore", "shaft.seat", 0.3)}
_HELD = ("shaft.back", "sleeve.back")
_PUSHED = "ring.trailing"


class Coupling:
    """The model on a handed-over mesh."""

    def __init__(self, data):
        self.data = data
        self.mesh, self.region = getfem.Mesh("empty", 2), {}
        shape = getfem.GeoTrans("GT_Q2_INCOMPLETE(2)")
        for body in ("shaft", "sleeve", "ring"):
            for cell in data[f"cell_{body}"]:
                number = self.mesh.add_convex(shape, data["nodes"][cell[_ORDER]].T)
            if body == "sleeve":
                self.ring_begins = int(np.max(number)) + 1
        self._name_faces({name for a, b, _ in _PAIRS.values() for name in (a, b)} | {*_HELD, _PUSHED})
        self.rule = getfem.MeshIm(self.mesh, getfem.Integ("IM_GAUSS_PARALLELEPIPED(2,4)"))
        self.model = getfem.Model("real")
        self._bodies()
        for pair in _PAIRS:
            self._contact(pair)
        self._drives()

    def _name_faces(self, names) -> None:
        """Regions of the named edges: a face belongs to the one whose middle node it has."""
        faces, nodes = self.mesh.outer_faces(), self.data["nodes"]
        middles = []
        for column in faces.T:
            points = self.mesh.pts(self.mesh.pid_in_faces(column[:, None]))
            away = np.hypot(*(points - points.mean(axis=1, keepdims=True)))
            middles.append(points[:, np.argmin(away)])
        for number, name in enumerate(sorted(names), start=1):
            wanted = nodes[self.data[f"edge_{name}"][:, 2]]
            apart = np.hypot(*(np.array(middles)[:, None] - wanted).transpose(2, 0, 1)).min(axis=1)
            self.mesh.set_region(number, faces[:, apart < 1e-9])
            self.region[name] = number

    def _bodies(self) -> None:
        young, poisson = float(self.data["young"]), float(self.data["poisson"])
        shear = young / 2 / (1 + poisson)
        self.field = getfem.MeshFem(self.mesh, 2)
        self.field.set_fem(getfem.Fem("FEM_Q2_INCOMPLETE(2)"))
        self.model.add_fem_variable("u", self.field)
        self.model.add_fem_data("before", self.field)
        values = {"shear": shear, "lame": 2 * shear * poisson / (1 - 2 * poisson), "r": young / 2}
        for name, value in (values | {pair: float(self.data[pair]) for pair in _PAIRS}).items():
            self.model.add_initialized_data(name, [value])
        plane = "(Sym(Grad_u)+0.5*Grad_u'*Grad_u)"
        hoop = "(u(1)/X(1)+0.5*sqr(u(1)/X(1)))"
        energy = f"0.5*lame*sqr(Trace({plane})+{hoop})+shear*(Norm_sqr({plane})+sqr({hoop}))"
        self.model.add_nonlinear_term(self.rule, f"2*pi*X(1)*({energy})")

    def _contact(self, pair: str) -> None:
        follower, leader, reach = _PAIRS[pair]
        trace = getfem.MeshFem(self.mesh, 2)
        trace.set_fem(getfem.Fem("FEM_QK(2,1)"))
        on, m = self.region[follower], self.model
        m.add_filtered_fem_variable(f"force_{pair}", trace, on)
        m.add_raytracing_transformation(pair, reach)
        m.add_slave_contact_boundary_to_raytracing_transformation(pair, self.mesh, "u", on)
        m.add_master_contact_boundary_to_raytracing_transformation(pair, self.mesh, "u", self.region[leader])
        ring, force = "2*pi*X(1)", f"force_{pair}"
        normal = "Transformed_unit_vector(Grad_u,Normal)"
        slide = f"u-before-(Interpolate(u,{pair})-Interpolate(before,{pair}))"
        gap = f"(Interpolate(X,{pair})+Interpolate(u,{pair})-X-u).{normal}"
        law = f"Coulomb_friction_coupled_projection({force},{normal},{slide},{gap},{pair},r)"
        for term in (
            f"-{ring}*{force}.Test_u",
            f"Interpolate_filter({pair},{ring}*{force}.Interpolate(Test_u,{pair}),1)",
            f"-{ring}*(1/r)*{force}.Test_{force}",
            f"Interpolate_filter({pair},{ring}*(1/r)*{law}.Test_{force},1)",
        ):
            m.add_nonlinear_term(self.rule, term, on)

    def _drives(self) -> None:
        self.model.add_initialized_data("axial", [[0.0, 0.0], [0.0, 1.0]])
        for data, edges in {"pushed": (_PUSHED,), "held": _HELD}.items():
            self.model.add_initialized_data(data, [0.0, 0.0])
            for edge in edges:
                self.model.add_generalized_Dirichlet_condition_with_multipliers(
                    self.rule, "u", self.field, self.region[edge], data, "axial"
                )

    def push(self) -> dict:
        """All increments."""
        travels, spent, rows = self.data["travels"], 0, []
        states = [self.model.variable("u")]
        for k in range(1, len(travels)):
            self.model.set_variable("before", states[-1])
            self.model.set_variable("pushed", [0.0, -travels[k]])
            self.model.set_variable("u", self._guess(travels[: k + 1], states))
            spent += self.model.solve("max_res", _RESIDUAL * _SCALE, "max_iter", 60, "lsearch", "simplest", "alpha min", 0.5)[0]
            states.append(self.model.variable("u"))
            rows.append(self._forces())
        return {"iterations": int(spent), "rows": rows}

    def _guess(self, travels, states):
        if len(states) > 1:
            return states[-1] + (states[-1] - states[-2]) * (travels[-1] - travels[-2]) / (travels[-2] - travels[-3])
        last = states[-1].copy()
        ring = np.unique(self.field.basic_dof_from_cvid(np.arange(self.ring_begins, self.mesh.nbcvs()))[0])
        last[ring[ring % 2 == 1]] -= travels[-1]
        return last

    def _forces(self) -> list[float]:
        terms = (("force_cone.[0;1]", "ring.cone"), ("-force_bore.Normal", "sleeve.bore"), ("force_bore.[0;1]", "sleeve.bore"))
        return [
            float(getfem.asm_generic(self.rule, 0, f"2*pi*X(1)*{term}", self.region[edge], self.model)) for term, edge in terms
        ]


def main() -> None:
    with np.load(sys.argv[1]) as data:
        given = {name: data[name] for name in data.files}
    begun = time.process_time()
    coupling = Coupling(given)
    ready = time.process_time()
    found = coupling.push()
    print(json.dumps({"set_up_seconds": ready - begun, "seconds": time.process_time() - ready} | found))


if __name__ == "__main__":
    main()
