"""Figures come out of stored results, with a sentence that follows from the numbers."""

from helpers import results as made
import numpy as np
import pytest
from helpers.section import section as section_arrays

from colletfea.cases.report import figures
from colletfea.cases.report.figures import pressure, meridian

EXPECTED = {
    "complete": ["section", "force_travel", "pressure", "stress", "torque_twist", "release"],
    "push only": ["force_travel", "pressure"],
    "no duty, no touch, not converged": ["force_travel", "pressure"],
    "nothing accepted": [],
}


@pytest.mark.parametrize("name, data, more", made.variants(), ids=[name for name, *_ in made.variants()])
def test_figures_that_the_results_allow_are_drawn(tmp_path, name, data, more):
    drawings = figures.draw(made.write(tmp_path, data, **more))
    assert [drawing.name for drawing in drawings] == EXPECTED[name]
    for drawing in drawings:
        assert drawing.png.startswith(b"\x89PNG") and drawing.reading.endswith(".")
        assert "None" not in drawing.reading and "nan" not in drawing.reading


def test_tiles_are_exact_for_a_linear_field():
    arrays = section_arrays()
    corners = arrays["nodes"][arrays["cells_sleeve"]]
    tiles, levels = meridian._quarters(corners, 3 + 2 * corners[..., 0] - corners[..., 1])
    middle = tiles.mean(1)
    assert levels == pytest.approx(3 + 2 * middle[:, 0] - middle[:, 1], abs=1e-9)


def test_outline_is_the_rim_of_a_part_and_nothing_inside():
    arrays = section_arrays()
    rim = meridian._outline(arrays["nodes"], arrays["cells_flange"])
    assert np.hypot(*np.diff(rim, axis=1)[:, 0].T).sum() == pytest.approx(2 * (6 + 26 - 11.0135), rel=1e-12)


def test_colours_ignore_a_peak_on_a_small_area():
    square = np.array([[0.0, 0], [1, 0], [1, 1], [0, 1]])
    shape = np.stack([square * 10, square * 0.1])  # the peak covers a ten-thousandth
    assert meridian._colour_limit([(shape, np.array([50.0, 9000.0]))]) == 50.0
    assert meridian._colour_limit([(shape[:1], np.array([50.0]))]) == 50.0


@pytest.mark.parametrize("shift, factor", [(0.0, 50), (0.1, 10), (2.0, 1), (50.0, 1)])
def test_magnification_keeps_the_drawing_readable(shift, factor):
    nodes = np.array([[0.0, 0.0], [10.0, 48.0]])
    assert meridian.magnification(nodes, np.array([[0.0, -shift], [0.0, 0.0]])) == factor


def test_element_boundaries_lie_half_way_and_reach_the_ends():
    rows = made.pair(26.0, 70.0)
    bounds = pressure.edges(rows)
    assert (bounds[0], bounds[-1]) == pytest.approx((0.0, 26.0)) and len(bounds) == len(rows) + 1


def test_a_part_above_yield_is_named(tmp_path):
    arrays = section_arrays()
    result = made.write(tmp_path, arrays=arrays)
    assert "Above yield, marked red: sleeve." in meridian.stress(result).reading
    calm = {name: value * (0.1 if name.startswith("von_mises") else 1) for name, value in arrays.items()}
    assert "No point lies above" in meridian.stress(made.write(tmp_path, arrays=calm)).reading


def test_twist_without_a_stored_share_has_one_panel(tmp_path):
    rows = [
        {key: value for key, value in row.items() if key != "slipping_fraction"} for row in made.history()
    ]
    drawing = figures.draw(made.write(tmp_path, rows=rows))[-2]
    full = figures.draw(made.write(tmp_path))[-2]
    height = lambda png: int.from_bytes(png[20:24], "big")  # noqa: E731  PNG header
    assert drawing.name == "torque_twist" and height(drawing.png) < height(full.png)
