"""Rounded edges that press on a straight partner: where they are.

A flat face with a rounded edge presses hardest just outside the point where its arc begins, and over a width d beyond it that is
a small part of the radius: p_max = 0.38 E* d/R (derived in the tests), so that peaks of 800 to 3000 MPa between steels have d/R
from 0.02 to 0.07.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from colletfea.meshing.frame import Fillet
from colletfea.meshing.section import Section

#: names of the edges; the last two are the nose's on the cone and on the bore
LEADING, TRAILING, NOSE, MOUTH = "ring leading", "ring trailing", "nose outside", "nose inside"


class RoundedEdge(NamedTuple):
    """An arc between two faces of a body, and the straight edge of another body that it may press on.

    The face goes straight up to `at` (2,) and bends about `centre` (2,) from there towards `vertex` (2,), (r, z) [mm].
    """

    body: str
    edge: str
    partner_body: str
    partner: str
    at: np.ndarray
    centre: np.ndarray
    vertex: np.ndarray

    @property
    def radius(self) -> float:
        """Radius of the arc [mm]."""
        return float(np.hypot(*(self.at - self.centre)))


def rounded_edges(section: Section) -> dict[str, RoundedEdge]:
    """The rounded edges of a section's contacts, by name."""
    s = section
    found = {}
    if s.edge_radius:
        low, high = s.ring_start, s.ring_end
        leading, trailing = s.ring_bore()
        corners = np.array([(s.ring_radius, low), (leading, low), (trailing, high), (s.ring_radius, high)])
        names = ("ring", "ring.cone", "sleeve", "sleeve.cone")
        for name, walk in ((LEADING, corners[:3]), (TRAILING, corners[:0:-1])):
            fillet = Fillet.at(*walk, s.edge_radius)
            found[name] = RoundedEdge(*names, fillet.on_head, fillet.centre, fillet.vertex)
    if s.nose_radius:
        cone, bore = (s.nose_cone_radius, s.length), (s.bore_radius, s.length)
        outside = Fillet.at(*np.array([(s.root_radius, 0), cone, bore]), s.nose_radius)
        inside = Fillet.at(*np.array([(s.bore_radius, 0), bore, cone]), s.nose_radius)
        for name, fillet, names in (
            (NOSE, outside, ("sleeve", "sleeve.cone", "ring", "ring.cone")),
            (MOUTH, inside, ("sleeve", "sleeve.bore", "shaft", "shaft.seat")),
        ):
            found[name] = RoundedEdge(*names, fillet.on_leg, fillet.centre, fillet.vertex)
    return found
