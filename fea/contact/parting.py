"""Points that touched and no longer do: how far they went along their leader all the same."""

from __future__ import annotations

import numpy as np

from colletfea.fea.contact.contact import Contact
from colletfea.fea.contact.pair import OPEN, Evaluation


def parted(contact: Contact, before: Evaluation, now: Evaluation, move: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Numbers (m,) of the points closed before and open now, and their paths (m, c) [mm], signed as Evaluation.slip.

    move (size,) [mm; rad] is what the nodes moved in between. A path is that of the point relative to what it stood on
    before, along the leader's tangent of that time: a point that has left the leader's end has no foot to measure by.
    """
    rows = np.flatnonzero(now.status[before.closed.index] == OPEN)
    c, index = before.closed, before.closed.index[rows]
    field = move.reshape(-1, contact.unknowns)
    own = np.einsum("am,amk->km", c.follower[0][:, rows], field[contact.nodes_of[:, index]])
    leader = np.einsum("am,amk->km", c.leader[0][:, rows], field[contact.leader_nodes[:, c.edge[rows]]])
    path = np.sum((own - leader)[:2] * c.tangent[:, rows], axis=0)[:, None]
    if contact.unknowns == 2:
        return index, path
    return index, np.column_stack([path, c.radius[rows] * (own - leader)[2]])
