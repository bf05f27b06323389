"""What the stress page says of a peak: its meshes, the number of its place, and a radius that would help."""

from colletfea.cases.report import peak_words

SHARP = {
    "part": "ring", "quantity": "von Mises stress, raw", "value": 632.0, "unit": "MPa", "r_mm": 13.3, "z_mm": 25.0,
    "verdict": "at the ring's trailing edge: grows with the mesh: not a stress (+11 % by halving the elements)",
    "meshes": [517.0, 568.0, 632.0], "exponent": 0.15, "spot": "ring's trailing edge",
}
PLACE = {"at": "ring's trailing edge", "r_mm": 13.27, "z_mm": 25.0, "radius_mm": 0.2}
OTHER = {"at": "sleeve's root", "r_mm": 15.0, "z_mm": 0.0, "radius_mm": 0.1}
BELIEVED = {**SHARP, "quantity": "von Mises stress, largest where two meshes agree", "verdict": "two meshes agree", "meshes": None, "spot": None, "believed_share": 0.99}


def summary(*peaks):
    return {"simulation": {"peaks": list(peaks)}, "case": {"sleeve": {"nose_wall": 2.2}}}


def test_a_sharp_peak_is_told_with_meshes_place_and_a_radius():
    said = peak_words.said(summary(SHARP, {**BELIEVED, "doubted": [PLACE]}), SHARP)
    assert "not a stress" in said and "on meshes of halved elements: 517, 568, 632 MPa" in said
    assert "place 1 in the picture" in said and "with ring.edge_radius = 0.2 the peak becomes one that can be judged" in said


def test_a_settled_peak_needs_no_advice():
    settled = {**SHARP, "verdict": "at the ring's trailing edge: settled to 1 %"}
    assert "edge_radius" not in peak_words.said(summary(settled), settled)


def test_one_place_of_two_parts_has_one_number():
    found = peak_words.doubts(summary({**BELIEVED, "doubted": [OTHER, PLACE]}, {**BELIEVED, "part": "sleeve", "doubted": [PLACE]}))
    assert [(d.number, d.part, d.at) for d in found] == [(1, "ring", "sleeve's root"), (2, "ring", "ring's trailing edge"), (2, "sleeve", "ring's trailing edge")]


def test_results_without_a_ladder_are_told_as_they_are():
    old = {key: SHARP[key] for key in ("part", "quantity", "value", "unit", "r_mm", "z_mm")} | {"verdict": "raw", "growth_relative": 0.1}
    assert peak_words.said(summary(old), old) == "raw; growth relative 10 %"
