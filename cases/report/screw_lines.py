"""The clamp screws in short, for the terminal and the first page."""

from typing import Any, Mapping

from colletfea.cases.report import failing
from colletfea.cases.report.force_words import band, capital, clamp, count, placed_set, upward
from colletfea.cases.report.wording import number, quantity
from colletfea.cases.stored.verdict import untrusted

Data = Mapping[str, Any]
STEPS = "crosswise in rounds at a third, two thirds and the whole of the torque, then round at the whole torque until no screw turns"


def short(data: Data) -> list[str]:
    """Screws with torque and preload, and where they do, how to tighten them and how the ring comes off; else a proposed set.

    Nothing where there is no clamp force to apply, and no word of tightening for one that does not do what is asked.
    """
    screws = data.get("screws")
    if not clamp(data):
        return []
    if not screws:
        found = failing.proposed(data)
        return [f"No screws are named. {capital(placed_set(found))} would do, {STEPS}."] if found else []
    lost = screws["preload_lost_N"]
    each = f"{band(screws['preload_least_N'] + lost, screws['preload_greatest_N'], 'N')} each"
    if lost:
        each += f" before settling, for the grip, and {quantity(screws['preload_least_N'], 'N', 3)} at least after it, for the ring to stay"
    share = number(100 * screws["utilisation"], 3)
    first = f"{capital(placed_set(screws))}: {each}, at {share} % of what they bear."
    if untrusted(data, "screws"):
        return [f"{first} By formulas that do not judge this grip: a first guess, nothing to tighten by."]
    useless = not failing.enough(data) and not untrusted(data, "slip", "cone_slip")
    if useless or any(not v["ok"] for v in data["verdicts"] if v["name"] in ("screws", "screw_room")):
        return [first]
    return [first, f"Tighten {STEPS}.", _off(screws)]


def _off(screws: Mapping[str, Any]) -> str:
    jacking = screws["jacking"]
    if jacking["force_N"] is None:
        return "What it takes to push the ring off is not known here."
    if jacking["force_N"] == 0:
        return "The ring lets go by itself: slacken the screws in rounds and keep them in until it is loose."
    if not jacking["count"]:
        return f"No jacking screws: it takes up to {quantity(jacking['force_N'], 'N', 3)} to push the ring off."
    force = quantity(upward(jacking["force_each_N"], 2), "N", 2)
    if jacking["count"] == 1:
        return f"To push the ring off: one jacking screw {screws['size']}, up to {force}."
    return f"To push the ring off: {count(jacking['count'])} jacking screws {screws['size']}, up to {force} each."
