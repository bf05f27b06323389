"""Verdict on mesh and increments: what halving both moves of the nominal push, where `run --check` has tried it."""

from __future__ import annotations

from colletfea.cases.casefile.text import plain
from colletfea.cases.stored.names import CHECKED
from colletfea.cases.stored.verdict import Verdict

#: what halving may move. Measured on the bundled examples at the default level: forces and travel 0.04 %, mean pressure 0.4 %,
#: stresses clear of edges 1.3 %; at --quick 0.1, 1.6 and 4.4 %
LIMIT = 0.03


def adequate(differences: dict[str, float], why: str = "") -> Verdict:
    """The largest of the differences [-], by quantity, against LIMIT; not judged where there are none, why says why."""
    if not differences:
        return Verdict.unknown("mesh", why, limit=LIMIT)
    name = max(differences, key=lambda key: abs(differences[key]))
    value = abs(differences[name])
    because = f"half the mesh size and twice the increments move {CHECKED.get(name, name)} by {plain(100 * value, 2)} % at the end of the nominal push, and nothing else by more"
    found = Verdict.at_most("mesh", value, LIMIT, "", because)
    return found if found.ok else found.adding(
        f"; up to {100 * LIMIT:g} % is taken as settled. Other verdicts may be off by as much: try a finer mesh.size, or --fine"
    )
