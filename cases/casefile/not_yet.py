"""Values of a case file that this version reads but does not compute.

When a capability is there, its line goes; with the last line the table stays empty and nothing is refused.
"""

from collections.abc import Callable, Mapping

from colletfea.cases.casefile.values import Values

NotYet = Mapping[str, tuple[Callable[[Values], bool], str]]

NOT_YET: NotYet = {
    "solver.plastic": (
        lambda v: v["solver.plastic"],
        "must be false in this version; plastic flow is not computed yet",
    ),
}
