"""A shaft pressed into a hub."""

from helpers.contact import build, hold, solve, touching

from colletfea.fea.contact.pair import Pair
from colletfea.fea.elements.grids import block, join, spread
from colletfea.fea.model.drives import Z


def fit(bore, radius, outside, interference, length, laws, elements=8, held=False, augment=True, normal=Pair.normal, **kept):
    """Pressed shaft and hub, free ends (or both ends held in z); interference is radial [mm]."""
    half = interference / 2
    shaft = block(bore, radius + half, spread(0, length, 2), spread(0, 1, elements))
    hub = block(radius - half, outside, spread(0, length, 3), spread(0, 1, elements))
    mesh = join({"shaft": shaft, "hub": hub})
    soft = min(law.young for law in laws.values())
    model = build(mesh, (touching("hub.inner", "shaft.outer", young=soft, normal=normal),), laws, **kept)
    if held:
        drives = [hold(f"{body} {side}", f"{body}.{side}", Z) for body in laws for side in ("bottom", "top")]
    else:
        drives = [hold(body, f"{body}.bottom", Z) for body in laws]
    (state,) = solve(model, drives, residual=1e-8, augment=augment)
    return model, state
