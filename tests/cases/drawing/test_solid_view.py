"""The coupling cut open: every design gives a drawing that stands alone, with its slits, and what is hidden stays hidden."""

import math
import re
import xml.etree.ElementTree as ET

from helpers.drawn import CASES, SVG, case, random_case, unslit
import pytest

from colletfea.cases.drawing import solid_view
from colletfea.cases.drawing.profile import profile
from colletfea.cases.drawing.solid_view import COLOURS, solid_svg


def view_of(parts):
    view = solid_view._View(parts)
    return view, list(solid_view._pieces(parts, view))


@pytest.mark.parametrize("name", CASES)
def test_every_kind_of_coupling_is_drawn(name):
    assert_drawn(solid_svg(profile(case(**CASES[name]))))


def assert_drawn(text):
    """A picture with a title, every point of which is a number within it."""
    root = ET.fromstring(text)
    assert root.find(f"{SVG}title").text.startswith("The coupling cut open")
    assert not re.search(r"nan|inf|href|url", text) and len(text) < 100_000
    wide, high = (float(v) for v in root.get("viewBox").split()[2:])
    numbers = [float(v) for path in root.iter(f"{SVG}path") for v in re.findall(r"-?\d+", path.get("d"))]
    assert min(numbers) >= 0 and max(numbers) <= max(wide, high)


@pytest.mark.parametrize("seed", range(25))
def test_random_couplings_are_drawn(seed):
    made = random_case(seed)
    if made is not None:
        assert_drawn(solid_svg(profile(made)))


def test_slits_are_seen_and_only_there():
    slit, closed = (profile(case(**changes)) for changes in ({}, unslit()))
    shades = [view.shade("slit", piece_normal) for view in [view_of(slit)[0]] for piece_normal in ((1.0, 0, 0), (-1.0, 0, 0))]
    assert all(re.fullmatch("#[0-9a-f]{6}", shade) for shade in shades)
    count = [sum(piece.order == solid_view.FLANK and bool(piece.colour) for piece in view_of(parts)[1]) for parts in (slit, closed)]
    assert count[0] > 0 and count[1] == 0


def test_nothing_of_sleeve_and_ring_stands_in_the_opening():
    parts = profile(case())
    view, pieces = view_of(parts)
    for piece in pieces:
        if piece.layer in ("sleeve", "ring"):
            x, y, _ = (sum(axis) / len(piece.corners) for axis in zip(*piece.corners))
            assert not view.taken(math.atan2(y, x))


def test_what_the_shaft_hides_is_drawn_before_it():
    """Of two pieces on one ray to the eye, the nearer comes later: tried for the shaft against sleeve and ring."""
    parts = profile(case())
    view, pieces = view_of(parts)
    drawn = sorted(pieces, key=view.rank)
    shaft = [i for i, piece in enumerate(drawn) if piece.layer == "shaft"]
    for i, piece in enumerate(drawn):
        if piece.layer != "shaft":
            side = sum(sum(axis) / len(piece.corners) * e for axis, e in zip(zip(*piece.corners), (view.eye[0], view.eye[1], 0)))
            assert i > shaft[-1] if side > 1e-9 else i < shaft[0]


def test_parts_differ_in_grey():
    grey = {name: 0.299 * r + 0.587 * g + 0.114 * b for name, (r, g, b) in COLOURS.items()}
    assert min(abs(grey["sleeve"] - grey[other]) for other in ("ring", "slit", "screw")) > 25
