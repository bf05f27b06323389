"""How many stretches of contact points a follower edge gets: more than one where the leader is much finer, or where a corner presses."""

from __future__ import annotations

import numpy as np

#: greatest distance of contact points over the shortest leader edge that they may come upon. With 2, one of
#: two hard designs did not converge; with 1 both did
_SPACING = 1.0
#: most panels of an edge
_MOST = 32
#: where the panels at a chain's ends are cut once more [-], from the chain's inside: what presses there is a corner, and the last of five
#: points of a whole panel lies a twentieth of it away. Of designs whose tapers differ one moved by 48 and then 32 % in travel from mesh
#: to mesh, now by 18 and 12; one by 5 % in force, its force rippled with the leader's edges that the corner passed, now by 0.5; one soft
#: sleeve missed 3.7 % of the work, now 0.2. Twenty others take 1.6 % more iterations and end within 1e-4
_CUTS = (0.8, 0.96)


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


def stretches(counts: np.ndarray, corners: bool) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Edge (k,), and middle and half length (k,) in its local coordinate [-], of the panels of a chain; counts (e,) are those of each edge.

    An edge's panels are alike, but for corners, which cuts those at the chain's two ends more finely toward the end.
    """
    edge = np.repeat(np.arange(len(counts)), counts)
    before = np.arange(len(edge)) - np.repeat(np.cumsum(counts) - counts, counts)
    borders = np.append(edge + before / counts[edge], len(counts))  # an edge counts as 1
    if corners:
        cuts = np.array(_CUTS)
        last = borders[-2] + cuts * (borders[-1] - borders[-2])
        borders = np.sort(np.concatenate([borders, borders[1] * (1 - cuts), last]))
    middle = (borders[1:] + borders[:-1]) / 2
    edge = middle.astype(int)
    return edge, 2 * (middle - edge) - 1, np.diff(borders)
