"""How many stretches of contact points a follower edge gets: more than one where the leader is much finer."""

from __future__ import annotations

import numpy as np

#: greatest distance of contact points over the shortest leader edge that they may come upon. With 2, one of
#: two hard designs did not converge; with 1 both did
_SPACING = 1.0
#: most panels of an edge
_MOST = 32


def panels(follower: np.ndarray, leader: np.ndarray, slide: float, order: int) -> np.ndarray:
    """Panels (e,) of follower edges (e, 3, 2), each with `order` points, against leader edges (l, 3, 2) [mm].

    slide [mm] is how far the follower goes along the leader. With too few points one of them would bear down
    on a leader edge for the whole of what it stands for, and dent it.
    """
    own, theirs = (np.linalg.norm(x[:, 1] - x[:, 0], axis=1) for x in (follower, leader))
    if np.max(own, initial=0.0) <= order * _SPACING * np.min(theirs, initial=np.inf):
        return np.ones(len(own), int)
    away = np.linalg.norm(follower[:, None, 2] - leader[None, :, 2], axis=2) - (own[:, None] + theirs) / 2
    shortest = np.min(np.where(away <= slide, theirs, np.inf), axis=1)
    return np.clip(np.ceil(own / (order * _SPACING * shortest)).astype(int), 1, _MOST)
