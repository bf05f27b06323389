"""Whether a verdict as stored agrees with its own numbers."""


def contradicts(verdict):
    """What is wrong with a verdict as stored, in words; empty where nothing is."""
    ok, margin = verdict["ok"], verdict["margin"]
    if ok is None:
        return "" if len(verdict["because"]) > 20 else "not judged, without a reason"
    if None in (margin, verdict["value"], verdict["limit"]):
        return "judged without a number"
    if not (margin >= 1 if ok else margin <= 1):
        return f"{ok} with a margin of {margin}"
    share = sorted((verdict["value"] / verdict["limit"], verdict["limit"] / verdict["value"] if verdict["value"] else 1e6))
    stated = min(margin, 1 / margin if margin else 1e6)
    return "" if abs(stated - share[0]) <= 1.1e-3 or ok is False and margin == 1 else f"a margin of {margin} with {verdict['value']} of {verdict['limit']}"


def faults(verdicts):
    return [f"{v['name']}: {contradicts(v)}" for v in verdicts if contradicts(v)]
