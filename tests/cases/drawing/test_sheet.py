"""The sheet: size of paper, what stands on it, nothing from outside, no text on another."""

import re
import xml.etree.ElementTree as ET

import pytest
from helpers import drawn

from colletfea.cases.drawing.profile import profile
from colletfea.cases.drawing.sheet import FRAME, Facts, Limits, Listed, Torque, sheet_svg

FACTS = Facts(
    [Listed(name, "34CrNiMo6+QT", 7850, 0.12345) for name in ("Shaft piece", "Sleeve", "Ring")],
    [Limits("Sleeve's bore", "⌀22 H8", 22.033, 22.0), Limits("Shaft", "⌀22 h7", 22.0, 21.979)],
    Torque(9.5, "by hand"),
    "1.2.3",
)


def sheet(case):
    return sheet_svg(case, profile(case), FACTS)


@pytest.mark.parametrize("name", drawn.CASES)
def test_no_text_stands_on_another_and_all_lie_in_the_frame(name):
    svg = sheet(drawn.case(**drawn.CASES[name]))
    assert drawn.collisions(svg) == []
    for box in drawn.boxes(svg):
        assert FRAME[0] < box.left and box.right < FRAME[2] and FRAME[1] < box.top and box.bottom < FRAME[3], box


@pytest.mark.parametrize("seed", range(25))
def test_random_couplings_fit_the_sheet(seed):
    case = drawn.random_case(seed)
    if case is None:
        pytest.skip("the case file refuses this one")
    assert drawn.collisions(sheet(case)) == []


def test_what_stands_on_the_sheet():
    svg = sheet(drawn.case(screws__circle=37.3))
    root = ET.fromstring(svg)
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("420mm", "297mm", "0 0 420 297")
    said = [element.text for element in drawn.texts(svg)]
    assert said[said.index("Slit to the next screw") + 1] == "30°"  # six screws, the slit midway
    for text in ("Design sketch, check before making", "Scale 2 : 1 on A3", "22.033", "21.979", "9.5 N·m by hand", "⌀5.5, ISO 273 medium",
                 "M5, drilled ⌀4.2", "3 × M5 jacking", "6 × M5 on ⌀37.3", "1 : 5.715", "⌀30.949", "0.1235", "34CrNiMo6+QT"):
        assert text in said, text
    assert "3 jacking threads in the ring" in said and ">1 jacking thread in the ring<" in sheet(drawn.case(screws__jacking=1))


@pytest.mark.parametrize("changes, said", [
    ({}, "Upper half through a screw, lower half through a slit"),
    ({**drawn.CASES["two slits"], "screws": None}, "Upper half through a slit, lower half through a slit"),
    ({"screws": None}, "Lower half through a slit"),
])  # fmt: skip
def test_what_the_section_is_cut_through_is_said(changes, said):
    assert said in [element.text for element in drawn.texts(sheet(drawn.case(**changes)))]


def test_the_view_shows_every_head_thread_and_slit():
    plain, screwed = (sheet(drawn.case(**changes)) for changes in ({**drawn.unslit(), "screws": None}, drawn.unslit()))
    circles = [len(re.findall(r'<circle [^>]*stroke-width="0.5"', svg)) for svg in (plain, screwed)]
    assert circles[1] - circles[0] == 6 + 3
    flanks = [len(re.findall(r'<path d="M[^"L]*L[^"L]*M[^"L]*L[^"L]*" [^>]*stroke-width="0.5"', sheet(drawn.case(**drawn.CASES[name]))))
              for name in ("closed", "one slit", "two slits", "fingers")]
    assert flanks == [0, 2, 4, 6]  # a slit that cuts the flange shows on the nose and outside the ring


def test_nothing_comes_from_outside_and_text_never_becomes_markup():
    svg = sheet(drawn.case(title="<script>alert(1)</script> & 'co'"))
    assert not re.search(r"<script|<image|<use|<style|<foreignObject|href=|url\(|@import", svg)
    assert any("<script>" in element.text for element in drawn.texts(svg))
