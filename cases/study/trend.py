"""What a study says in words: how quantities go with a key, where the case holds, what samples come to."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from colletfea.cases.report.wording import number, percent
from colletfea.cases.stored.names import dig
from colletfea.cases.stored.store import Row
from colletfea.cases.stored.verdict import subject
from colletfea.cases.study.quantities import Quantity
from colletfea.cases.study.scatter import percentile, sure_between, told
from colletfea.cases.study.vary import in_a_row

#: a change of less than this share is called none
_HARDLY = 0.02
#: beside values so many times its size a quantity is near zero, and a change relative to it says nothing
_BESIDE = 10
_NUMBER = re.compile(r"-?\d+(\.\d+)?(e[-+]?\d+)?")


def shown(value: Any) -> str:
    """A varied value in words."""
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(shown(part) for part in value) + "]"
    if isinstance(value, dict):
        return str(in_a_row(value))
    return "as given" if value is None else f"{value:g}" if isinstance(value, (int, float)) and not isinstance(value, bool) else str(value)


def of_key(key: str, quantity: Quantity, rows: Sequence[Row]) -> str:
    """One sentence on how a quantity goes with a key; rows in the order of the key's values, those without a value left out."""
    pairs = [(row[key], quantity.of(row)) for row in rows if row.get("exit_code") == 0 and quantity.of(row) is not None]
    if len(pairs) < 2:
        return ""
    name, unit = quantity.words[0].upper() + quantity.words[1:], f" {quantity.unit}" if quantity.unit else ""
    numeric = all(isinstance(x, (int, float)) for x, _ in pairs)
    if not numeric:
        ranked = sorted(pairs, key=lambda pair: pair[1])
        (low, least), (high, most) = ranked[0], ranked[-1]
        return f"{name}: from {number(float(least))}{unit} with {shown(low)} to {number(float(most))}{unit} with {shown(high)}."
    pairs.sort(key=lambda pair: pair[0])
    return f"{name} {_way(key, pairs, unit)}{_where_the_limit_is(key, quantity, rows)}."


def _where_the_limit_is(key: str, quantity: Quantity, rows: Sequence[Row]) -> str:
    """Values of a key, interpolated, at which a quantity passes its limit; nothing where it stays on one side."""
    known = [(row[key], over) for row in rows if row.get("exit_code") == 0 and (over := quantity.over(row))]
    known.sort(key=lambda pair: pair[0])
    passed = [a + (b - a) * x / (x - y) for (a, x), (b, y) in zip(known, known[1:]) if x * y < 0]
    if not passed or len(passed) > 3:
        return ""
    found = " and ".join(dict.fromkeys(f"{value:.3g}" for value in passed))
    return f"; at {key} {found} it passes 1: {quantity.parts}" if quantity.parts else f"; it meets its limit at {key} {found}"


def _way(key: str, pairs: list[tuple[float, float]], unit: str) -> str:
    values = [float(value) for _, value in pairs]
    (first, start), (last, end) = pairs[0], pairs[-1]
    least, most = min(values), max(values)
    scale = max(abs(least), abs(most))
    over = f"from {key} {shown(first)} to {shown(last)}"
    ends = f"{number(float(start))} to {number(float(end))}{unit}"
    if number(least) == number(most):
        return f"stays at {number(least)}{unit} {over}"
    if most - least < _HARDLY * scale:
        return f"hardly changes {over}: {ends if {start, end} == {least, most} else f'between {number(least)} and {number(most)}{unit}'}"
    slack = 0.01 * (most - least)
    steps = [b - a for a, b in zip(values, values[1:])]
    ends = f"from {ends} {over}"
    if all(step >= -slack for step in steps):
        return f"rises {ends}"
    if all(step <= slack for step in steps):
        return f"falls {ends}"
    inner = most if most > max(values[0], values[-1]) else least
    at = pairs[values.index(inner)][0]
    return f"goes {ends}, with {number(inner)}{unit} at {shown(at)}, its {'greatest' if inner == most else 'least'}"


def where_it_holds(keys: Sequence[str], rows: Sequence[Row]) -> list[str]:
    """Which cases hold in every verdict, and which verdicts the others break."""
    done = [row for row in rows if row.get("exit_code") == 0]
    holding = [row for row in done if row.get("holds") is True]
    unsure = [row for row in done if row.get("holds") is None]
    said = []
    if len(holding) == len(done):
        said.append(f"Every case {'holds' if len(done) == len(rows) else 'that was computed to its end holds'} in all that was judged.")
    elif holding:
        said.append(f"{len(holding)} of {len(done)} cases hold in every verdict: {_listed(keys, holding)}.")
    else:
        said.append("No case holds in every verdict.")
    if unsure:
        said.append(f"{len(unsure)} more break none, but not all of their verdicts could be judged: {_listed(keys, unsure)}.")
    return [*said, *_not_ok(done, "cases")]


def _not_ok(done: Sequence[Row], what: str) -> list[str]:
    """Which verdicts are broken, and in how many of the rows, which are `what`; nothing where none is."""
    broken = {name: sum(_breaks(row, name) for row in done) for name in _verdicts(done)}
    found = [f"{subject(name)} in {count}" for name, count in broken.items() if count]
    return [f"Not ok: {', '.join(found)} of {len(done)} {what}."] if found else []


def _verdicts(rows: Sequence[Row]) -> list[str]:
    return list(dict.fromkeys(name.split(".")[1] for row in rows for name in row if name.startswith("verdicts.") and name.endswith(".ok")))


def _listed(keys: Sequence[str], rows: Sequence[Row], most: int = 6) -> str:
    told = [", ".join(f"{key} {shown(row.get(key))}" for key in keys) for row in rows[:most]]
    return "; ".join(told) + (f" and {len(rows) - most} more" if len(rows) > most else "")


def of_samples(rows: Sequence[Row]) -> list[str]:
    """The share of samples that fails the duty, with its slip safety and without, and any verdict; which verdicts these are."""
    done = [row for row in rows if row.get("exit_code") == 0]
    if not done:
        return []
    said = []
    if any("verdicts.slip.ok" in row for row in done):
        said.append(f"With its slip safety the duty is not carried in {_share(done, lambda r: _breaks(r, 'slip') or _breaks(r, 'cone_slip'))}.")
        said.append(f"Without it, where the seat would really slip, in {_share(done, lambda r: (r.get('times_the_duty') or 0) < 1)}.")
    said.append(f"Some verdict is not ok in {_share(done, lambda r: r.get('holds') is False)}.")
    return [*said, *_not_ok(done, "samples")]


def _breaks(row: Row, name: str) -> bool:
    return row.get(f"verdicts.{name}.ok") is False


def _share(rows: Sequence[Row], hit: Any) -> str:
    hits = sum(bool(hit(row)) for row in rows)
    low, high = sure_between(hits, len(rows))
    return f"{hits} of {len(rows)} samples ({percent(hits / len(rows))}; the true share is between {percent(low)} and {percent(high)} with 95 % confidence)"


def spread(quantity: Quantity, values: Sequence[float]) -> str:
    """One sentence on where the samples of a quantity lie; values: all of them, at least one."""
    unit = f" {quantity.unit}" if quantity.unit else ""
    many = "5 %" in told(len(values))
    least, middle, greatest = (number(float(percentile(values, p))) for p in ((5, 50, 95) if many else (0, 50, 100)))
    share = "about 90 %" if many else "all"
    return f"The middle of {len(values)} samples is {middle}{unit}; {share} of them lie between {least} and {greatest}{unit}."


def steepness(key: str, quantity: Quantity, rows: Sequence[Row]) -> list[float | None]:
    """Relative change of a quantity where a key is moved 5 % (a whole number by one) down, and up; None where one of its two cases is missing.

    None, too, where the quantity is near zero in the case as it is, beside its values in the other cases. rows: those of `--around`: the case as it is first, then down and up for each key.
    """
    if not rows:
        return [None, None]
    base, own = _computed(quantity, rows[0]), _end(rows[0][key])
    if not base or _BESIDE * abs(base) < max(abs(_computed(quantity, row) or 0.0) for row in rows):
        return [None, None]
    sides = [[_computed(quantity, row) for row in rows[1:] if sign * (_end(row[key]) - own) > 0] for sign in (-1, 1)]
    return [found[0] / base - 1 if found and found[0] is not None else None for found in sides]


def _computed(quantity: Quantity, row: Row) -> float | None:
    return quantity.of(row) if row["exit_code"] == 0 else None


def _end(value: Any) -> float:
    """The number that stands for a varied one: itself, or the high end of a band."""
    return value[-1] if isinstance(value, (list, tuple)) else value


def checks(rows: Sequence[Row]) -> list[str]:
    """What cases are asked about, each question once: in how many of them where not in all, and where numbers differ those of the first."""
    found: dict[str, list[str]] = {}
    for line in (line for row in rows for line in row.get("checks") or ()):
        found.setdefault(_NUMBER.sub("#", line), []).append(line)
    return [_of_cases(lines, len(rows)) for lines in found.values()]


def _of_cases(lines: Sequence[str], count: int) -> str:
    first, differ = lines[0], len(set(lines)) > 1
    if len(lines) == count and not differ:
        return first
    where = f"In {len(lines)} of {count} cases" if len(lines) < count else f"In all {count} cases"
    return f"{where}{', here the first of them' if differ else ''}: {first}"


def asked_in_words(stored: dict[str, Any]) -> str:
    """What was asked, in one sentence."""
    asked, title = stored["asked"], dig(stored, "case.title")
    level = f"level {asked['level']}"
    if "vary" in asked:
        axes = "; ".join(f"{key} = {_range(values)}" for key, values in asked["vary"].items())
        return f"{title}: {stored['count']} cases over {axes}; {level}."
    if "around" in asked:
        return f"{title}: {', '.join(asked['around'])} moved by 5 % (whole numbers by one) either way, {stored['count']} cases by simulation; {level}."
    return f"{title}: {asked['random']} samples, seed {asked['seed']}: {asked['drawn']}; {level}."


def _range(values: list[Any]) -> str:
    told = [shown(value) for value in values]
    return ", ".join(told) if len(told) <= 6 else f"{told[0]}, {told[1]}, … {told[-1]} ({len(told)} values)"
