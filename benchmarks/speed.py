"""How fast a push is, as ratios measured in one run, medians of repeats.

    python benchmarks/speed.py [--repeats 3] [--large] [--out speed.json]

Absolute times say little away from the machine they were taken on; ratios to one sparse factorisation of the same
stiffness, to full Newton and to a general-purpose library's assembly say more. One BLAS thread. --large adds
meshes of 47 000 to 200 000 unknowns, some minutes more. The coupling is a closed sleeve on a 14 mm shaft, closed and
gripping at 1.2 mm of travel.
"""

from __future__ import annotations

import os

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # before numpy is imported, or it has no effect

import argparse
import json
import platform
import statistics
import subprocess
import sys
import tempfile
import time
import tomllib
from functools import partial
from importlib.metadata import version
from pathlib import Path
from typing import Any, Callable

import numpy as np
import scipy
from scipy.sparse.linalg import splu

from colletfea.cases.simulation import corners
from colletfea.cases.simulation.model import push_drives
from colletfea.cases.simulation.pushed import Push
from colletfea.cases.casefile import examples
from colletfea.cases.casefile.case import Case
from colletfea.cases.hand import corners as spec
from colletfea.fea.model.balance import Balance
from colletfea.fea.model.model import Model
from colletfea.fea.algebra.sparse import assemble

ROOT = Path(__file__).resolve().parents[1]
STEEL = {"young": 205000, "poisson": 0.29}
TABLES = {
    "shaft": {"diameter": 14, "beyond": [6, 8], "material": STEEL},
    "sleeve": {"length": 12, "nose_wall": 1.4, "taper": 3, "clearance": 0.06, "material": STEEL},
    "ring": {"length": 12, "outer_diameter": 30, "start": 1.5, "material": STEEL},
    "friction": {"cone": 0.08, "bore": 0.12},
    "push": {"travel": 1.2},
}
SIZES = [0.55, 0.343, 0.22, 0.15, 0.11]  # contact element size [mm]: 4 900 to 28 000 unknowns
LARGE = [0.07, 0.05, 0.038, 0.022]  # 47 000 to 200 000
COMMANDS = {"run": ["run"], "run --quick": ["run", "--quick"], "hand": ["hand"]}


def coupling(size: float | None = None) -> Case:
    """The coupling with a given contact element size [mm], None for the default."""
    return Case.from_tables(TABLES if size is None else {**TABLES, "mesh": {"size": size}}, "speed")


def pushed(case: Case, solver: str = "condensed") -> Push:
    """A whole push at nominal friction, default level, to the duty where the case has no push.

    Raises RuntimeError if it does not converge: its time means nothing.
    """
    nominal = next(corner for corner in spec.table(case) if corner.name == spec.NOMINAL)
    need = corners.needed_of(case, nominal.carrying, {})
    result, _ = corners.push(case, nominal, case.push, need, False, corners.Way(solver=solver))
    if result.reason == "not converged":
        raise RuntimeError(result.message)
    return result


def median(action: Callable[[], Any], repeats: int) -> float:
    """Median wall time [s] of an action, after one run that warms it up."""
    action()
    return statistics.median(timed(action) for _ in range(repeats))


def timed(action: Callable[[], Any]) -> float:
    """Wall time [s] of one run of an action."""
    clock = time.perf_counter()
    action()
    return time.perf_counter() - clock


def factorisation(case: Case, model: Model) -> Callable[[], Any]:
    """One sparse LU of the unstressed stiffness on its free unknowns."""
    number = Balance.of(model, push_drives(case)).numbering
    tables = model.bodies_tangents(np.zeros(model.size), 0.0)
    matrix = assemble(tables, number.number, number.free)
    options = {"SymmetricMode": True}
    return lambda: splu(matrix, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.01, options=options)


def against_factor_and_full(repeats: int) -> dict[str, Any]:
    """A push over one factorisation, and full Newton over condensed, on the default mesh; meshing is left out.

    Factorisations are timed right after each push, and the ratio is the median of theirs: a machine's pace changes
    within seconds.
    """
    case = coupling()
    first = pushed(case)
    factorise, turns = factorisation(case, first.model), []
    factorise()
    for _ in range(repeats):
        turns.append((pushed(case).seconds, statistics.median(timed(factorise) for _ in range(3))))
    push, factor = (statistics.median(times) for times in zip(*turns))
    full = pushed(case, "full").seconds
    return {
        "unknowns": first.model.size, "increments": len(first.states) - 1, "iterations": first.tally.iterations,
        "push_seconds": push, "factor_seconds": factor, "full_seconds": full, "full_repeats": 1,
        "push_over_factor": statistics.median(a / b for a, b in turns), "full_over_condensed": full / push,
    }


def against_library(repeats: int) -> dict[str, Any]:
    """Tangent assembly, ours over scikit-fem's, same mesh, element and Gauss points; both end as a sparse matrix.

    Ours is the consistent tangent of finite strain, at rest; theirs the linear stiffness, which there is equal.
    """
    model = pushed(coupling()).model
    rest, number = np.zeros(model.size), np.arange(model.size)

    def ours():
        return assemble(model.bodies_tangents(rest, 0.0), number, model.size)

    theirs = library_assembly(model)
    a, b = scipy.sparse.linalg.norm(ours()), scipy.sparse.linalg.norm(theirs())
    own, library = median(ours, repeats), median(theirs, repeats)
    return {
        "unknowns": model.size, "own_seconds": own, "library_seconds": library, "own_over_library": own / library,
        "norm_difference": abs(a - b) / b,
    }


def library_assembly(model: Model) -> Callable[[], Any]:
    """The library's assembly of the model's linear stiffness [N/mm], whole ring; its basis is made beforehand."""
    import skfem

    cells = model.solid.nodes_of[:, :4]
    used = np.unique(cells)
    mesh = skfem.MeshQuad(model.mesh.nodes[used].T, np.searchsorted(used, cells).T, sort_t=False)
    element = skfem.ElementVector(skfem.ElementQuadS2())
    basis = skfem.Basis(mesh, element, quadrature=((model.solid.local.T + 1) / 2, model.solid.weight / 4))
    shear = STEEL["young"] / 2 / (1 + STEEL["poisson"])
    lame = 2 * shear * STEEL["poisson"] / (1 - 2 * STEEL["poisson"])

    @skfem.BilinearForm
    def form(u, v, w):
        r = w.x[0]
        a, b = ([q.grad[0, 0], q.grad[1, 1], q[0] / r] for q in (u, v))
        normal = lame * sum(a) * sum(b) + 2 * shear * sum(x * y for x, y in zip(a, b))
        return 2 * np.pi * r * (normal + shear * (u.grad[0, 1] + u.grad[1, 0]) * (v.grad[0, 1] + v.grad[1, 0]))

    return lambda: form.assemble(basis)


def scaling(repeats: int, large: bool) -> dict[str, Any]:
    """Push time over unknowns, the exponent of a power law fitted to it, and peak memory."""
    rows = [scaling_row(size, repeats) for size in SIZES + LARGE * large]
    size, seconds = (np.log([row[k] for row in rows]) for k in ("unknowns", "push_seconds"))
    return {"rows": rows, "exponent": float(np.polyfit(size, seconds, 1)[0])}


def scaling_row(size: float, repeats: int) -> dict[str, Any]:
    """One mesh: unknowns, push and meshing time, one factorisation, memory. Large meshes are timed once."""
    case = coupling(size)
    runs = [pushed(case)]
    runs += [pushed(case) for _ in range(repeats - 1 if runs[0].model.size < 15_000 else 0)]
    push = statistics.median(r.seconds for r in runs)
    factor = median(factorisation(case, runs[0].model), repeats=len(runs))
    return {
        "mesh_size_mm": size, "unknowns": runs[0].model.size, "iterations": runs[0].tally.iterations,
        "repeats": len(runs), "push_seconds": push, "mesh_seconds": runs[0].mesh_seconds,
        "push_over_factor": push / factor, **peak_memory(size),
    }


def peak_memory(size: float) -> dict[str, float]:
    """Peak resident memory [MB] of a fresh process that pushes once, and what it took after its imports."""
    done = subprocess.run([sys.executable, __file__, "--memory-of", str(size)], check=True, capture_output=True, text=True)
    return json.loads(done.stdout)


def measure_memory(size: float) -> dict[str, float]:
    """What `peak_memory` reads, in this process."""
    before = peak_resident()
    pushed(coupling(size))
    return {"imports_MB": before, "peak_MB": peak_resident()}


def peak_resident() -> float:
    """Peak resident memory [MB] of this process so far. Linux.

    Not getrusage: its figure is carried over from the parent when a process is started, and the parent is the larger.
    """
    lines = Path("/proc/self/status").read_text(encoding="ascii").splitlines()
    return int(next(line for line in lines if line.startswith("VmHWM:")).split()[1]) / 1024


def commands(repeats: int) -> dict[str, float]:
    """Median time [s] of whole commands on the main example, interpreter start and report included."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "case.toml"
        file.write_text(examples.text(examples.names()[0]), encoding="utf-8")
        return {name: median(partial(command, words, file, folder), repeats) for name, words in COMMANDS.items()}


def command(words: list[str], file: Path, folder: str) -> None:
    """Run one command on a case file, output thrown away. Raises CalledProcessError where it fails."""
    where = ["--out", f"{folder}/out"] if words[0] == "run" else []
    line = [sys.executable, "-m", "colletfea", words[0], str(file), *words[1:], *where]
    subprocess.run(line, check=True, capture_output=True, cwd=ROOT)


def bundled() -> dict[str, dict[str, Any]]:
    """Effort of the push of every bundled example."""
    return {name: effort(name) for name in examples.names()}


def effort(name: str) -> dict[str, Any]:
    """Unknowns, accepted increments, all iterations, cut-backs and one push time [s] of an example."""
    run = pushed(Case.from_tables(tomllib.loads(examples.text(name)), name))
    return {
        "unknowns": run.model.size, "increments": len(run.states) - 1, "iterations": run.tally.iterations,
        "cutbacks": run.tally.cutbacks, "push_seconds": run.seconds,
    }


def show(data: Any, indent: str = "") -> None:
    """Print nested results, one line a table row, four digits."""
    for key, value in data.items():
        if isinstance(value, dict):
            print(f"{indent}{key}")
            show(value, indent + "  ")
        elif isinstance(value, list):
            for row in value:
                print(indent + "  " + "  ".join(f"{k} {digits(v)}" for k, v in row.items()))
        else:
            print(f"{indent}{key:22} {digits(value)}")


def digits(value: Any) -> str:
    """A number with four digits; integers and text as they are."""
    return f"{value:.4g}" if isinstance(value, float) else str(value)


def main() -> None:
    """Measure everything, print it, and store it where asked."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--repeats", type=int, default=3)
    parser.add_argument("--large", action="store_true", help="add meshes of 47 000 to 200 000 unknowns")
    parser.add_argument("--out", type=Path, help="JSON file to write")
    parser.add_argument("--memory-of", type=float, help=argparse.SUPPRESS)
    given = parser.parse_args()
    if given.memory_of:
        print(json.dumps(measure_memory(given.memory_of)))
        return
    packages = ("colletfea", "numpy", "scipy", "gmsh", "scikit-fem")
    results = {
        "versions": {"python": platform.python_version(), **{p: version(p) for p in packages}},
        "repeats": given.repeats,
        "push": against_factor_and_full(given.repeats),
        "assembly": against_library(given.repeats),
        "scaling": scaling(given.repeats, given.large),
        "command_seconds": commands(given.repeats),
        "examples": bundled(),
    }
    show(results)
    if given.out:
        given.out.write_text(json.dumps(results, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
