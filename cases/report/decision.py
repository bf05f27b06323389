"""What was asked and what came out, in words: the first sentences of terminal and report.

Works on a run's summary and on what the hand calculation alone gives, which has no block `simulation`.
"""

import math
from typing import Any, Mapping

from colletfea.cases.report import check_words, corner_words, failing, holding
from colletfea.cases.report.force_words import band, capital, clamp, needed, placed_set
from colletfea.cases.report.verdict_words import missing, reason
from colletfea.cases.report.wording import number, quantity
from colletfea.cases.stored.names import EARLY, REASONS, TRAVEL, dig
from colletfea.cases.stored.verdict import subject, untrusted

Data = Mapping[str, Any]


def asked(data: Data) -> str:
    """The question in one sentence."""
    duty, push = data["case"].get("duty"), data["case"].get("push") or {}
    goal = ""
    if push.get("travel") is not None:
        goal = f"push the ring by {quantity(push['travel'], 'mm')}"
    elif push.get("force") is not None:
        goal = f"push the ring with {quantity(push['force'], 'N')}"
    if duty is None:
        return f"Asked: {goal}; no duty was given, so there is nothing to hold and no margin."
    loads = [f"{quantity(duty['torque'], 'N·m', 3)}"] if duty["torque"] else []
    loads += [f"{quantity(duty['thrust'], 'N')} of thrust"] if duty["thrust"] else []
    pull = f", under a radial pull of {quantity(duty['radial'], 'N')}" if duty.get("radial") else ""
    where = "sleeve" if duty["carried_by"] == "sleeve" else "ring"
    return (
        f"Asked: carry {' together with '.join(loads)}{pull} with a slip safety of "
        f"{number(duty['slip_safety'], 3)} and a yield safety of {number(duty['yield_safety'], 3)}, hub on "
        f"the {where}{', ' + goal if goal else ''}."
    )


def standing(data: Data) -> bool | None:
    """False as soon as one verdict on the design is not ok or the run stopped early, None where something was not judged or has not settled."""
    if stopped_early(data) or failing.clauses(data):
        return False
    return None if missing(data) or check_words.unsettled(data) or not any(v["ok"] for v in data["verdicts"]) else True


def stopped_early(data: Data) -> bool:
    """True for partial results: the nominal push or that of a corner stopped before its end."""
    reasons = [dig(data, "simulation.stop_reason"), *(c["stop_reason"] for c in data["corners"])]
    return any(reason in EARLY for reason in reasons)


def sentences(data: Data) -> list[str]:
    """The decision: what holds or fails and what would do, the clamp force needed, screws, what was not judged."""
    if stopped_early(data):
        return [_no_decision(data), _force(data), *filter(None, [_checks(data)])]
    failed, doubt = failing.clauses(data), check_words.unsettled(data)
    first = [f"It does not hold as it stands: {'; '.join(failed)}.", doubt, failing.never(data)] if failed else [doubt, _holds(data, doubt)]
    return [line for line in [*first, _force(data), _set(data), _not_judged(data), _loosens(data), _settles(data), check_words.sentence(data), _checks(data)] if line]


def answer(data: Data) -> str:
    """The first sentence of the decision."""
    return sentences(data)[0]


def ending(data: Data) -> str:
    """Why and where the nominal push ended."""
    why, end = data["simulation"]["stop_reason"], data["simulation"]["at_end"]
    where = (
        f" at {quantity(end['travel_mm'], 'mm')} of travel and {quantity(end['push_force_N'], 'N')} of push"
        if end
        else " before the first increment was accepted"
    )
    which = f" ({corner_words.name(data, 'nominal')})" if len(data["corners"]) > 1 else ""
    rough = " Made with --quick, on a coarse mesh: for a first look, not to sign off." if data.get("level") == "quick" else ""
    return f"The push{which} ended{where}: {REASONS.get(why, str(why))}.{rough}"


def _no_decision(data: Data) -> str:
    stopped = [c for c in data["corners"] if c["stop_reason"] in EARLY]
    reason = stopped[0]["stop_reason"] if stopped else data["simulation"]["stop_reason"]
    where = f" ({corner_words.name(data, stopped[0]['name'])}, at {quantity(stopped[0]['push_force_N'], 'N', 3)})" if stopped else ""
    return f"No decision: {REASONS[reason]}{where}; these are partial results."


def _holds(data: Data, doubt: str) -> str:
    """What may be signed, by hand nothing without a grip that is judged ok; where nothing was judged, that; where the numbers are in doubt, what they say."""
    if "simulation" not in data and not all(v["ok"] for v in data["verdicts"] if v["name"] in ("slip", "cone_slip")):
        return "By hand nothing decides whether it holds: run the case."
    if not any(v["ok"] for v in data["verdicts"]):
        return "Nothing was judged." if dig(data, "case.duty") else "Nothing was judged: the case asks for no duty."
    said = holding.sentence(data) or "Everything that was judged holds."
    return f"By these numbers: {said[:1].lower()}{said[1:]}" if doubt else said


def _force(data: Data) -> str:
    """The force to apply and the force needed, whatever else fails."""
    if not dig(data, "case.duty"):
        return ""
    grip = corner_words.gripping(data)
    where = corner_words.name(data, grip["name"]) if grip else ""
    place = f" ({where})" if where and where != "as given" else ""
    if needed(data):
        return f"Clamp force needed: {needed(data)} at least{place}{_against_asked(data, grip)}{_rough(data)}."
    if stopped_early(data):
        return ""
    if not data["corners"]:
        return "Clamp force needed: not known by hand."
    return f"Clamp force needed: no pull carries the duty{place}{_stopped_by(grip)}."


def _rough(data: Data) -> str:
    """Formulas that are not trusted with the grip are not trusted with the force either."""
    return "; by formulas that do not judge this grip: a first guess" if untrusted(data, "slip", "cone_slip") else ""


def _against_asked(data: Data, grip: Mapping[str, Any] | None) -> str:
    """What is pulled, beside what is needed."""
    if dig(data, "case.push.travel") is not None and grip:
        if grip["stop_reason"] != TRAVEL:
            return f"; before the travel that is asked for, {REASONS.get(grip['stop_reason'], grip['stop_reason'])} there"
        return f"; at the travel that is asked for it is {quantity(grip['push_force_N'], 'N')} there"
    if not clamp(data):
        return ""
    given, ends = dig(data, "case.push.force") is not None or dig(data, "case.screws.torque"), failing.unreached(data)
    if given and ends:
        return f"; asked for are {clamp(data)}, and pushes end before that, at {band(min(ends), max(ends), 'N')}"
    if given:
        return f"; what is asked for brings {clamp(data)}"
    return f"; to apply: {clamp(data)}" if failing.enough(data) else ""


def _stopped_by(grip: Mapping[str, Any] | None) -> str:
    if grip is None:
        return " by hand calculation"
    search = corner_words.searched(grip)
    return f"; {REASONS.get(search['stop_reason'], search['stop_reason'])} at {quantity(search['push_force_N'], 'N', 3)}"


def _set(data: Data) -> str:
    """The screws that a case without any would do with."""
    if dig(data, "case.screws") or not clamp(data) or not dig(data, "case.duty"):
        return ""
    if not failing.can_work(data) or untrusted(data, "slip", "cone_slip"):
        return ""
    found = failing.proposed(data)
    if not found:
        force = "this force" if failing.enough(data) else "the force needed"
        return f"The case names no screws, and no set of the tables brings {force} with room in the ring."
    return f"The case names no screws: {placed_set(found)} would do."


def _not_judged(data: Data) -> str:
    """What was not judged and why, verdicts with one reason together."""
    reasons: dict[str, list[str]] = {}
    for verdict in missing(data):
        reasons.setdefault(reason(verdict), []).append(subject(verdict["name"]))
    return f"Not judged: {'; '.join(f'{_listed(names)} ({why})' for why, names in reasons.items())}." if reasons else ""


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _loosens(data: Data) -> str:
    """A ring that can let go is held by its screws alone."""
    locking = next((v for v in data["verdicts"] if v["name"] == "self_locking"), None)
    if locking is None or locking["ok"] is not None:
        return ""
    return f"{capital(locking['because'])}."


def _settles(data: Data) -> str:
    """What is left of a grip that was judged ok once the screws have settled."""
    left = dig(data, "screws.grip_after_settling")
    if not left or not all(v["ok"] for v in data["verdicts"] if v["name"] in ("slip", "cone_slip")):
        return ""
    share = min(left.values())
    said = f"The grip is judged before the screws settle, which may leave {math.floor(1000 * share) / 1000:g} times what is asked"
    if share >= 1:
        return f"{said}."
    by_torque = dig(data, "case.screws.torque") and dig(data, "case.push.force") is None
    key = "push.travel" if dig(data, "case.push.travel") is not None else "screws.torque" if by_torque else "push.force"
    return f"{said}, which is too little: a greater {key} covers that."


def _checks(data: Data) -> str:
    """What the result itself is asked about: see judgement.plausible."""
    return " ".join(data.get("checks") or [])
