"""Reads a drawing: texts with the room they take, and cases to draw."""

import re
import xml.etree.ElementTree as ET
from typing import NamedTuple

from colletfea.cases.casefile.case import Case

SVG = "{http://www.w3.org/2000/svg}"
MEAN = 0.5  # width of a letter over the size, Helvetica and its like: figures have 0.556, small letters 0.5 on the mean, i l t 0.25


class Box(NamedTuple):
    left: float
    top: float
    right: float
    bottom: float
    text: str


def tables(**changes):
    """Tables of a flanged, slit, screwed coupling, with dotted keys (double underscore) changed; None leaves a key out."""
    case = {
        "title": "flanged",
        "shaft": {"diameter": 22},
        "sleeve": {
            "length": 26, "nose_wall": 2.2, "taper": 5, "fit": "H8/h7", "flange_thickness": 6, "flange_diameter": 52,
            "slits": {"pattern": "through", "count": 1, "width": 1.5},
        },
        "ring": {"length": 22, "outer_diameter": 46, "start": 3},
        "friction": {"cone": 0.1, "bore": 0.12},
        "push": {"travel": 0.3},
        "screws": {"count": 6, "size": "M5"},
    }  # fmt: skip
    for dotted, value in changes.items():
        *path, key = dotted.split("__")
        table = case
        for name in path:
            table = table.setdefault(name, {})
        table[key] = value
        if value is None:
            del table[key]
    return case


def case(**changes):
    return Case.from_tables(tables(**changes), "flanged")


def unslit():
    """Changes that leave the slits out."""
    return {"sleeve__slits": None}


CASES = {
    "one slit": {},
    "two slits": {"sleeve__slits__count": 2},
    "flange whole": {"sleeve__slits__cuts_flange": False},
    "fingers": {"sleeve__slits": {"pattern": "fingers", "count": 6, "width": 1.2, "depth": 18}},
    "alternating": {
        "sleeve__slits": {"pattern": "alternating", "count": 3, "width": 1, "depth": 18}, "sleeve__nose_radius": 0.3,
        "ring__edge_radius": 0.5, "sleeve__flange_thickness": None, "sleeve__flange_diameter": None,
    },
    "closed": unslit(),
    "closed, no jacking": {**unslit(), "screws__count": 3, "screws__jacking": 0},
    "hollow, no screws": {**unslit(), "shaft__bore": 9, "screws": None, "sleeve__fit": None, "sleeve__clearance": 0.03},
    "rounded, tapers apart": {
        "ring__taper": 5.6, "ring__edge_radius": 0.6, "sleeve__nose_radius": 0.4, "shaft__bore": 6, "ring__outer_diameter": 50,
    },
    "ring past the nose": {"ring__length": 26, "sleeve__length": 24, "ring__start": 2},
    "behind the back": {
        "sleeve__flange_thickness": None, "sleeve__flange_diameter": None, "ring__start": -4, "ring__length": 30,
        "ring__outer_diameter": 50,
    },
}  # fmt: skip


def texts(svg):
    return list(ET.fromstring(svg).iter(f"{SVG}text"))


def boxes(svg):
    """Where each text stands, from its place, size, anchor and turn."""
    return [_box(element) for element in texts(svg)]


def _box(element):
    x, y, size = (float(element.get(name)) for name in ("x", "y", "font-size"))
    long = MEAN * size * len(element.text)
    before = {"start": 0, "middle": long / 2, "end": long}[element.get("text-anchor")]
    if element.get("transform"):
        return Box(x - 0.75 * size, y + before - long, x + 0.2 * size, y + before, element.text)
    return Box(x - before, y - 0.75 * size, x - before + long, y + 0.2 * size, element.text)


def collisions(svg):
    """Pairs of texts that stand on one another."""
    found = boxes(svg)
    return [
        (a.text, b.text)
        for i, a in enumerate(found)
        for b in found[i + 1 :]
        if a.left < b.right and b.left < a.right and a.top < b.bottom and b.top < a.bottom
    ]


def struck(svg):
    """Texts that a level thin line runs through from side to side."""
    lines = []
    for path in ET.fromstring(svg).iter(f"{SVG}path"):
        ends = [tuple(map(float, xy.split())) for xy in re.split("[MLZ]", path.get("d")) if xy]
        if path.get("stroke-width") == "0.2" and not path.get("stroke-dasharray") and len(ends) == 2 and ends[0][1] == ends[1][1]:
            lines.append((ends[0][1], *sorted(x for x, _ in ends)))
    return [
        (box.text, y) for box in boxes(svg) for y, a, b in lines if box.top + 0.2 < y < box.bottom - 0.2 and a < box.left and b > box.right
    ]


def crossed(svg):
    """Texts that an upright thin line runs through from above to below."""
    lines = []
    for path in ET.fromstring(svg).iter(f"{SVG}path"):
        ends = [tuple(map(float, xy.split())) for xy in re.split("[MLZ]", path.get("d")) if xy]
        if path.get("stroke-width") == "0.2" and not path.get("stroke-dasharray") and len(ends) == 2 and ends[0][0] == ends[1][0]:
            lines.append((ends[0][0], *sorted(y for _, y in ends)))
    return [
        (box.text, x) for box in boxes(svg) for x, a, b in lines if box.left + 0.2 < x < box.right - 0.2 and a < box.top and b > box.bottom
    ]


def random_case(seed):
    """A coupling of any size the case file lets through, with and without each feature; None where the file refuses it."""
    import random

    from colletfea.cases.casefile.faults import CaseError

    pick = random.Random(seed)
    d = round(10 ** pick.uniform(0.6, 2.2), pick.choice((0, 1, 3)))
    length, wall, taper = round(d * pick.uniform(0.6, 3), 2), round(d * pick.uniform(0.08, 0.3), 2), pick.choice((2, 3, 5, 8.5))
    root = d + 2 * wall + 2 * length * taper * 0.0175
    flanged = pick.random() < 0.5
    start = round(length * pick.uniform(0.05, 0.3), 2)
    size = pick.choice(("M3", "M4", "M5", "M6", "M8"))
    changes = {
        "shaft__diameter": d, "shaft__bore": pick.choice((0, round(d / 3, 2))), "sleeve__length": length,
        "sleeve__nose_wall": wall, "sleeve__taper": taper, "sleeve__fit": None, "sleeve__clearance": round(d / 800, 3),
        "sleeve__flange_thickness": round(d / 4, 1) if flanged else None, "ring__start": start,
        "sleeve__flange_diameter": round(root * pick.uniform(1.3, 2), 1) if flanged else None,
        "ring__length": round(length * pick.uniform(0.5, 1) - start / 2, 2),
        "ring__outer_diameter": round(root * pick.uniform(1.2, 2.2) + 14, 1), "screws__size": size,
        "screws__count": pick.choice((3, 4, 6, 8)), "sleeve__nose_radius": pick.choice((0, round(wall / 6, 2))),
        "ring__edge_radius": pick.choice((0, round(d / 60, 3))),
        "sleeve__slits": pick.choice((
            None, {"pattern": "through", "count": pick.choice((1, 2)), "width": round(d / 16, 2)},
            {"pattern": "fingers", "count": 4, "width": round(d / 20, 2), "depth": round(0.8 * length, 2)},
            {"pattern": "alternating", "count": 3, "width": round(d / 30, 2), "depth": round(0.7 * length, 2)},
        )),
    }  # fmt: skip
    if pick.random() < 0.3:
        changes = {key: value for key, value in changes.items() if not key.startswith("screws")} | {"screws": None}
    changes["push__travel"] = 0.01
    try:
        return case(**changes)
    except CaseError:
        return None
