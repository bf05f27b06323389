"""The section alone: to scale, sizes tagged with their keys, no text on another."""

import math
import re
import xml.etree.ElementTree as ET
from functools import reduce

import pytest
from helpers import drawn

from colletfea.cases.casefile.schema import ALL_KEYS
from colletfea.cases.drawing.section import filling_svg, section_svg


@pytest.mark.parametrize("name", drawn.CASES)
def test_every_size_bears_its_key_and_its_value(name):
    case = drawn.case(**drawn.CASES[name])
    shown = {}
    for element in drawn.texts(section_svg(case)):
        if element.get("data-key"):
            shown.setdefault(element.get("data-key"), []).append(element.text)
    assert shown.keys() <= ALL_KEYS.keys()
    sizes = ["shaft.diameter", "sleeve.length", "sleeve.nose_wall", "sleeve.taper", "ring.length", "ring.outer_diameter", "ring.start"]
    sizes += [key for key in ("shaft.bore", "sleeve.flange_thickness", "sleeve.flange_diameter", "sleeve.nose_radius", "ring.edge_radius",
                              "sleeve.slits.width") if value(case, key)]
    for key in sizes:
        number = f"{abs(value(case, key)):g}"
        assert any(re.search(rf"(?<![\d.]){re.escape(number)}(?![\d.])", text) for text in shown[key]), (key, shown.get(key))
    assert shown["shaft.beyond"] == [f"{length:g}" for length in case.shaft.beyond]
    assert ("screws.size" in shown) == (case.screws is not None)
    assert ("sleeve.fit" in shown) == (case.sleeve.fit is not None)


def value(case, key):
    return reduce(getattr, key.split("."), case)


@pytest.mark.parametrize("name", drawn.CASES)
def test_no_text_stands_on_another_and_all_lie_on_the_paper(name):
    svg = section_svg(drawn.case(**drawn.CASES[name]))
    assert drawn.collisions(svg) == []
    wide, high = (float(v) for v in ET.fromstring(svg).get("viewBox").split()[2:])
    for box in drawn.boxes(svg):
        assert box.left >= 0 and box.right <= wide and box.top >= 0 and box.bottom <= high, box


@pytest.mark.parametrize("name", drawn.CASES)
@pytest.mark.parametrize("diameter", [36, 40, 44, 48])
def test_no_line_of_a_dimension_runs_through_a_text_however_small_the_scale(name, diameter):
    """At 1 : 1 to 1 : 5 the lines of the ring's outside come to lie among the callouts."""
    case = drawn.case(**{**drawn.CASES[name], "ring__outer_diameter": diameter, "screws": None})
    for wide, high in ((260, 200), (160, 100), (130, 70)):
        assert drawn.struck(section_svg(case, wide, high)) == []


@pytest.mark.parametrize("pattern", [
    {"pattern": "through", "count": 2, "cuts_flange": False}, {"pattern": "through", "count": 2}, {"pattern": "alternating", "count": 6, "depth": 18},
])  # fmt: skip
def test_the_words_on_the_slits_end_before_the_ring_s_dimension(pattern):
    case = drawn.case(sleeve__slits={**pattern, "width": 1.375}, screws=None)
    assert drawn.crossed(section_svg(case)) == []


@pytest.mark.parametrize("name", drawn.CASES)
@pytest.mark.parametrize("wide, high", [(184, 118), (184, 90), (300, 400)])
def test_a_filling_section_is_as_wide_or_as_high_as_it_may_be(name, wide, high):
    svg = filling_svg(drawn.case(**drawn.CASES[name]), wide, high)
    left, top, width, height = (float(v) for v in ET.fromstring(svg).get("viewBox").split())
    assert width <= wide + 1e-3 and height <= high + 1e-3 and (width > wide - 0.1 or height > 0.9 * high)
    assert drawn.collisions(svg) == drawn.struck(svg) == []
    assert all(box.left >= left and box.top >= top and box.right <= left + width and box.bottom <= top + height for box in drawn.boxes(svg))


@pytest.mark.parametrize("scale, wide, high", [(2, 260, 200), (1, 180, 140), (5, 500, 400)])
def test_the_section_is_to_scale(scale, wide, high):
    svg = section_svg(drawn.case(**drawn.unslit()), wide, high)
    root = ET.fromstring(svg)
    assert root.get("width") == f"{root.get('viewBox').split()[2]}mm"
    outlines = [path.get("d") for path in root.iter(f"{drawn.SVG}path") if path.get("stroke-width") == "0.5"]
    points = [tuple(float(v) for v in xy.split()) for xy in re.split("[MLZ]", outlines[0]) if xy]
    xs, ys = zip(*points)
    assert max(xs) - min(xs) == pytest.approx(scale * (6 + 11 + 26 + 11), abs=2e-3)
    assert max(ys) - min(ys) == pytest.approx(scale * 11, abs=2e-3)
    assert f"Scale {scale} : 1" in svg


def test_the_slit_leaves_the_lower_half_of_the_sleeve_without_hatching():
    whole, slit, fingers = (
        hatched(section_svg(drawn.case(**drawn.CASES[name], screws=None))) for name in ("closed", "one slit", "fingers")
    )
    assert slit < fingers < whole


@pytest.mark.parametrize("name, cut", [("one slit", False), ("two slits", True), ("alternating", True), ("fingers", True)])
def test_the_upper_half_is_cut_by_a_slit_too_where_one_stands_upward(name, cut):
    """A second through slit, the fourth of six fingers, and of three slits from the back the one opposite that from the nose."""
    closed, slit = (upper_and_lower(section_svg(drawn.case(**{**drawn.CASES[name], **more}, screws=None))) for more in (drawn.unslit(), {}))
    assert (slit[0] < 0.97 * closed[0]) is cut
    assert slit[1] < 0.97 * closed[1]
    if cut and name != "alternating":  # there the slits of the halves begin at either end
        assert slit[0] == pytest.approx(slit[1], rel=0.05)


def hatched(svg):
    """Length of all hatch lines [mm]."""
    return sum(upper_and_lower(svg))


def upper_and_lower(svg):
    """Length of the hatch lines [mm] above and below the axis, the level dash-dotted line without screws."""
    paths = list(ET.fromstring(svg).iter(f"{drawn.SVG}path"))
    axis = next(float(p.get("d").split()[-1]) for p in paths if p.get("stroke-dasharray"))
    lines = "".join(p.get("d") for p in paths if p.get("stroke-width") == "0.13")
    pieces = [[float(v) for v in piece] for piece in re.findall(r"M([\d.-]+) ([\d.-]+)L([\d.-]+) ([\d.-]+)", lines)]
    return [sum(math.hypot(a - c, b - d) for a, b, c, d in pieces if (b + d < 2 * axis) is upper) for upper in (True, False)]


@pytest.mark.parametrize("seed", range(25))
def test_random_couplings_draw_without_a_text_on_another(seed):
    case = drawn.random_case(seed)
    if case is None:
        pytest.skip("the case file refuses this one")
    assert drawn.collisions(section_svg(case)) == []
