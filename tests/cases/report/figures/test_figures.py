"""Figures come out of stored results, with a sentence that follows from the numbers."""

from helpers import results as made
import numpy as np
import pytest
from helpers.section import END, section as section_arrays

from colletfea.cases.report import figures
from colletfea.cases.report.figures import along, canvas, curves, meridian, pressure, stress
from colletfea.cases.report.wording import quantity
from colletfea.cases.stored.names import RADIUS, SURFACE

EXPECTED = {
    "complete": ["section", "force_travel", "pressure", "stress", "stress_lines", "torque_twist", "release"],
    "push only": ["force_travel", "pressure"],
    "no duty, no touch, not converged": ["force_travel", "pressure"],
    "nothing accepted": [],
}


@pytest.mark.parametrize("name, data, more", made.variants(), ids=[name for name, *_ in made.variants()])
def test_figures_that_the_results_allow_are_drawn(tmp_path, name, data, more):
    drawings = figures.draw(made.write(tmp_path, data, **more))
    assert [drawing.name for drawing in drawings] == EXPECTED[name]
    for drawing in drawings:
        assert (drawing.png.startswith(b"\x89PNG") or drawing.svg) and drawing.reading.endswith(".")
        assert "None" not in drawing.reading and "nan" not in drawing.reading


def test_tiles_are_exact_for_a_linear_field():
    arrays = section_arrays()
    corners = arrays["nodes"][arrays["cells_sleeve"]]
    tiles, levels = stress.quarters(corners, 99 + 2 * corners[..., 0] - corners[..., 1])
    middle = tiles.mean(1)
    assert levels == pytest.approx(99 + 2 * middle[:, 0] - middle[:, 1], abs=1e-9)


def test_outline_is_the_rim_of_a_part_and_nothing_inside():
    arrays = section_arrays()
    rim = meridian.outline(arrays["nodes"], arrays["cells_flange"])
    assert np.hypot(*np.diff(rim, axis=1)[:, 0].T).sum() == pytest.approx(2 * (6 + 26 - 11.0135), rel=1e-12)


def test_colours_ignore_a_peak_on_a_small_area():
    square = np.array([[0.0, 0], [1, 0], [1, 1], [0, 1]])
    shape = np.stack([square * 10, square * 0.1])  # the peak covers a ten-thousandth
    assert stress.colour_limit(shape, np.array([50.0, 9000.0])) == 50.0
    assert stress.colour_limit(shape[:1], np.array([50.0])) == 50.0


@pytest.mark.parametrize("shift, factor", [(0.0, 50), (0.1, 10), (2.0, 1), (50.0, 1)])
def test_magnification_keeps_the_drawing_readable(shift, factor):
    nodes = np.array([[0.0, 0.0], [10.0, 48.0]])
    assert stress.magnification(nodes, np.array([[0.0, -shift], [0.0, 0.0]])) == factor


def test_element_boundaries_lie_half_way_and_reach_the_ends():
    rows = made.pair(26.0, 70.0)
    bounds = pressure.edges(rows)
    assert (bounds[0], bounds[-1]) == pytest.approx((0.0, 26.0)) and len(bounds) == len(rows) + 1


def test_a_part_above_yield_in_its_worst_corner_is_named(tmp_path):
    arrays = section_arrays()
    result = made.write(tmp_path, arrays=arrays)
    drawing = stress.stress(result)
    assert "Above yield, marked red and hatched: sleeve." in drawing.reading and drawing.tall
    top = 1.2 * float(arrays["von_mises_sleeve"].max())
    assert f"sleeve {quantity(top, 'MPa', 3)}" in drawing.reading
    calm = {name: value * (0.1 if "von_mises" in name else 1) for name, value in arrays.items()}
    assert "No point lies above" in stress.stress(made.write(tmp_path, arrays=calm)).reading


def test_without_stresses_of_corners_those_of_the_nominal_push_are_drawn(tmp_path):
    arrays = {name: array for name, array in section_arrays().items() if not name.startswith("worst_")}
    reading = stress.stress(made.write(tmp_path, arrays=arrays)).reading
    assert f"sleeve {quantity(float(arrays['von_mises_sleeve'].max()), 'MPa', 3)}" in reading


def test_no_tile_shows_a_stress_below_zero():
    square = np.array([[0.0, 0], [1, 0], [1, 1], [0, 1], [0.5, 0], [1, 0.5], [0.5, 1], [0, 0.5]])
    _, levels = stress.quarters(square[None], np.array([[100.0, 100, 100, 100, 0, 0, 0, 0]]))
    assert levels.min() == 0.0


def test_states_are_told_apart_in_grey():
    """Lightness of sticking, slipping and open differ by a fifth of the scale at least, and slipping is hatched."""
    grey = {}
    for name, (colour, hatch) in canvas.STATE_LOOKS.items():
        red, green, blue = (int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5))
        grey[name] = 0.299 * red + 0.587 * green + 0.114 * blue
        assert bool(hatch) == (name == "slip")
    assert abs(grey["stick"] - grey["slip"]) > 0.4 and grey["open"] > grey["slip"] + 0.1


def test_twist_without_a_stored_share_has_one_panel(tmp_path):
    rows = [
        {key: value for key, value in row.items() if key != "slipping_fraction"} for row in made.history()
    ]
    drawing = figures.draw(made.write(tmp_path, rows=rows))[-2]
    full = figures.draw(made.write(tmp_path))[-2]
    height = lambda png: int.from_bytes(png[20:24], "big")  # noqa: E731  PNG header
    assert drawing.name == "torque_twist" and height(drawing.png) < height(full.png)


def served(*loads):
    """Rows of a service: speed, warm share, normal force of the bore."""
    end = made.history(release=False, twist=False)[-1]
    return [{**end, "stage": "service", "speed_per_min": n, "warm_share": w, "bore_normal_force_N": force} for n, w, force in loads]


def test_service_shows_each_of_its_increments():
    drawing = curves.service(made.result(rows=[*made.history(), *served((0.0, 0.0, 9e4), (900.0, 0.0, 8e4), (900.0, 0.5, 7e4), (0.0, 1.0, 7.5e4))]))
    assert "pressed least, by 70.00 kN, at: 900/min, 50 % warm; at the end of the push it was 90.00 kN" in drawing.reading
    for words in ("pushed", "cold", "50 % warm", "at rest"):
        assert words in drawing.svg
    assert curves.service(made.result()) is None
    tighter = curves.service(made.result(rows=served((0.0, 0.0, 9e4), (0.0, 1.0, 9.5e4))))
    assert "nowhere pressed less" in tighter.reading


def test_lines_of_stress_are_told_with_lame_beside_them():
    drawing = along.along(made.result(along=made.lines()))
    assert "Hoop stress at the ring's bore: 143 MPa, +7.5 % from Lamé's." in drawing.reading and "A slit sleeve is no ring" in drawing.reading
    assert "ring, r 14.30, z 13.00 mm: von Mises 104" in drawing.svg and "by Lamé 132.8 MPa" in drawing.svg
    for words in ("Shaft's surface: ", "Over the radius at z = 13.0 mm", "seat", "sleeve", "hoop, Lamé"):
        assert words in drawing.svg
    assert not drawing.png and along.along(made.result()) is None


def test_metal_that_has_flowed_is_told_to_be_off_lame():
    assert "the ends of the parts do. " in along._said(made.summary(), *along_rows())
    summary = made.summary()
    summary["simulation"]["at_end"]["plastic"] = {"shaft": None, "sleeve": {"volume_share": 0.0}, "ring": {"volume_share": 0.2}}
    assert "what bending and the ends of the parts do, and in the ring what has flowed. " in along._said(summary, *along_rows())


def along_rows():
    rows = made.lines()
    return [[row for row in rows if row["line"] == line] for line in (SURFACE, RADIUS)]


def test_values_of_a_slit_sleeve_have_no_lame_on_hover():
    svg = along.along(made.result(along=made.lines())).svg
    (sleeve,) = [text for text in svg.split("<title>") if text.startswith("sleeve, r 11.01")]
    assert "Lamé" not in sleeve.split("</title>")[0]


def test_metal_that_flowed_is_marked_with_its_largest_strain():
    arrays = section_arrays()
    flowing = np.zeros(arrays["cells_ring"].shape)
    flowing[:3, :4] = 1e-3
    data = made.summary()
    data["corners"] = [{**c, "flowed": {"ring": {"volume_share": 0.1, "largest_strain": 0.0014, "r_mm": 14.1, "z_mm": 9.0}}} for c in data["corners"]]
    drawing = stress.stress(made.result(data, arrays={**arrays, "worst_alpha_ring": flowing}))
    assert "Dotted: metal that flowed (ring)." in drawing.reading and "ring 0.14 % at r 14.1, z 9.00 mm" in drawing.reading
    assert "Dotted" not in stress.stress(made.result(data, arrays=arrays)).reading


def test_the_marked_tiles_are_those_at_the_corners_that_flowed():
    arrays = section_arrays()
    flowing = np.zeros(arrays["cells_ring"].shape)
    flowing[4, 2] = 1e-3
    picture = stress._picture(made.result(arrays={**arrays, "worst_alpha_ring": flowing}), "ring")
    (tile,) = picture.tiles[picture.flowed]
    nodes = arrays["worst_nodes_ring"] + picture.scale * (arrays["worst_displacement_ring"] + np.array([0.0, END]))
    corner = meridian.points(nodes)[arrays["worst_cells_ring"][4, 2]]
    assert np.hypot(*(tile - corner).T).min() < 1e-9
