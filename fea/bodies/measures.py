"""What flowed in each body: integrals that meshes agree on, and the largest strain with its place."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from colletfea.fea.bodies.law import Flow
from colletfea.fea.bodies.solid import Solid


@dataclass(frozen=True)
class Flowed:
    """Plastic flow of one body, whole ring times fill.

    strain_integral [mm3] of alpha over the volume, work [N mm] put into flow, share [-] of the volume that ever flowed,
    largest [-] alpha at an integration point, and where, undeformed (r, z) [mm].
    """

    strain_integral: float
    work: float
    share: float
    largest: float
    r: float
    z: float


def flowed(solid: Solid, flow: Flow, keep: np.ndarray | None = None) -> dict[str, Flowed]:
    """What flowed in each body that may flow; keep (e, q) are the points that the largest strain is looked for at.

    At a moving edge of contact alpha grows with every refinement, along the whole stretch that the edge swept: integrals
    settle, the largest strain does so only away from there.
    """
    found = {}
    for name in solid.yielding:
        part = solid.slices[name]
        volume, alpha = solid.volume[part], flow.alpha[part]
        seen = alpha if keep is None else np.where(keep[part], alpha, 0.0)
        at = np.unravel_index(np.argmax(seen), seen.shape)
        r, z = solid.points[part][at]
        found[name] = Flowed(
            strain_integral=float(np.sum(alpha * volume)),
            work=float(np.sum(flow.work[part] * volume)),
            share=float(np.sum(volume[alpha > 0]) / np.sum(volume)),
            largest=float(seen[at]), r=float(r), z=float(z),
        )
    return found
