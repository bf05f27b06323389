"""Clearance of a bore on a shaft from a fit designation.

Source: ISO 286-1 (standard tolerances, fundamental deviations) and ISO 286-2 (limit deviations), the printed
tables from 3 to 250 mm. They govern: the formulas behind them, rounded, miss some entries by a micrometre.
The row of k, and all above 120 mm, is from memory; k equals the rounded formula 0.6 D^(1/3). Between 120 and 250 mm
the standard has finer bands for some deviations; those of f, g, h and k are the same in them.
"""

import re
from dataclasses import dataclass

# Bands are "over the first up to and including the second" [mm].
BANDS = ((3, 6), (6, 10), (10, 18), (18, 30), (30, 50), (50, 80), (80, 120), (120, 180), (180, 250))

# Standard tolerance [micrometre] by grade, one figure a band.
GRADES = {
    6: (8, 9, 11, 13, 16, 19, 22, 25, 29),
    7: (12, 15, 18, 21, 25, 30, 35, 40, 46),
    8: (18, 22, 27, 33, 39, 46, 54, 63, 72),
    9: (30, 36, 43, 52, 62, 74, 87, 100, 115),
}

# Deviation of the shaft's limit nearest the nominal size [micrometre]: the upper for f, g, h, the lower for k.
DEVIATIONS = {
    "f": (-10, -13, -16, -20, -25, -30, -36, -43, -50),
    "g": (-4, -5, -6, -7, -9, -10, -12, -14, -15),
    "h": (0, 0, 0, 0, 0, 0, 0, 0, 0),
    "k": (1, 1, 1, 2, 2, 2, 3, 3, 4),
}

BORES = ("H7", "H8", "H9")
SHAFTS = ("f7", "g6", "h6", "h7", "h8", "h9", "k6")
#: the next of SHAFTS that leaves less play at most and never overlaps
_LESS_PLAY = {"h9": "h8", "h8": "h7", "h7": "h6", "f7": "g6", "g6": "h6"}


@dataclass(frozen=True)
class Clearances:
    """Diametral clearance [mm] between the limits of a fit; below 0 it is an interference."""

    tightest: float
    middle: float
    loosest: float


def clearances(fit: str, diameter: float) -> Clearances:
    """Clearances [mm, on diameter] of a fit such as "H8/h7" at a nominal diameter [mm, over 3 up to 250].

    Raises ValueError, with a sentence, for a fit or a size outside the tables.
    Source: ISO 286-1 and ISO 286-2.
    >>> clearances("H8/f7", 20)
    Clearances(tightest=0.02, middle=0.047, loosest=0.074)
    """
    (bore_low, bore_high), (shaft_low, shaft_high) = deviations(fit, diameter)
    tightest, loosest = bore_low - shaft_high, bore_high - shaft_low
    return Clearances(tightest / 1000, (tightest + loosest) / 2000, loosest / 1000)


def deviations(fit: str, diameter: float) -> tuple[tuple[int, int], tuple[int, int]]:
    """Lower and upper deviation [micrometre] of bore and of shaft, of a fit as in `clearances`, which see.

    >>> deviations("H8/f7", 20)
    ((0, 33), (-41, -20))
    """
    bore, shaft = _split(fit)
    band = _band(diameter)
    return bore_limits(bore, band), shaft_limits(shaft, band)


def bore_limits(bore: str, band: int) -> tuple[int, int]:
    """Lower and upper deviation [micrometre] of one of BORES in a band (index into BANDS)."""
    return 0, GRADES[int(bore[1:])][band]


def shaft_limits(shaft: str, band: int) -> tuple[int, int]:
    """Lower and upper deviation [micrometre] of one of SHAFTS in a band (index into BANDS)."""
    near, width = DEVIATIONS[shaft[0]][band], GRADES[int(shaft[1:])][band]
    return (near, near + width) if shaft[0] == "k" else (near - width, near)


def _split(fit: str) -> tuple[str, str]:
    parts = re.fullmatch(r"\s*(\w+)\s*/\s*(\w+)\s*", fit)
    if parts and parts[1] in BORES and parts[2] not in SHAFTS and "j" <= parts[2][0] <= "z":
        raise ValueError("must be a fit that never overlaps; shafts of j to z reach above the nominal size")
    if parts is None or parts[1] not in BORES or parts[2] not in SHAFTS:
        clear = [shaft for shaft in SHAFTS if shaft[0] < "j"]
        raise ValueError(
            f"must be bore/shaft, such as H8/h7, with a bore {', '.join(BORES)} and a shaft {', '.join(clear)}; "
            "for any other give sleeve.clearance"
        )
    return parts[1], parts[2]


def _band(diameter: float) -> int:
    for index, (over, up_to) in enumerate(BANDS):
        if over < diameter <= up_to:
            return index
    raise ValueError(
        f"the fit tables go from over {BANDS[0][0]} to {BANDS[-1][1]} mm and the shaft has {diameter:g} mm; "
        "give sleeve.clearance"
    )


def of(case) -> Clearances | None:
    """The clearances of a case's fit [mm, on diameter], None where one clearance is given."""
    return clearances(case.sleeve.fit, case.shaft.diameter) if case.sleeve.fit else None


def tighter(fit: str) -> str | None:
    """The fit with the next finer bore, or with H7 the next shaft that leaves less play; None where there is none.

    >>> tighter("H8/h7"), tighter("H7/f7"), tighter("H7/h6")
    ('H7/h7', 'H7/g6', None)
    """
    bore, shaft = _split(fit)
    if bore != BORES[0]:
        return f"{BORES[BORES.index(bore) - 1]}/{shaft}"
    return f"{bore}/{_LESS_PLAY[shaft]}" if shaft in _LESS_PLAY else None
