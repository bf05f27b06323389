"""Ways to lower the clamp force, each with the numbers of the refined hand calculation for the changed design."""

import math

from colletfea.cases.hand import columns
from colletfea.cases.hand.coupling import Coupling, coupling
from colletfea.cases.hand.slit_model import Slits

# (name, Young's modulus MPa, Poisson's ratio): typical round values, common practice, no source.
SOFTER = (("a bronze sleeve", 110000.0, 0.34), ("an aluminium sleeve", 70000.0, 0.33))


def advice(case) -> list[dict]:
    """What the closing force and the grip force come down to when one thing is changed.

    Each entry: {lowers: "closing" or "grip", key, change, closing_force_N, grip_force_N, clamp_force_N}; the first
    entry, with key None, is the design as it stands. Only changes that lower the force they are meant for are kept;
    grip changes need a duty. At a given duty, shaft and taper the plain grip force F1 falls by friction alone: more on
    the bore, less on the cone.
    """
    c = coupling(case)
    designed = _entry("closing", None, "as designed", c)
    entries = [_entry(*change) for change in (*_closing_changes(c, case.sleeve.fit), *_grip_changes(c))]
    return [designed, *(entry for entry in entries if _helps(entry, designed))]


def _entry(lowers: str, key: str | None, change: str, c: Coupling) -> dict:
    refined = columns.refined(c)
    forces = {name: refined[name] for name in ("closing_force_N", "grip_force_N", "clamp_force_N")}
    return {"lowers": lowers, "key": key, "change": change, **forces}


def _helps(entry: dict, designed: dict) -> bool:
    name = f"{entry['lowers']}_force_N"
    return None not in (entry[name], designed[name]) and entry[name] < designed[name]


def _closing_changes(c: Coupling, fit: str | None):
    for name, young, poisson in SOFTER:
        if young < 0.9 * c.sleeve_young:
            softer = c.changed(sleeve_young=young, sleeve_poisson=poisson)
            yield "closing", "sleeve.material", f"{name}, E about {young:.0f} MPa", softer
    if c.slits.pattern != "through":
        width = _open_width(c.clearance)
        yield (
            "closing",
            "sleeve.slits",
            f"one slit {width:g} mm wide",
            c.changed(slits=Slits("through", 1, width)),
        )
    elif c.flange_thickness and not c.slits.cuts_flange:
        slits = Slits("through", c.slits.count, c.slits.width)
        yield "closing", "sleeve.slits.cuts_flange", "the slit cutting the flange too", c.changed(slits=slits)
    wall, clearance = 0.75 * c.nose_wall, c.clearance / 2
    yield "closing", "sleeve.nose_wall", f"a nose wall of {wall:.3g} mm", c.changed(nose_wall=wall)
    if fit is None:  # beside a fit the case file takes no clearance
        yield "closing", "sleeve.clearance", f"a clearance of {clearance:.3g} mm", c.changed(clearance=clearance)


def _open_width(clearance: float) -> float:
    """Slit width [mm], in half millimetres and 1 at least, of which closing takes no more than half."""
    return max(1.0, math.ceil(2 * math.pi * clearance / 0.5) * 0.5)


def _grip_changes(c: Coupling):
    more, less = min(1.25 * c.bore_friction, 1.0), 0.75 * c.cone_friction
    yield "grip", "friction.bore", f"bore friction of {more:.3g}", c.changed(bore_friction=more)
    yield "grip", "friction.cone", f"cone friction of {less:.3g}", c.changed(cone_friction=less)
