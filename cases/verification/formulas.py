"""Checks of hand formulas: rings, cones, fits, screws, and what a duty asks for. Of a table, the row that is farthest off."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

from colletfea.cases.casefile.case import Case
from colletfea.cases.casefile.fits import clearances
from colletfea.cases.hand import calculation, lame
from colletfea.cases.hand.corners import usable_torque
from colletfea.cases.hand.geometry import push_over_radial_force
from colletfea.cases.hand.slit_formulas import through_slit_ratio
from colletfea.cases.hand.threads import Thread, property_class, screw
from colletfea.cases.hand.tightening import Friction, greatest_preload, preload, torque_over_preload
from colletfea.cases.verification.check import EXACT, LAME, Check

#: half angle [degrees], friction: push on and pull off over the radial force
_CONES = (
    (1.5, 0.10, 0.126517, 0.0736213), (1.5, 0.15, 0.176881, 0.123330), (3, 0.10, 0.153211, 0.0473441), (3, 0.15, 0.204012, 0.0968310),
    (5, 0.10, 0.189143, 0.0124028), (8, 0.10, 0.243970, -0.0399790), (8, 0.15, 0.296798, 0.00926387), (10, 0.10, 0.281287, -0.0750045),
)
#: half angle [degrees]: travel [mm] that closes 0.05 mm on the radius
_TRAVELS = ((1.5, 1.90942), (3, 0.954057), (5, 0.571503), (8, 0.355768))
#: stress areas [mm2] of coarse threads by the profile of ISO 68-1
_AREAS = {
    "M3": 5.0308, "M4": 8.7787, "M5": 14.1825, "M6": 20.1234, "M8": 36.6085, "M10": 57.9896, "M12": 84.2665, "M14": 115.439, "M16": 156.668,
    "M18": 192.473, "M20": 244.794, "M22": 303.399, "M24": 352.504,
}
#: extreme clearances [micrometre] printed for these nominal sizes [mm]
_SIZES = (5, 8, 15, 20, 40, 65, 100)
_FITS = {
    "H7/g6": ((4, 24), (5, 29), (6, 35), (7, 41), (9, 50), (10, 59), (12, 69)),
    "H8/f7": ((10, 40), (13, 50), (16, 61), (20, 74), (25, 89), (30, 106), (36, 125)),
}
#: fine thread, friction, mean diameter under a hexagon head [mm]: printed preloads [kN] and torques [N m] of 8.8, 10.9 and 12.9
_FINE = (
    (8, 1, 0.10, 10.315, (20.7, 30.4, 35.6), (22.8, 33.5, 39.2)), (8, 1, 0.12, 10.315, (20.2, 29.7, 34.7), (26.1, 38.3, 44.9)),
    (8, 1, 0.14, 10.315, (19.7, 28.9, 33.9), (29.2, 42.8, 50.1)), (10, 1.25, 0.12, 12.815, (31.6, 46.4, 54.3), (51, 75, 87)),
    (16, 1.5, 0.12, 19.995, (87.6, 128.7, 150.6), (218, 320, 374)),
)

#: coarse thread of class 8.8, friction: printed preload [kN]
_COARSE = (
    ("M6", 0.10, 10.4), ("M6", 0.12, 10.2), ("M6", 0.14, 9.9), ("M8", 0.10, 19.1), ("M8", 0.12, 18.6), ("M8", 0.14, 18.1), ("M10", 0.10, 30.3),
    ("M10", 0.12, 29.6), ("M10", 0.14, 28.8), ("M12", 0.10, 44.1), ("M12", 0.12, 43.0), ("M12", 0.14, 41.9), ("M16", 0.10, 82.9),
    ("M16", 0.12, 80.9), ("M16", 0.14, 78.8),
)


def _farthest(pairs: Iterable[tuple[float, float]]) -> float:
    """Measured over printed value of the row that is farthest off."""
    return max((measured / printed for measured, printed in pairs), key=lambda ratio: abs(ratio - 1))


def closing_pressure() -> float:
    """Pressure [MPa] outside a closed sleeve 10/14 of steel that takes up 0.01 mm on the radius."""
    return lame.closing_pressure(0.01, 10.0, 14.0, 210e3)


def _seat_pressure(young: float, poisson: float) -> float:
    """Seat pressure [MPa] under 100 MPa on the same sleeve, on a solid shaft of another material."""
    compliance = lame.shaft_compliance(10.0, 0.0, young, poisson)
    return lame.seat_pressure(100.0, 0.01, 10.0, 14.0, 210e3, 0.3, compliance)


def _press_fit() -> float:
    """Pressure [MPa] of a hollow steel shaft 20/40 in a cast-iron hub 80 mm outside, 0.05 mm apart on diameter."""
    return lame.seat_pressure(0.0, -0.025, 20.0, 40.0, 100e3, 0.211, lame.shaft_compliance(20.0, 10.0, 207e3, 0.292))


def _first_yield() -> float:
    """Von Mises stress [MPa] at the bore of a hub of twice its bore under 128.571 MPa."""
    return lame.von_mises(-128.571, lame.hoop_at_bore(128.571, 0.0, 15.0, 30.0))


def _thin_slit_ring() -> float:
    """Force over E I δ/r³ that closes a thin ring with one slit on a rigid circle: r = 100, t = 1."""
    return 2 * math.pi * through_slit_ratio(100.0, 1.0, 4.0, 0.0) / 100.0 * 12 * 100.0**3


def _case(**keys: Any) -> dict[str, Any]:
    """Hand calculation of a closed sleeve 20 long on a shaft of 10, for 10 N·m without slip safety, keys changed (table__key=value)."""
    tables: dict[str, Any] = {
        "shaft": {"diameter": 10.0}, "sleeve": {"length": 20.0, "nose_wall": 1.4, "taper": 3.0, "clearance": 0.1},
        "ring": {"length": 20.0, "outer_diameter": 40.0, "start": 3.0}, "friction": {"cone": 0.1, "bore": 0.1},
        "duty": {"torque": 10.0, "slip_safety": 1.0},
    }
    return calculation.hand(Case.from_tables(tables, "by hand").changed({key.replace("__", "."): value for key, value in keys.items()}))


def _release() -> float:
    """Pull over push of the eight cones at the same radial force, over the table's."""

    def rows():
        for degrees, friction, on, off in _CONES:
            found = _case(sleeve__taper=degrees, ring__taper=degrees, friction__cone=friction)["refined"]
            yield found["release_force_N"] / found["clamp_force_N"], off / on

    return _farthest(rows())


def _bore_force() -> float:
    """Normal force [N] on a bore of 10 mm that carries 10 N·m at a friction of 0.1."""
    return _case()["grip_normal_force_N"]


def _fits() -> float:
    """Clearances of two fits in seven bands of size, over the printed ones."""
    found = ((clearances(fit, size), limits) for fit, rows in _FITS.items() for size, limits in zip(_SIZES, rows, strict=True))
    return _farthest(pair for fit, (least, most) in found for pair in ((1e3 * fit.tightest, least), (1e3 * fit.loosest, most)))


def _tightened(of_torque: bool) -> float:
    """Greatest preloads of fine threads, or torques that bring them, over the printed ones."""

    def rows():
        for d, pitch, friction, head, forces, torques in _FINE:
            thread = Thread(d, pitch)
            lever = torque_over_preload(thread, head, Friction(friction, friction))
            for name, force, torque in zip(("8.8", "10.9", "12.9"), forces, torques, strict=True):
                found = greatest_preload(thread, property_class(name, d).yield_strength, friction)
                yield (found * lever / 1e3, torque) if of_torque else (found / 1e3, force)

    return _farthest(rows())


_STATICS, _PRINTED = "statics of a cone that slides, to six digits", "printed tables of tightening torques (edition of 2003)"
_CONE = "push and release of a cone, self-locking"
CHECKS = [
    Check("pressure that closes a closed sleeve by 0.01 mm", LAME, "MPa", 51.4286, 2e-6, EXACT, closing_pressure),
    Check("hoop stress at its bore then", LAME, "MPa", -210.0, 2e-6, EXACT, lambda: lame.hoop_at_bore(0.0, 51.4286, 10.0, 14.0)),
    Check("seat pressure, shaft of the same steel", LAME, "MPa", 48.5714, 2e-6, EXACT, lambda: _seat_pressure(210e3, 0.3)),
    Check("seat pressure, aluminium shaft", LAME, "MPa", 36.7738, 2e-6, EXACT, lambda: _seat_pressure(70e3, 0.33)),
    Check("seat pressure, rigid shaft", LAME, "MPa", 58.6207, 2e-6, EXACT, lambda: _seat_pressure(math.inf, 0.3)),
    Check("growth of the bore of a ring 10/20 under 100 MPa", LAME, "mm", 9.36508e-3, 2e-6, EXACT, lambda: lame.bore_expansion(100.0, 10.0, 20.0, 210e3, 0.3)),
    Check(
        "shortening of a wall without hoop stiffness", "r σ_r constant (derived here), evaluated by hand", "mm", 2.24315e-3, 3e-6, EXACT,
        lambda: lame.hoop_free_shortening(100.0, 10.0, 14.0, 210e3),
    ),
    Check(
        "press fit by hand, hollow steel shaft in cast iron", "Budynas & Nisbett, Shigley's Mechanical Engineering Design, ch. 7; numbers by hand", "MPa",
        49.1786, 2e-6, EXACT, _press_fit, "press fits",
    ),
    Check("pressure at which a hub first yields, as its von Mises stress", "DIN 7190-1 with von Mises, R_e (1 - Q²)/√(3 + Q⁴) (from memory)", "MPa", 300.0, 4e-6, EXACT, _first_yield),
    Check(
        "thin ring with one slit on a circle, force over E I δ/r³", "curved beam on a rigid circle, derived here", "", 5.655, 0.01,
        "the thin limit of a fitted formula, 0.74 % high when measured", _thin_slit_ring, "slit formulas by hand",
    ),
    Check(
        "push over radial force of eight cones, over the table's", _STATICS, "", 1.0, 4e-6, EXACT,
        lambda: _farthest((push_over_radial_force(math.radians(degrees), friction), on) for degrees, friction, on, _ in _CONES), _CONE,
    ),
    Check("pull off over push on of eight cones, over the table's", _STATICS, "", 1.0, 6e-6, EXACT, _release, _CONE),
    Check(
        "travel that closes 0.05 mm at four tapers, over the table's", "geometry of the taper, c/tan α", "", 1.0, 3e-6, EXACT,
        lambda: _farthest((_case(sleeve__taper=degrees, ring__taper=degrees)["plain"]["closing_travel_mm"], travel) for degrees, travel in _TRAVELS),
    ),
    Check("normal force that carries 10 N·m on 10 mm", "2 T/(μ d), by hand", "N", 20_000, 1e-6, EXACT, _bore_force),
    Check(
        "torque carried beside a thrust", "Coulomb friction, r √((μN)² - F²)", "N mm", 8660.25, 1e-6, EXACT, lambda: usable_torque(20e3, 1e5, 0.1, 1e3),
    ),
    Check(
        "stress areas of coarse threads M3 to M24, over the table's", "ISO 68-1 and ISO 724; ISO 898-1, reprinted table", "", 1.0, 1e-5, "rounding of the table's digits",
        lambda: _farthest((screw(size).thread.stress_area, area) for size, area in _AREAS.items()),
    ),
    Check("preloads of fine threads, over the table's", _PRINTED, "", 1.0, 0.004, "the table has three digits, 0.28 % off when measured", lambda: _tightened(False)),
    Check(
        "preloads of coarse threads of class 8.8, over the table's", "VDI 2230-1, Table A1 (from memory)", "", 1.0, 0.005, "the table has three digits, 0.45 % off when measured",
        lambda: _farthest((greatest_preload(screw(size).thread, 640.0, friction) / 1e3, force) for size, friction, force in _COARSE),
    ),
    Check("tightening torques of fine threads, over the table's", _PRINTED, "", 1.0, 0.008, "the table has two or three digits, 0.66 % off when measured", lambda: _tightened(True)),
    Check(
        "preload of an M8 at 25 N·m, friction 0.12", "VDI 2230-1, torque turned round by hand", "N", 18_707.7, 6e-6, "d2 is rounded to 7.188 there",
        lambda: preload(25e3, screw("M8").thread, 10.665, Friction(0.12, 0.12)),
    ),
    Check("extreme clearances of H7/g6 and H8/f7 over seven bands, over the table's", "ISO 286-2, reprinted table", "", 1.0, 1e-9, "table values", _fits),
]
