"""What a contact pair is, what its points keep from one increment to the next, and what an evaluation gives."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from colletfea.fea.contact.friction import Traction
from colletfea.fea.contact.projection import Projection
from colletfea.fea.elements.mesh import Field

OPEN, STICK, SLIP = 0, 1, 2


@dataclass(frozen=True)
class Pair:
    """Two edges that may touch. young [MPa] is the smaller modulus of the two bodies.

    normal and tangential are dimensionless penalties, times young / (follower's edge length). Augmentation takes the
    normal spring's give away where an edge touches all along, nothing that of the tangential one, and more increments don't heal it: of the shaft's reaction
    1 left out 7.7 % on a polymer sleeve and up to 1.1 % on ten others, 3 leaves out 2.6 % of that one's, 5 1.5 % and up to
    0.25 %. In sum 5 takes a fifth more iterations than 1, and 8 a tenth more than 5; 100 flips between stick and slip
    without end. slide [mm] is how far the follower goes along the leader: where it comes upon much finer edges it gets more points. corners tells
    that the follower's two ends may press, and gives them more points.
    friction [-] is Coulomb's coefficient. The fills [-], 0 to 1, are functions of reference (R, Z) [mm]: the part of the
    circumference that is there.
    """

    name: str
    follower: str
    leader: str
    young: float
    friction: float = 0.0
    normal: float = 3.0
    tangential: float = 5.0
    slide: float = 0.0
    corners: bool = False
    follower_fill: Field | None = None
    leader_fill: Field | None = None


@dataclass(frozen=True)
class History:
    """What an accepted state hands to the next increment, per contact point (n,) unless noted."""

    multiplier: np.ndarray  # [MPa] mean pressure of the point's follower edge, which its springs need not bear; 0 where nothing augments
    traction: np.ndarray  # (n, c) [MPa] meridional [, circumferential]
    arc: np.ndarray  # [mm] arc length of the foot point along the undeformed leader, its end off the chain
    gap: np.ndarray  # [mm], inf where the point does not project
    pressure: np.ndarray  # [MPa]
    angle: np.ndarray  # (nodes,) [rad], empty without twist

    def carrying(self, multiplier: np.ndarray) -> History:
        """The same with other multipliers (n,) [MPa], negative ones set to 0: contact does not pull."""
        return replace(self, multiplier=np.maximum(multiplier, 0.0))


class Closed(NamedTuple):
    """Kinematics of the closed points only (m,), kept for the tangent; lengths in mm. Points are the last axis.

    Loops over hundreds of points cost less than loops over their two or three components.
    """

    index: np.ndarray  # numbers among all points
    edge: np.ndarray  # leader edges they stand on
    follower: tuple[np.ndarray, np.ndarray]  # shape functions (3, m) and slopes (3, m)
    leader: tuple[np.ndarray, np.ndarray]  # the same of the leader, at the foot
    tangent: np.ndarray  # (2, m) unit, along the leader's chain
    normal: np.ndarray  # (2, m) unit, out of the leader
    stretch: np.ndarray  # [mm] |dx/dxi| of the leader
    bend: np.ndarray  # (2, m) [mm] d2x/dxi2 of the leader
    reference: tuple[np.ndarray, np.ndarray]  # [mm] |dX/dxi| of the leader and its slope in xi
    travel: np.ndarray  # [mm] reference arc length since the last accepted state
    goes: np.ndarray  # [-] 1 where travel goes along with the foot, 0 where it stays: past the end of its edge
    turn: np.ndarray  # [rad] relative angle gained since then
    turn_slope: np.ndarray  # [rad] d(leader's gained angle)/dxi
    radius: np.ndarray  # [mm] current, of the point
    jacobian: np.ndarray  # [mm] |dx/dxi| of the follower
    follower_tangent: np.ndarray  # (2, m) unit, along the follower's chain
    leader_fill: tuple[np.ndarray, np.ndarray]  # [-] fill at the foot and its slope in xi


@dataclass(frozen=True)
class Evaluation:
    """Forces of one trial position. Arrays (n,) over all contact points of all pairs."""

    force: np.ndarray  # (size,) [N; N mm], to be added to the internal force
    gap: np.ndarray  # [mm] < 0 where they overlap, inf where the point does not project
    pressure: np.ndarray  # [MPa] > 0 closes
    traction: np.ndarray  # (n, c) [MPa] meridional [, circumferential]; along the follower's slip
    slip: np.ndarray  # (n, c) [mm] in this increment
    status: np.ndarray  # OPEN, STICK or SLIP
    area: np.ndarray  # [mm2], whole ring times fill; of the follower's current surface, 0 where no foot
    length: np.ndarray  # [mm] share of the follower's current meridional length
    position: np.ndarray  # (n, 2) [mm] current (r, z)
    foot: Projection  # edge numbers count through all leaders
    arc: np.ndarray  # [mm] History.arc of the foot
    angle: np.ndarray  # (nodes,) [rad], empty without twist
    closed: Closed
    law: Traction
    multiplier: np.ndarray  # [MPa] History.multiplier it was evaluated with

    def history(self) -> History:
        """History to commit when the increment is accepted."""
        return History(self.multiplier, self.traction, self.arc, self.gap, self.pressure, self.angle)
