"""Why a push, or a stage after it, found no equilibrium: what its accepted states show, in words, with what to change."""

from __future__ import annotations

from collections.abc import Sequence

from colletfea.cases.casefile.case import Case
from colletfea.cases.hand import slit_model
from colletfea.cases.simulation.measures import closing
from colletfea.cases.simulation.model import BORE, CONE
from colletfea.fea.bodies.measures import flowed
from colletfea.fea.contact.resultants import Resultant, resultant
from colletfea.fea.model.model import Model
from colletfea.fea.stepping.state import State

#: from here on a cause is named, each a share: of a part that has flowed, of the closing at which slots shut, of the longest
#: contact that is left of the seat; and the elements over which a cone still touches. Common practice, no source: they say
#: what to look at, and decide nothing
_FLOWED, _SHUT, _SEAT, _ELEMENTS = 0.5, 0.9, 0.5, 3
#: largest pressure on the cone over its mean from which an edge presses: 2 to 4 on cones that bear over their length, 5 to 15 where a
#: soft ring overhangs a sleeve
_EDGE = 5
#: mesh sizes over the radial clearance from which a gap is decided inside one element's own bend
_COARSE = 400


def cause(case: Case, model: Model, states: Sequence[State], size: float) -> str:
    """A sentence on what the states of a push show at its last one, and what to change; size is the mesh's [mm].

    Several may be at work: the first one found is named, the most certain first.
    """
    last = states[-1]
    seen = (
        _collapse(model, last), _slots(case, model, last), _sliding_off(model, last, size), _opening(model, states), _coarse(case, size),
        _edge(model, last), _beginning(case, states),
    )  # fmt: skip
    return next(filter(None, seen), "Its last state shows no cause; try a finer mesh.size, more solver.increments, or --fine.")


def cause_of_stage(case: Case, model: Model, last: State, size: float) -> str:
    """The same as a clause, on the last state of a stage after the push; size is the mesh's [mm].

    A seat that opens is no cause there, for a ring that is drawn back opens it; and solver.increments are those of the push.
    """
    seen = (_collapse(model, last), _slots(case, model, last), _sliding_off(model, last, size), _coarse(case, size), _edge(model, last))
    said = next(filter(None, seen), "Its last state shows no cause: try a finer mesh.size, or --fine.")
    return said[0].lower() + said[1:].rstrip(".")


def _collapse(model: Model, last: State) -> str:
    if last.flow is None:
        return ""
    part, worst = max(flowed(model.solid, last.flow).items(), key=lambda item: item[1].share)
    if worst.share < _FLOWED:
        return ""
    return (
        f"The {part} has flowed in {100 * worst.share:.0f} % of its volume and can hardly carry more: pull less, or change its "
        f"wall or {part}.material."
    )


def _slots(case: Case, model: Model, last: State) -> str:
    shuts = slit_model.of(case).shuts_at
    if shuts is None or closing(model, last) < _SHUT * shuts:
        return ""
    return (
        f"The slots have closed by {100 * closing(model, last) / shuts:.0f} % of their width: choose wider sleeve.slits.width or a "
        "smaller clearance."
    )


def _sliding_off(model: Model, last: State, size: float) -> str:
    cone = _seat(model, last, CONE)
    if not 0 < cone.length < _ELEMENTS * size:
        return ""
    return (
        f"Ring and sleeve touch over {cone.length:.2g} mm of the cone only, less than {_ELEMENTS} elements of {size:.2g} mm: an edge "
        "presses or is about to slide off; change ring.start or ring.length, bring ring.taper nearer to sleeve.taper, or refine mesh.size."
    )


def _opening(model: Model, states: Sequence[State]) -> str:
    lengths = [_seat(model, state, BORE).length for state in states]
    if lengths[-1] >= _SEAT * max(lengths) or max(lengths) == 0:
        return ""
    return (
        f"The seat is opening: sleeve and shaft touch over {lengths[-1]:.2g} mm, and did so over {max(lengths):.2g} mm: choose a "
        "thicker sleeve.nose_wall or a longer ring."
    )


def _coarse(case: Case, size: float) -> str:
    gap = case.sleeve.clearance / 2
    if not 0 < gap < size / _COARSE:
        return ""
    return (
        f"Elements of {size:.2g} mm are coarse for a gap of {gap * 1e3:.2g} µm: set mesh.size to {_COARSE * gap:.2g} mm or less."
    )


def _edge(model: Model, last: State) -> str:
    cone = _seat(model, last, CONE)
    if not cone.peak_pressure >= _EDGE * cone.mean_pressure > 0:
        return ""
    return (
        f"An edge presses: the cone's largest pressure is {cone.peak_pressure / cone.mean_pressure:.2g} times its mean, and what touches "
        "there may change without end: round it by sleeve.nose_radius or ring.edge_radius, change ring.start or ring.length so that no "
        "part overhangs, or refine mesh.size."
    )


def _beginning(case: Case, states: Sequence[State]) -> str:
    if len(states) > 1:
        return ""
    return (
        "It did not come beyond its start, where the whole cone touches and nothing is pressed yet: a wall of "
        f"{case.sleeve.nose_wall:.2g} mm may lift off from one end. Choose a thicker sleeve.nose_wall, a finer mesh.size or more "
        "solver.increments."
    )


def _seat(model: Model, state: State, name: str) -> Resultant:
    return resultant(model.contact, state.contact, name)
