"""What can't be drawn is refused in a sentence that starts with the section's own name."""

import subprocess
import sys

import pytest
from helpers.sections import FLANGED, PLAIN, vary

from colletfea.fea.errors import MeshError
from colletfea.meshing.build import build
from colletfea.meshing.outlines import outline
from colletfea.meshing.quality import quality
from colletfea.meshing.section import default_size, faults

REFUSED = {
    "ring_start": {"ring_start": 12.0},
    "ring_length": {"ring_length": 60.0},
    "edge_radius": {"edge_radius": 7.0},
    "ring_radius": {"ring_radius": 8.9},
    "nose_radius": {"nose_radius": 0.8},
    "nose_wall": {"nose_wall": 0.0},
    "length": {"length": float("nan")},
    "bore_radius": {"bore_radius": 6.9},
    "stations": {"stations": (12.0,)},
    "flange_radius": {"flange_thickness": 3.0, "flange_radius": 8.0},
    "shaft_bore": {"shaft_bore": 7.0},
    "taper": {"taper": 1.6},
    "travel": {"travel": -1.0},
    "size": {"size": 0.0},
}


@pytest.mark.parametrize("name", REFUSED)
def test_undrawable_section_is_refused_with_its_own_name(name):
    with pytest.raises(MeshError, match=f"^{name} = " if name != "stations" else f"^{name}: "):
        outline(vary(**REFUSED[name]))


@pytest.mark.parametrize(("name", "fits", "too_much"), [("nose_radius", 0.61, 0.66), ("edge_radius", 5.3, 5.5)])
def test_rounded_corners_leave_a_tenth_of_their_face_straight(name, fits, too_much):
    """Nose wall 1.4: 1.26 / (1 + 1/tan 46.5 deg) = 0.647. Ring face 12 / cos 3 deg, corners of 93 and 87 deg: 5.400."""
    assert faults(vary(ring_radius=40.0, **{name: fits})) == []
    assert faults(vary(ring_radius=40.0, **{name: too_much}))[0].startswith(name)


def test_ring_over_a_flange_is_refused_but_not_over_a_bare_back_face():
    assert faults(vary(FLANGED, ring_start=-1.0))[0].startswith("ring_start = -1")
    assert faults(vary(ring_start=-1.0)) == []


def test_default_size_scales_with_the_section():
    lengths = ("shaft_radius", "bore_radius", "nose_wall", "length")
    doubled = vary(**{name: 2 * getattr(PLAIN, name) for name in lengths})
    assert default_size(doubled) == pytest.approx(2 * default_size(PLAIN))


def test_default_mesh_has_about_eight_thousand_unknowns():
    assert 6500 < quality(build(PLAIN)).unknowns < 9000


def test_long_thin_and_large_sections_stay_affordable():
    long = vary(
        length=150.0, nose_wall=1.0, taper=0.0175, ring_taper=0.0175, ring_length=130.0, ring_start=15.0
    )
    large = vary(
        long, shaft_radius=75.0, bore_radius=75.02, ring_radius=100.0, nose_radius=0.1, edge_radius=0.3
    )
    assert quality(build(vary(long, ring_radius=20.0))).unknowns < 40_000
    assert quality(build(large)).unknowns < 40_000


def test_outlines_need_no_mesh_generator():
    code = "import sys, colletfea.meshing.build, colletfea.meshing.outlines; sys.exit('gmsh' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
