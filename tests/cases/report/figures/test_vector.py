"""Figures of the page are SVG: well-formed, with texts that stay texts, and with the stored values on hover."""

import re
import xml.etree.ElementTree as ET

from helpers import results as made
from helpers.section import section as section_arrays
import numpy as np
import pytest

from colletfea.cases.report import figures
from colletfea.cases.report.figures import canvas, meridian
from colletfea.cases.report.wording import quantity

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def drawn(tmp_path_factory):
    result = made.write(tmp_path_factory.mktemp("r"), arrays=section_arrays())
    return result, {drawing.name: drawing for drawing in figures.draw(result)}


def hovers(drawing):
    return [e.find(f"{SVG}title").text for e in ET.fromstring(drawing.svg).iter(f"{SVG}rect") if e.get("class") == "spot"]


def test_every_figure_but_the_field_is_a_drawing_that_stands_alone(drawn):
    assert [name for name, drawing in drawn[1].items() if not drawing.svg] == ["stress"]
    for drawing in drawn[1].values():
        if drawing.svg:
            root = ET.fromstring(drawing.svg)
            assert root.tag == f"{SVG}svg" and not list(root.iter(f"{SVG}style")) and not list(root.iter(f"{SVG}image"))
            links = [v for e in root.iter() for k, v in e.attrib.items() if k.endswith("href")] + re.findall(r"url\((.*?)\)", drawing.svg)
            assert all(link.startswith("#") for link in links)
            assert len(drawing.svg) < 250_000


def test_ids_of_the_figures_on_a_page_keep_apart(drawn):
    ids = [e.get("id") for d in drawn[1].values() if d.svg for e in ET.fromstring(d.svg).iter() if e.get("id")]
    assert ids and len(ids) == len(set(ids))


def test_texts_can_be_selected(drawn):
    words = {"force_travel": "ring travel [mm]", "pressure": "bore [MPa]", "section": "sleeve", "torque_twist": "torque [N·m]"}
    for name, word in words.items():
        assert word in {"".join(e.itertext()).strip() for e in ET.fromstring(drawn[1][name].svg).iter(f"{SVG}text")}


def test_the_force_curve_shows_each_stored_row_on_hover(drawn):
    result, drawings = drawn
    for name, stage, key, unit in (("force_travel", "push", "push_force_N", "N"), ("torque_twist", "twist", "torque_Nm", "N·m")):
        rows, shown = result.stage(stage), hovers(drawings[name])
        assert len(shown) == len(rows)
        assert all(quantity(row[key], unit) in text for row, text in zip(rows, shown))


def test_the_pressure_shows_each_stored_element_on_hover(drawn):
    result, drawings = drawn
    rows, shown = [*result.bore, *result.cone], hovers(drawings["pressure"])
    assert len(shown) == len(rows)
    for row, text in zip(rows, shown):
        assert text.endswith(row["state"]) and f"pressure {quantity(row['pressure_MPa'], 'MPa')}," in text and quantity(row["z_mm"], "mm") in text


def test_hover_columns_lie_where_their_values_are_drawn():
    figure, ax = canvas.board(8.0, 4.0, "t")
    ax.set_xlim(0, 10)
    ax.set_ylim(0, 1)
    text = canvas.vector(figure, "t", "t", [canvas.Spot(ax, 0.0, 5.0, "left"), canvas.Spot(ax, 10.0, 5.0, "right")])
    left, right = (e for e in ET.fromstring(text).iter(f"{SVG}rect") if e.get("class") == "spot")
    wide = 72 * (8 - 0.85 - 0.3)
    assert float(left.get("x")) == pytest.approx(72 * 0.85, abs=0.02) and float(left.get("width")) == pytest.approx(wide / 2, abs=0.02)
    assert float(right.get("x")) == pytest.approx(72 * 0.85 + wide / 2, abs=0.02)
    assert float(left.get("y")) == pytest.approx(72 * 0.42, abs=0.02) and float(left.get("height")) == pytest.approx(72 * (4 - 0.97), abs=0.02)


def test_numbers_in_words_keep_their_digits():
    figure, ax = canvas.board(8.0, 4.0, "0.12345 and more")
    ax.set_xlim(0.1501, 0.1502)
    figure.canvas.draw()
    words = {"".join(e.itertext()).strip() for e in ET.fromstring(canvas.vector(figure, "t", "t")).iter(f"{SVG}text")}
    assert {label.get_text() for label in ax.get_xticklabels()} <= words | {""} and "0.12345 and more" in words


def test_a_body_says_its_material_on_hover(drawn):
    titles = [e.text for e in ET.fromstring(drawn[1]["section"].svg).iter(f"{SVG}title")]
    assert sum(text.startswith("sleeve: C45+QT, Young's modulus") for text in titles) == 2


def test_loops_walk_round_a_body_once():
    arrays = section_arrays()
    for body in ("shaft", "flange", "ring"):
        cells = arrays[f"cells_{body}"]
        (loop,) = meridian.loops(cells)
        r, z = arrays["nodes"][loop].T
        area = 0.5 * abs(np.sum(r * np.roll(z, -1) - z * np.roll(r, -1)))
        corners = arrays["nodes"][cells[:, :4]]
        each = 0.5 * np.abs(np.sum(corners[..., 0] * np.roll(corners[..., 1], -1, 1) - corners[..., 1] * np.roll(corners[..., 0], -1, 1), axis=1))
        assert area == pytest.approx(each.sum(), rel=1e-9)
