"""Preload and torque of one screw against printed tables; compliance, settling and depth of thread against hand figures."""

import math

import pytest
from pytest import approx

from colletfea.cases.hand import tightening
from colletfea.cases.hand.threads import SCREWS, Thread, property_class, screw
from colletfea.cases.hand.tightening import Friction

CLASSES = ("8.8", "10.9", "12.9")
PRINTED = "VDI 2230-1, printed torque tables on the basis of the edition of 2003"
HEX = {6: 8.88, 8: 11.63, 10: 14.63, 12: 16.63, 16: 22.49}  # bearing diameters of ISO 4014, product grade A (from memory)
HOLE = {6: 6.6, 8: 9.0, 10: 11.0, 12: 13.5, 16: 17.5}


def pull(thread, name, mu):
    return tightening.greatest_preload(thread, property_class(name, thread.diameter).yield_strength, mu)


def torque(thread, name, mu, mean):
    """Tightening torque [N m] at the greatest preload, friction mu in thread and under head."""
    return pull(thread, name, mu) * tightening.torque_over_preload(thread, mean, Friction(mu, mu)) / 1000


def hexagon(d):
    return (HEX[d] + HOLE[d]) / 2


FINE = [
    (8, 1, 0.10, (20.7, 30.4, 35.6), (22.8, 33.5, 39.2), (20.73, 30.45, 35.63), (22.78, 33.46, 39.15)),
    (8, 1, 0.12, (20.2, 29.7, 34.7), (26.1, 38.3, 44.9), (20.24, 29.73, 34.79), (26.05, 38.26, 44.77)),
    (8, 1, 0.14, (19.7, 28.9, 33.9), (29.2, 42.8, 50.1), (19.73, 28.98, 33.91), (29.10, 42.74, 50.02)),
    (10, 1.25, 0.12, (31.6, 46.4, 54.3), (51, 75, 87), (31.63, 46.46, 54.36), (50.7, 74.5, 87.2)),
    (16, 1.5, 0.12, (87.6, 128.7, 150.6), (218, 320, 374), (87.66, 128.75, 150.66), (217.3, 319.1, 373.4)),
]


@pytest.mark.verification(source=PRINTED)
@pytest.mark.parametrize(("d", "pitch", "mu", "kn", "nm", "kn_by_formula", "nm_by_formula"), FINE)
def test_fine_threads_as_printed(d, pitch, mu, kn, nm, kn_by_formula, nm_by_formula):
    thread = Thread(d, pitch)
    for i, name in enumerate(CLASSES):
        assert pull(thread, name, mu) / 1000 == approx(kn[i], rel=0.004)
        assert torque(thread, name, mu, hexagon(d)) == approx(nm[i], rel=0.008)
        assert pull(thread, name, mu) / 1000 == approx(kn_by_formula[i], rel=5e-4)
        assert torque(thread, name, mu, hexagon(d)) == approx(nm_by_formula[i], rel=1e-3)


#: size, friction: kN; N m socket, hexagon; in brackets in the printed table, as recalled
COARSE = [
    ("M6", 0.10, 10.447, 9.06, 8.93, 10.4, 9.0),
    ("M6", 0.12, 10.182, 10.27, 10.12, 10.2, 10.1),
    ("M6", 0.14, 9.907, 11.40, 11.22, 9.9, 11.3),
    ("M8", 0.10, 19.103, 21.91, 21.57, 19.1, 21.6),
    ("M8", 0.12, 18.627, 24.89, 24.50, 18.6, 24.6),
    ("M8", 0.14, 18.132, 27.67, 27.22, 18.1, 27.3),
    ("M10", 0.10, 30.350, 43.02, 42.49, 30.3, 43),
    ("M10", 0.12, 29.603, 48.94, 48.32, 29.6, 48),
    ("M10", 0.14, 28.823, 54.45, 53.74, 28.8, 54),
    ("M12", 0.10, 44.189, 73.94, 73.28, 44.1, 73),
    ("M12", 0.12, 43.110, 84.16, 83.39, 43.0, 84),
    ("M12", 0.14, 41.981, 93.67, 92.79, 41.9, 93),
    ("M16", 0.10, 82.918, 181.0, 179.6, 82.9, 180),
    ("M16", 0.12, 80.974, 207.0, 205.3, 80.9, 206),
    ("M16", 0.14, 78.924, 231.2, 229.3, 78.8, 230),
]


@pytest.mark.verification(source="VDI 2230-1, Table A1 (from memory), class 8.8")
@pytest.mark.parametrize(("size", "mu", "kn", "socket", "hexagonal", "printed_kn", "printed_nm"), COARSE)
def test_coarse_threads_of_class_8_8(size, mu, kn, socket, hexagonal, printed_kn, printed_nm):
    s = screw(size)
    assert pull(s.thread, "8.8", mu) / 1000 == approx(kn, rel=5e-5)
    assert torque(s.thread, "8.8", mu, s.mean_head_diameter) == approx(socket, rel=6e-4)
    assert torque(s.thread, "8.8", mu, hexagon(s.thread.diameter)) == approx(hexagonal, rel=6e-4)
    assert pull(s.thread, "8.8", mu) / 1000 == approx(printed_kn, rel=0.01)
    half_a_digit = 0.05 if printed_nm < 40 else 0.5  # the table prints whole N·m from M10 on
    assert torque(s.thread, "8.8", mu, s.mean_head_diameter) == approx(printed_nm, abs=0.02 * printed_nm + half_a_digit)


def test_other_classes_follow_by_their_yield():
    thread = screw("M10").thread
    assert pull(thread, "10.9", 0.12) == approx(pull(thread, "8.8", 0.12) * 940 / 640)
    assert pull(thread, "12.9", 0.12) == approx(pull(thread, "8.8", 0.12) * 1100 / 640)


@pytest.mark.verification(source="Printed torque table of stainless screws of class 70 (R_p0.2 450); M12 of VDI 2230-1")
@pytest.mark.parametrize(
    ("size", "printed", "socket"), [("M6", 6.4, 6.37), ("M8", 15.2, 15.4), ("M10", 30, 30.3), ("M12", 51.5, 52.0), ("M16", 127, 127)]
)
def test_stainless_70_at_friction_0_10(size, printed, socket):
    s = screw(size)
    assert torque(s.thread, "70", 0.10, s.mean_head_diameter) == approx(printed, rel=0.02)
    assert torque(s.thread, "70", 0.10, s.mean_head_diameter) == approx(socket, rel=4e-3)
    assert pull(screw("M12").thread, "8.8", 0.14) == approx(41900, rel=0.01)


@pytest.mark.verification(source="Von Mises stress of tension and plastic torsion, evaluated by hand")
def test_the_greatest_preload_uses_nine_tenths_of_the_yield():
    m8 = screw("M8").thread
    force = pull(m8, "8.8", 0.12)
    sigma = force / m8.stress_area
    assert sigma == approx(508.824, abs=2e-3)
    thread_torque = force * m8.pitch_diameter / 2 * (m8.pitch / (math.pi * m8.pitch_diameter) + 1.155 * 0.12)
    tau = 12 * thread_torque / (math.pi * m8.stress_diameter**3)
    assert math.hypot(sigma, math.sqrt(3) * tau) == approx(576.0, abs=1e-9)
    assert force * tightening.stress_over_preload(m8, 0.12) == approx(576.0)


@pytest.mark.verification(source="VDI 2230-1, torque turned round by hand (d2 rounded to 7.188 there)")
def test_preload_of_a_torque():
    m8 = screw("M8")
    got = tightening.preload(25000, m8.thread, 10.665, Friction(0.12, 0.12))
    assert got == approx(18707.7, rel=6e-6)
    assert got * tightening.torque_over_preload(m8.thread, 10.665, Friction(0.12, 0.12)) == approx(25000)
    assert 41.9 / 1.8 == approx(23.3, abs=0.05)


@pytest.mark.verification(source="Settling of six M6, clamped length 26, coupling 5.57e6 N/mm (VDI 2230-1 form, evaluated by hand)")
def test_preload_lost_by_settling():
    delta = tightening.compliance(screw("M6").thread, 26, 205000)
    assert tightening.lost_per_micrometre(delta, 6, 5.57e6) == approx(102.7, abs=0.05)
    rigid = tightening.lost_per_micrometre(delta, 6, None)
    assert rigid == approx(1e-3 / delta) and rigid > tightening.lost_per_micrometre(delta, 6, 1e9)


def test_more_friction_means_less_preload_and_more_torque():
    m6 = screw("M6")
    low, high = (tightening.greatest_preload(m6.thread, 640, mu) for mu in (0.08, 0.16))
    assert low > high
    levers = [tightening.torque_over_preload(m6.thread, m6.mean_head_diameter, Friction(mu, mu)) for mu in (0.08, 0.16)]
    assert levers[0] < levers[1]


def test_a_tip_turns_easier_than_a_head():
    for s in SCREWS.values():
        friction = Friction(0.12, 0.12)
        tip, head = tightening.jacking_lever(s.thread, friction), tightening.torque_over_preload(s.thread, s.mean_head_diameter, friction)
        assert tip == approx(head - 0.12 * (s.mean_head_diameter / 2 - s.thread.root_diameter / 3))


@pytest.mark.verification(source="Mean pressure over a ring, by hand; clearance hole ISO 273")
def test_head_pressure():
    assert tightening.head_pressure(6130, screw("M5")) == approx(228.01, abs=0.01)  # on 26.885 mm^2


@pytest.mark.verification(source="Depth of thread usual in practice for class 8.8 in steel of R_m 400: 0.9 to 1.2 d (from memory)")
@pytest.mark.parametrize("size", ["M5", "M6", "M8", "M10", "M12"])
def test_depth_of_thread_in_soft_steel(size):
    thread = screw(size).thread
    got = tightening.engagement(thread, property_class("8.8", thread.diameter), 400)
    assert 0.85 < got / thread.diameter < 1.2


def test_depth_of_thread_falls_with_strength_until_the_screw_itself_would_strip():
    m6, grade = screw("M6").thread, property_class("12.9", 6)
    assert tightening.engagement(m6, grade, 300) > tightening.engagement(m6, grade, 600)
    # a tapped part stronger than the screw: the screw's own thread strips, and more strength no longer helps
    assert tightening.engagement(m6, grade, 1500) == tightening.engagement(m6, grade, 3000)
