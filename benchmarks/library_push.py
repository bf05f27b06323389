"""The same push by us and by GetFEM, a general-purpose library, in turn: same mesh, elements, increments and share of force left.

    python benchmarks/library_push.py [--repeats 3] [--python /usr/bin/python3]

--python is an interpreter that has GetFEM (Debian: python3-getfem). Processor seconds of the increments and of what makes them
ready, with meshing on our side alone; medians, and the median of the ratios of neighbours. The coupling is that of `speed.py`.
"""

from __future__ import annotations

import os

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # before numpy is imported, or it has no effect

import argparse
import json
import statistics
import subprocess
import tempfile
import time
from pathlib import Path

import numpy as np
from speed import STEEL, coupling, pushed

from colletfea.cases.simulation.pushed import Push
from colletfea.fea.contact.resultants import resultant


def handed_over(done: Push) -> dict:
    """Mesh, increments and constants of a push."""
    mesh, case = done.model.mesh, coupling()
    cells = {f"cell_{body}": rows for body, rows in mesh.cells.items()}
    edges = {f"edge_{name}": rows for name, rows in mesh.edges.items()}
    friction = {"cone": case.friction.cone.nominal, "bore": case.friction.bore.nominal}
    return {"nodes": mesh.nodes, "travels": np.array([s.t for s in done.states]), **cells, **edges, **STEEL, **friction}


def theirs(python: str, file: Path) -> dict:
    """What GetFEM's run printed. Raises CalledProcessError where it fails."""
    script = Path(__file__).with_name("getfem_push.py")
    done = subprocess.run([python, str(script), str(file)], check=True, capture_output=True, text=True)
    return json.loads(done.stdout.splitlines()[-1])


def ours() -> tuple[Push, float]:
    """A push, and its processor seconds."""
    begun = time.process_time()
    done = pushed(coupling())
    return done, time.process_time() - begun


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--repeats", type=int, default=3)
    parser.add_argument("--python", default="/usr/bin/python3", help="an interpreter that has GetFEM")
    given = parser.parse_args()
    done, _ = ours()
    turns = []
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "push.npz"
        np.savez(file, **handed_over(done))
        for _ in range(given.repeats):
            turns.append((ours()[1], theirs(given.python, file)))
    own = [a for a, _ in turns]
    library = [b["seconds"] + b["set_up_seconds"] for _, b in turns]
    last, model = turns[-1][1]["rows"][-1], done.model
    bore = resultant(model.contact, done.states[-1].contact, "bore")
    print(f"unknowns {model.size}, increments {len(done.states) - 1}, iterations {done.tally.iterations} and {turns[-1][1]['iterations']}")
    print(f"processor seconds {statistics.median(own):.2f} and {statistics.median(library):.2f}")
    print(f"library over ours {statistics.median(b / a for a, b in zip(own, library)):.1f}")
    print(f"normal force on the bore at the end {bore.normal_force:.1f} N and {abs(last[1]):.1f} N")


if __name__ == "__main__":
    main()
