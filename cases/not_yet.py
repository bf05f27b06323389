"""Values of a case file that this version reads but does not compute.

When a capability is there, its line goes; with the last line the table stays empty and nothing is refused.
"""

from collections.abc import Callable, Mapping

from cases.values import Values

NotYet = Mapping[str, tuple[Callable[[Values], bool], str]]

NOT_YET: NotYet = {
    "sleeve.slits.pattern": (
        lambda v: v["sleeve.slits.pattern"] != "none",
        'must be "none" in this version; slit sleeves are not computed yet',
    ),
    "sleeve.fit": (
        lambda v: v["sleeve.fit"] is not None,
        "must be left out in this version; give sleeve.clearance in mm instead",
    ),
    "push.travel": (
        lambda v: v["push.travel"] is None and v["push.force"] is None,
        "must be given in this version; a push up to the duty is not computed yet",
    ),
    "push.force": (
        lambda v: v["push.force"] is not None,
        "must be left out in this version; give push.travel in mm instead",
    ),
    "after.release": (
        lambda v: v["after.release"],
        "must be false in this version; release is not computed yet",
    ),
    "after.twist": (
        lambda v: v["after.twist"],
        "must be false in this version; twist is not computed yet",
    ),
    "solver.plastic": (
        lambda v: v["solver.plastic"],
        "must be false in this version; plastic flow is not computed yet",
    ),
    "solver.stop_at_yield": (
        lambda v: v["solver.stop_at_yield"],
        "must be false in this version; a stop at yield is not computed yet",
    ),
}
