"""What else loads the seat: speed, temperature and a pull across the shaft, as forces, stresses and verdicts."""

from __future__ import annotations

from typing import Any

from colletfea.cases.casefile.case import Case
from colletfea.cases.hand import rings
from colletfea.cases.hand.corners import Reached
from colletfea.cases.hand.corners import Seat as Carried
from colletfea.cases.hand.coupling import Coupling, coupling
from colletfea.cases.hand.radial import RadialPull, Seat, radial_pull
from colletfea.cases.hand.shaft import duty_load, shaft_stresses
from colletfea.cases.judgement import blocks
from colletfea.cases.judgement.corner import cut_short, where
from colletfea.cases.judgement.strength import Added
from colletfea.cases.stored.verdict import Verdict


def service_of(case: Case) -> rings.Service | None:
    """What speed and temperatures take from a seat that touches along the whole sleeve; None without [service]."""
    if case.service is None:
        return None
    c, asked = coupling(case), case.service
    return rings.service(rings.rings_of(c, case), c.length, asked.speed, asked.ring_hotter, asked.warmer)


def lost(service: rings.Service | None) -> dict[str, float]:
    """Normal force [N] that each pair loses at most on its way through service; 0 where it only tightens."""
    if service is None:
        return {}
    cone = _on_the_way(service.cone_lost_by_speed, service.cone_lost_by_temperature)
    return {"bore": max(0.0, *_bore_on_the_way(service)), "cone": max(0.0, *cone)}


def added(service: rings.Service | None) -> Added:
    """What service adds to the stresses: each the greatest on the way, though both need not come at once."""
    if service is None:
        return Added()
    return Added(max(service.hoop_by_speed, 0.0), max(0.0, *(-force for force in _bore_on_the_way(service))))


def _bore_on_the_way(service: rings.Service) -> tuple[float, float, float]:
    return _on_the_way(service.lost_by_speed, service.lost_by_temperature)


def _on_the_way(by_speed: float, by_temperature: float) -> tuple[float, float, float]:
    """Force [N] lost cold at speed, warm at speed and warm at rest, < 0 where the pair tightens.

    The states of the simulated service: warmth that comes later saves no cold start, and speed spares no warm machine that stops.
    """
    return by_speed, by_speed + by_temperature, by_temperature


def service_block(service: rings.Service | None, stiffness: float | None, grip: Reached | None = None) -> dict[str, Any] | None:
    """Block `service` of the results, of the corner that grips least; None without [service].

    By simulation where that was run, with the formulas' values beside it, else by the formulas, and why. stiffness [N/µm]: the
    bore's normal force per radial interference at a fixed travel.
    """
    if service is None:
        return None
    by_hand = {
        "grip_lost_N": service.lost,
        "by_temperature_N": service.lost_by_temperature,
        "by_speed_N": service.lost_by_speed,
        "most_lost_N": lost(service),
    }
    found = blocks.served(grip.served) if grip else None
    return {
        **(found or by_hand),
        "by": "simulation" if found else "formulas",
        "because": grip.unserved if grip else "",
        "corner": grip.corner.name if grip else None,
        "by_hand": by_hand,
        "push_force_change_N": found and found["push_force_N"] - grip.force,
        "seat_stiffness_N_per_um": stiffness,
    }


def radial_block(case: Case, reached: Reached, taken: dict[str, float]) -> dict[str, Any] | None:
    """Block `radial` of the results, from the grip corner; None without a radial pull."""
    return None if not _pulled(case) else _pull(case, reached, reached.bore, "bore", taken).block()


def shaft_block(case: Case) -> dict[str, float] | None:
    """Block `shaft_load` of the results: stress [MPa] at the shaft's surface beside the seat, where nothing presses it.

    The duty's torque with its slip safety and the bending of a radial pull, whatever the clamp force; None without a duty.
    """
    load = duty_load(case)
    if load is None:
        return None
    torque, moment = load
    found = shaft_stresses(0.0, torque, case.shaft.diameter, case.shaft.bore, moment)
    return {"torsion_MPa": found.shear, "bending_MPa": found.bending, "von_mises_MPa": found.mouth}


def seat_open(case: Case, reached: Reached, taken: dict[str, float]) -> Verdict | None:
    """Whether the pressure stays above 0 all round under the radial pull, in the grip corner; None without one.

    Where the hub sits on the ring the pull goes through the cone as well, and the worse of the two counts.
    """
    if not _pulled(case):
        return None
    name, early = reached.corner.name, cut_short(reached)
    if early:
        return Verdict.unknown("seat_open", early, unit="MPa").at(name)
    pairs = {"bore": reached.bore}
    if case.duty.carried_by == "ring":
        pairs["cone"] = reached.cone_carrying
    found = [_opens(case, reached, seat, pair, taken).at(name) for pair, seat in pairs.items()]
    return min(found, key=lambda v: (v.ok is not False, v.ok is not None, v.margin or 0.0))


def _pulled(case: Case) -> bool:
    return case.duty is not None and case.duty.radial > 0


def _opens(case: Case, reached: Reached, seat: Carried, pair: str, taken: dict[str, float]) -> Verdict:
    pull = _pull(case, reached, seat, pair, taken)
    reason = pull.reason.removesuffix(".")  # whoever adds to it begins with one
    if not pull.judged:
        return Verdict.unknown("seat_open", reason, unit="MPa")
    turning = ". The pull turns against the shaft, so its bending alternates: fatigue and fretting are not judged" if case.duty.rotating else ""
    because = f"pressure of the {pair} {where(case, reached)} against what the pull takes off. {reason}{turning}"
    return Verdict.at_least("seat_open", pull.least_pressure + pull.amplitude, pull.amplitude, "MPa", because)


def _pull(case: Case, reached: Reached, seat: Carried, pair: str, taken: dict[str, float]) -> RadialPull:
    c, shaft = coupling(case), case.shaft
    start, end = seat.stretch or (0.0, 0.0)
    taken = reached.taken(taken)
    left = 1 - min(taken.get(pair, 0.0) / seat.normal, 1.0) if seat.normal > 0 else 0.0
    touching = Seat(
        start, end, shaft.diameter if pair == "bore" else 2 * c.cone_radius, seat.mean_pressure * left, c.fill_fraction,
        case.sleeve.slits.pattern, _closing_pressure(c, reached.corner.clearance / 2) if pair == "bore" else 0.0,
    )
    return radial_pull(touching, case.duty.radial, case.duty.radial_at, case.sleeve.length, (shaft.diameter, shaft.bore))


def _closing_pressure(c: Coupling, clearance: float) -> float:
    """Pressure q = E t c/r^2 [MPa] that would close the sleeve as a closed ring by a radial clearance [mm]."""
    return c.sleeve_young * c.wall.thickness(c.length / 2) * clearance / c.mean_radius**2
