"""What slits make of a sleeve in a ring-shaped model: hoop ratio eta and fill fraction f at every station.

`of(case)` reads a case; the formulas and their sources are in colletfea.cases.hand.slit_formulas. Lengths in mm, z from the
sleeve's back face (0) to its nose (L). Slits holds plain numbers as Wall and Flange do, so that the hand calculation can ask
what another wall, another pattern or another flange would do.
"""

import math

from colletfea.cases.hand import slit_formulas as formulas
from colletfea.cases.hand.geometry import Flange, Wall, sizes

FORMULA_NAMES = {
    "none": "closed ring",
    "through": "slit ring closed by a cone: curved beam with anticlastic restraint, fitted to 3D results",
    "through, flange cut": "slit ring closed by a cone, with the cut flange bent along",
    "through, flange not cut": "slit ring closed by a cone, held round by the flange",
    "fingers": "arcs of a cylinder as fingers on a closed base ring, fitted to 3D results",
    "alternating": "ring slotted from both ends in turn, fitted to 3D results",
    "given": "hoop stiffness given in the case",
}

# Greatest difference of the closing stiffness from the 3D study [%], measured with the law in a ring model, for a cut flange
# with the sum of the hand calculation. Two through slits: a judgement, nothing was measured.
SCATTER_PERCENT = {
    "none": 0.0,
    "through": 2.0,
    "two slits": 10.0,
    "through, flange cut": 6.0,
    "through, flange not cut": 11.0,
    "fingers": 15.0,
    "alternating": 30.0,
    "given": None,
}

# Cone pressure near the slots over the mean: the upper end of 1.1-1.4 and of 1.4-2.5 found in the 3D study.
CONE_PEAKS = {"fingers": 1.4, "alternating": 2.5}


class Slits:
    """Slits of a sleeve, with the attribute names of the case file."""

    def __init__(
        self,
        pattern: str = "none",
        count: int = 0,
        width: float = 0.0,
        depth: float = 0.0,
        cuts_flange: bool = True,
        hoop_stiffness: float | None = None,
    ):
        self.pattern, self.count, self.width, self.depth = pattern, count, width, depth
        self.cuts_flange, self.hoop_stiffness = cuts_flange, hoop_stiffness


class Piece:
    """Stretch of the sleeve, start to end [mm], over which eta is smooth and the number of cuts constant."""

    def __init__(self, start: float, end: float, cuts: int, law):
        self.start, self.end, self.cuts = start, end, cuts
        self._law = law

    def ratio(self, z: float) -> float:
        """Hoop ratio eta at z, from inside this stretch also at its ends."""
        return self._law(z)


class SlitModel:
    """Hoop ratio and fill fraction of a sleeve and its flange.

    pieces: tuple of Piece in order of z. eta and f jump where one ends: put an element boundary there, and build any
    table of eta piece by piece (`Piece.ratio` is one-sided at its ends; the calls take one float each).
    kind, name, scatter_percent: the formula; scatter None where eta was given.
    slotted_from [mm]: closing acts from here to the nose (0 but for fingers). shuts_at [mm]: radial closing at which the
    slots are shut, None without slots. flange_ratio: eta of the flange, constant.
    """

    def __init__(
        self,
        kind: str,
        pieces: tuple[Piece, ...],
        slits,
        flange_ratio: float,
        flange_cuts: int,
        scatter_percent: float | None,
        slotted_from: float = 0.0,
    ):
        self.kind, self.name, self.scatter_percent = kind, FORMULA_NAMES[kind], scatter_percent
        self.pieces, self.slotted_from = pieces, slotted_from
        self.flange_ratio = flange_ratio
        self._width, self._flange_cuts = slits.width, flange_cuts
        self.shuts_at = None if slits.pattern == "none" else formulas.shut_closing(slits.count, slits.width)

    def piece(self, z: float) -> Piece:
        """The stretch that holds z; at a jump the one towards the nose. Outside the sleeve, the nearest."""
        return next((piece for piece in self.pieces if z < piece.end), self.pieces[-1])

    def ratio(self, z: float) -> float:
        """Hoop ratio eta of the sleeve at z."""
        return self.piece(z).ratio(z)

    def fill(self, z: float, radius):
        """Fill fraction f of the sleeve at z (a float) and at a radius [mm, may be an array]."""
        return formulas.fill_fraction(self.piece(z).cuts, self._width, radius)

    def flange_fill(self, radius):
        """Fill fraction f of the flange at a radius [mm, may be an array]."""
        return formulas.fill_fraction(self._flange_cuts, self._width, radius)

    def breakpoints(self) -> tuple[float, ...]:
        """Stations inside the sleeve where eta or f jumps [mm]."""
        return tuple(piece.end for piece in self.pieces[:-1])


def of(case) -> SlitModel:
    """Slit model of a case (anything with the attributes of a case's shaft, sleeve and ring)."""
    size, sleeve = sizes(case), case.sleeve
    return slit_model(size.wall, sleeve.slits, size.flange, size.ring.start, sleeve.material.poisson)


def slit_model(wall: Wall, slits, flange: Flange, start: float, poisson: float) -> SlitModel:
    """Slit model of a wall with slits (attributes of Slits); start [mm] is where the cone's contact begins."""
    patterns = {"none": _closed, "through": _through, "fingers": _fingers, "alternating": _alternating}
    model = patterns[slits.pattern](wall, slits, flange, start, poisson)
    return model if slits.hoop_stiffness is None else _given(model, slits)


def _given(model: SlitModel, slits) -> SlitModel:
    """The same cuts with the case's own eta at every station, and in a flange that is cut."""
    pieces = tuple(Piece(p.start, p.end, p.cuts, lambda z: slits.hoop_stiffness) for p in model.pieces)
    cut = model.kind == "through, flange cut"
    flange_ratio = slits.hoop_stiffness if cut else 1.0
    return SlitModel(
        "given", pieces, slits, flange_ratio, slits.count if cut else 0, None, model.slotted_from
    )


def _closed(wall: Wall, slits, flange: Flange, start: float, poisson: float) -> SlitModel:
    pieces = (Piece(0.0, wall.length, 0, lambda z: 1.0),)
    return SlitModel("none", pieces, slits, 1.0, 0, SCATTER_PERCENT["none"])


def _through(wall: Wall, slits, flange: Flange, start: float, poisson: float) -> SlitModel:
    def plain(z: float) -> float:
        return formulas.through_slit_ratio(
            wall.radius(z), wall.thickness(z), wall.length, poisson, slits.count
        )

    kind, law, flange_ratio, flange_cuts = "through", plain, 1.0, 0
    if flange.thickness and slits.cuts_flange:
        kind, flange_ratio, flange_cuts = "through, flange cut", formulas.FLANGE_FOLLOWS, slits.count
        law = _bent_with_flange(wall, flange, start, plain)
    elif flange.thickness:
        kind, law = "through, flange not cut", _held_by_flange(wall, plain)
    scatter = (
        SCATTER_PERCENT[kind]
        if slits.count == 1
        else max(SCATTER_PERCENT["two slits"], SCATTER_PERCENT[kind])
    )
    pieces = (Piece(0.0, wall.length, slits.count, law),)
    return SlitModel(kind, pieces, slits, flange_ratio, flange_cuts, scatter)


def _bent_with_flange(wall: Wall, flange: Flange, start: float, plain):
    """Law of a sleeve whose flange is cut too: the flange's stiffness is spread over the wall."""
    bending = formulas.flange_bending(wall.bore_radius, flange.radius, flange.thickness)
    stiffness = formulas.cut_flange_stiffness(bending, wall.radius(0), wall.thickness(0), start)
    addition = stiffness / (2 * math.pi * wall_over_radius(wall, 0.0, wall.length))
    return lambda z: plain(z) + addition


def _held_by_flange(wall: Wall, plain):
    """Law of a sleeve whose slit ends at a flange that is not cut."""
    middle = wall.radius(wall.length / 2)

    def law(z: float) -> float:
        share = formulas.uncut_flange_share(z, wall.radius(z), middle, wall.length)
        return plain(z) + (1 - plain(z)) * share

    return law


def wall_over_radius(wall: Wall, start: float, end: float) -> float:
    """Integral of t/r dz [mm] between two stations, in closed form: t/r = 2 - 2 a/r with r linear in z."""
    if wall.slope == 0:
        return (end - start) * wall.thickness(start) / wall.radius(start)
    logarithm = math.log(wall.radius(start) / wall.radius(end))
    return 2 * (end - start) - 4 * wall.bore_radius / wall.slope * logarithm


def _fingers(wall: Wall, slits, flange: Flange, start: float, poisson: float) -> SlitModel:
    root = wall.length - slits.depth
    station = root + 0.25 * slits.depth
    radius, reference_wall = wall.radius(station), wall.thickness(station)
    slotted_from = root + 0.10 * formulas.finger_width(radius, slits.count, slits.width)
    eta = formulas.finger_ratio(radius, slits.depth, root, slits.count, slits.width)
    stretches = (
        (0.0, root, 0, lambda z: 1.0),
        (root, min(slotted_from, wall.length), slits.count, lambda z: 1.0),
        (
            slotted_from,
            wall.length,
            slits.count,
            lambda z: min(1.0, eta * reference_wall / wall.thickness(z)),
        ),
    )
    pieces = tuple(Piece(*stretch) for stretch in stretches if stretch[1] > stretch[0])
    return SlitModel("fingers", pieces, slits, 1.0, 0, SCATTER_PERCENT["fingers"], slotted_from)


def _alternating(wall: Wall, slits, flange: Flange, start: float, poisson: float) -> SlitModel:
    mean = wall.thickness(wall.length / 2)

    def law(z: float) -> float:
        radius, thickness = wall.radius(z), wall.thickness(z)
        return formulas.alternating_ratio(radius, thickness, wall.length, slits.depth, slits.count, slits.width, mean)

    ligament = wall.length - slits.depth
    stations = (0.0, ligament, slits.depth, wall.length)
    cuts = (slits.count, 2 * slits.count, slits.count)
    pieces = tuple(Piece(stations[k], stations[k + 1], cuts[k], law) for k in range(3))
    return SlitModel("alternating", pieces, slits, 1.0, 0, SCATTER_PERCENT["alternating"])
