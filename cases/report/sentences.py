"""Sentences that terminal and page share: slit formulas, reservations, advice, labels of stresses."""

from typing import Any, Iterable, Mapping, Sequence

from colletfea.cases.report.wording import key_name, number, quantity

COLUMNS = ("plain", "refined")
ADVICE_HEAD = "What would lower the clamp force at nominal friction, by hand:"
#: label, key of the hand stress, and the part whose simulated value stands beside it
STRESSES = (
    ("Ring, hoop stress at its bore", "ring_hoop", None),
    ("Ring, von Mises at its bore", "ring_von_mises", "ring"),
    ("Sleeve, von Mises at its bore", "sleeve_von_mises", "sleeve"),
    ("Shaft, von Mises at its bore or axis", "shaft_von_mises", "shaft"),
)


def slit_lines(slits: Mapping[str, Any] | None) -> list[str]:
    """What the slit formulas say beside the columns; `slits` is the block of the hand values, None without slits."""
    if not slits:
        return []
    said = {
        "formula": "Slit law: {formula}. Its scatter against the 3D linear-elastic study is about {scatter} %.",
        "cone_peak_factor": "Around the circumference the cone's pressure reaches about {peak} times its mean.",
        "bending_stress_MPa": "Bending of the sleeve while it closes adds about {bending}, tension outside and compression "
        "inside. It is largest about 90 degrees from a slit. A model of whole rings cannot show it.",
        "shuts_at_closing_mm": "The slots shut at a closing of {shut} on the radius.",
    }
    values = {
        "formula": slits["formula"],
        "scatter": number(slits["scatter_percent"], 2),
        "peak": number(slits["cone_peak_factor"], 3),
        "bending": quantity(slits["bending_stress_MPa"], "MPa", 3),
        "shut": quantity(slits["shuts_at_closing_mm"], "mm", 3),
    }
    return [line.format(**values) for key, line in said.items() if slits[key] is not None]


def note_lines(notes: Iterable[Mapping[str, str]]) -> list[str]:
    """Reservations on hand values, one sentence a reason."""
    grouped: dict[str, list[str]] = {}
    for note in notes:
        grouped.setdefault(note["because"], []).append(note["key"])
    return [f"{_named(keys)}: {because}." for because, keys in grouped.items()]


def _named(keys: list[str]) -> str:
    """"Grip travel, clamp travel (plain)" for plain.grip_travel_mm and plain.clamp_travel_mm."""
    parts = [key.split(".") for key in keys]
    columns = dict.fromkeys(part for path in parts for part in path if part in COLUMNS)
    names = dict.fromkeys(
        key_name("_".join(part for part in reversed(path) if part not in (*COLUMNS, "slits"))) for path in parts
    )
    text = ", ".join(names)
    return text[:1].upper() + text[1:] + (f" ({', '.join(columns)})" if columns else "")


def advice_lines(entries: Sequence[Mapping[str, Any]]) -> list[str]:
    """What would lower the clamp force, one sentence a change; entries as stored, the design as it stands first."""
    lines = [_change(entry, entries[0]) for entry in entries[1:]]
    if entries and entries[0]["grip_force_N"]:
        lines.append(
            "At this duty, shaft and taper the grip force falls only with more friction in the bore or less on the cone. "
            "A softer sleeve lowers the closing force only."
        )
    if len(entries) > 1:
        lines.append(
            "Other checks change as well: stresses, the neck, the way to the flange. Run the changed case before using it."
        )
    return lines


def _change(entry: Mapping[str, Any], designed: Mapping[str, Any]) -> str:
    change, lowered = entry["change"][:1].upper() + entry["change"][1:], f"{entry['lowers']}_force_N"
    text = f"{change} ({entry['key']}): {entry['lowers']} force {_instead(entry, designed, lowered)}"
    if None in (entry["clamp_force_N"], designed["clamp_force_N"]):
        return f"{text}."
    return f"{text}, clamp force {_instead(entry, designed, 'clamp_force_N')}."


def _instead(entry: Mapping[str, Any], designed: Mapping[str, Any], name: str) -> str:
    return f"{quantity(entry[name], 'N')} instead of {quantity(designed[name], 'N')}"
