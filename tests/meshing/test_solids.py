"""Solids against integrals along their outlines (helpers/turned.py), which know nothing of the modeller."""

import re
from math import pi, radians, tan

import pytest
from helpers import turned

from colletfea.fea.elements.mesh import MeshError
from colletfea.meshing import solids
from colletfea.meshing.session import session
from colletfea.meshing.solids import Corner, Hole, Part, Slit

SLOPE = tan(radians(5))
SLEEVE = tuple(Corner(*c) for c in ((11, -6), (26, -6), (26, 0), (13.2 + 26 * SLOPE, 0), (13.2, 26, 0.4), (11, 26, 0.4)))
BARE = tuple(Corner(*c) for c in ((11, 0), (13.2 + 26 * SLOPE, 0), (13.2, 26, 0.4), (11, 26, 0.4)))
RING = tuple(Corner(*c) for c in ((13.2 + 23 * SLOPE, 3, 0.5), (23, 3), (23, 25), (13.2 + SLOPE, 25, 0.5)))
EXACT = 2e-7  # ten times the largest difference seen, by the kernel's own quadrature; asked for is 1e-6


def measured(part):
    return solids.make([part], "one").measures[part.name]


def agree(measures, expected):
    assert (measures.volume, measures.inertia) == pytest.approx(tuple(expected), rel=EXACT)


def test_a_rounded_ring_measures_what_its_outline_gives():
    agree(measured(Part("ring", RING)), turned.along(RING, turned.disc))


def test_a_drilled_ring_loses_its_holes():
    holes = tuple(Hole(2 * pi * i / 5, 18.8, 5.5, 2, 26) for i in range(5))
    agree(measured(Part("ring", RING, (), holes)), turned.along(RING, turned.disc) - 5 * turned.hole(5.5, 18.8, 22))


@pytest.mark.parametrize("count", [1, 2])
def test_a_slit_right_through_takes_the_flange_with_it(count):
    slits = tuple(Slit(1.0 + pi * i, 1.5, -7, 27) for i in range(count))
    lost = turned.along(SLEEVE, turned.strip(1.5))
    found = measured(Part("sleeve", SLEEVE, slits, (), count))
    agree(found, turned.along(SLEEVE, turned.disc) - count * lost)
    assert (abs(found.centre[0]) < 1e-6) == (count == 2)


def test_a_slit_that_spares_the_flange_ends_at_its_face():
    lost = turned.along(SLEEVE, turned.strip(1.5), 0, 26)
    agree(measured(Part("sleeve", SLEEVE, (Slit(0.3, 1.5, 0, 27),))), turned.along(SLEEVE, turned.disc) - lost)


@pytest.mark.parametrize("fronts, backs", [(6, 0), (4, 4)])
def test_slits_from_one_end_and_from_both(fronts, backs):
    slits = [Slit(2 * pi * i / fronts, 1.2, 8, 27) for i in range(fronts)]
    slits += [Slit(2 * pi * (i + 0.5) / backs, 1.2, -1, 18) for i in range(backs)]
    strip = turned.strip(1.2)
    lost = fronts * turned.along(BARE, strip, 8, 26) + backs * turned.along(BARE, strip, 0, 18)
    found = measured(Part("sleeve", BARE, tuple(slits)))
    agree(found, turned.along(BARE, turned.disc) - lost)
    assert found.faces == measured(Part("sleeve", BARE)).faces + EXTRA_FACES[fronts, backs]


#: by hand: six fingers part nose and both its arcs into six each (15 more) and add two flanks and a bottom a slit (18), bore
#: and cone stay whole below; four slits from either end: nose with both arcs (9 more) and back face (3 more) into four each,
#: and 3 faces a slit (24), bore and cone stay one winding face
EXTRA_FACES = {(6, 0): 33, (4, 4): 36}


def test_a_solid_shaft_is_a_cylinder():
    found = measured(Part("shaft", tuple(Corner(*c) for c in ((0, -10), (11, -10), (11, 30), (0, 30)))))
    agree(found, (pi * 121 * 40, pi * 11**4 / 2 * 40))
    assert found.centre == pytest.approx((0, 0, 10), abs=1e-9)


def test_files_name_their_parts_and_come_back_closed_and_whole(tmp_path):
    made = solids.make([Part("sleeve", BARE, (Slit(0, 1.5, -1, 27),)), Part("ring", RING)], "Größe 'A'")
    assert re.findall(r" PRODUCT\('([^']*)'", made.texts["ring"]) == ["ring"]
    assert re.findall(r"(?<![A-Z_])PRODUCT\('(sleeve|ring)'", made.together) == ["sleeve", "ring"]
    assert r"Gr\X4\000000F6\X0\\X4\000000DF\X0\e ''A''" in made.together
    assert made.together.count("CLOSED_SHELL") == 2 and "SI_UNIT(.MILLI.,.METRE.)" in made.together
    path = tmp_path / "all.step"
    path.write_text(made.together, encoding="ascii")
    back = solids.read_back(path)
    assert [m.volume for m in back] == pytest.approx([m.volume for m in made.measures.values()], rel=EXACT)
    assert [m.faces for m in back] == [m.faces for m in made.measures.values()]


def test_parts_that_touch_share_nothing_and_parts_that_overlap_do():
    sleeve, moved = Part("sleeve", BARE), tuple(Corner(c.r, c.z - 0.5, c.radius) for c in RING)
    assert solids.shared([sleeve, Part("ring", RING)])["sleeve", "ring"] == pytest.approx(0, abs=1e-6)
    # pushed on by 0.5 mm the ring dips 0.5 tan 5 deg into the cone all along: Pappus, edges aside
    dip = 0.5 * SLOPE
    expected = 2 * pi * (13.2 + 12.5 * SLOPE) * dip * 22
    assert solids.shared([sleeve, Part("ring", moved)])["sleeve", "ring"] == pytest.approx(expected, rel=0.06)


def test_a_part_that_comes_out_in_pieces_it_does_not_name_is_refused():
    slits = tuple(Slit(2 * pi * i / 3, 1.5, -1, 27) for i in range(3))
    with pytest.raises(MeshError, match="sleeve: pieces = 1, but it comes out in 3"):
        solids.make([Part("sleeve", BARE, slits)], "pieces")


def test_an_open_shell_is_noticed(tmp_path):
    with session("open") as model:
        tag = model.occ.addBox(0, 0, 0, 1, 1, 1)
        model.occ.synchronize()
        faces = [face for _, face in model.getBoundary([(3, tag)], oriented=False)]

        class Lidless:
            occ = model.occ

            @staticmethod
            def getBoundary(*_, **__):  # noqa: N802, the modeller's own name
                return [(2, face) for face in faces[1:]]

        with pytest.raises(MeshError, match="do not close"):
            solids.require_closed(Lidless, "box", tag)
        solids.require_closed(model, "box", tag)


def test_nothing_is_printed(capfd):
    solids.make([Part("ring", RING)], "quiet")
    assert capfd.readouterr() == ("", "")
