"""Screw tables against the printed ones of their standards."""

import pytest
from pytest import approx

from colletfea.cases.hand import threads
from colletfea.cases.hand.threads import SCREWS, SIZES, property_class, screw

#: size: pitch, d2, d3, A_s by the profile to 1e-4 mm; A_s as printed
ISO = {
    "M3": (0.5, 2.6752, 2.3866, 5.0308, 5.03),
    "M4": (0.7, 3.5453, 3.1412, 8.7787, 8.78),
    "M5": (0.8, 4.4804, 4.0185, 14.1825, 14.2),
    "M6": (1, 5.3505, 4.7731, 20.1234, 20.1),
    "M8": (1.25, 7.1881, 6.4664, 36.6085, 36.6),
    "M10": (1.5, 9.0257, 8.1597, 57.9896, 58.0),
    "M12": (1.75, 10.8633, 9.8530, 84.2665, 84.3),
    "M14": (2, 12.7010, 11.5463, 115.439, 115),
    "M16": (2, 14.7010, 13.5463, 156.668, 157),
    "M18": (2.5, 16.3762, 14.9328, 192.473, 192),
    "M20": (2.5, 18.3762, 16.9328, 244.794, 245),
    "M22": (2.5, 20.3762, 18.9328, 303.399, 303),
    "M24": (3, 22.0514, 20.3194, 352.504, 353),
}


def three_digits(value):
    return float(f"{value:.3g}")


@pytest.mark.verification(source="ISO 68-1 and ISO 724 profile; stress areas printed in a reprint of ISO 898-1's load table")
@pytest.mark.parametrize("size", SIZES)
def test_threads_have_the_diameters_and_printed_stress_areas_of_the_standards(size):
    thread = screw(size).thread
    pitch, d2, d3, area, printed = ISO[size]
    assert thread.pitch == pitch
    assert thread.pitch_diameter == approx(d2, abs=1e-4) and thread.root_diameter == approx(d3, abs=1e-4)
    assert thread.stress_area == approx(area, rel=1e-5) and three_digits(thread.stress_area) == printed


def test_the_table_holds_every_coarse_size_from_m3_to_m24_in_order():
    assert list(SCREWS) == list(ISO)
    assert [screw(size).thread.diameter for size in SIZES] == [3, 4, 5, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24]


@pytest.mark.verification(source="EN ISO 898-1:2013, reprint of its table; EN ISO 3506-1 (from memory)")
@pytest.mark.parametrize(
    ("name", "diameter", "tensile", "yield_strength", "proof"),
    [
        ("8.8", 16, 800, 640, 580),
        ("8.8", 18, 830, 660, 600),
        ("10.9", 16, 1040, 940, 830),
        ("10.9", 24, 1040, 940, 830),
        ("12.9", 10, 1220, 1100, 970),
        ("70", 10, 700, 450, None),
        ("80", 20, 800, 600, None),
    ],
)
def test_property_classes(name, diameter, tensile, yield_strength, proof):
    grade = property_class(name, diameter)
    assert (grade.tensile, grade.yield_strength, grade.proof) == (tensile, yield_strength, proof)


@pytest.mark.verification(source="EN ISO 898-1:2013, least breaking loads printed in a reprint")
@pytest.mark.parametrize(("size", "name", "printed"), [("M10", "10.9", 60300), ("M12", "8.8", 67400)])
def test_breaking_loads_as_printed(size, name, printed):
    thread = screw(size).thread
    load = three_digits(thread.stress_area) * property_class(name, thread.diameter).tensile
    assert three_digits(load) == printed


@pytest.mark.verification(source="Mean head diameters of VDI 2230-1's torque tables, recomputed from ISO 4762 and ISO 273 (from memory)")
@pytest.mark.parametrize(("size", "mean"), [("M6", 7.990), ("M8", 10.665), ("M10", 13.165), ("M12", 15.365), ("M16", 20.335)])
def test_mean_head_diameters(size, mean):
    assert screw(size).mean_head_diameter == approx(mean, abs=5e-4)


@pytest.mark.parametrize("size", SIZES)
def test_heads_cover_their_holes_and_holes_clear_their_threads(size):
    s = screw(size)
    assert s.thread.diameter < s.hole < s.bearing < s.head and s.key < s.thread.diameter == s.head_height


def test_unknown_names_are_refused():
    with pytest.raises(KeyError):
        screw("M7")
    with pytest.raises(KeyError):
        property_class("9.8", 8)
    assert threads.CLASSES == ("8.8", "10.9", "12.9", "70", "80")
