"""What a contact pair carries: resultants over the pair and element means along it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from colletfea.fea.contact.contact import Contact
from colletfea.fea.contact.pair import OPEN, SLIP, STICK, Evaluation


@dataclass(frozen=True)
class Resultant:
    """Totals of one pair, whole ring: forces [N], torques [N mm]. Areas are current ring areas times fill."""

    normal_force: float  # [N] integral of p dA
    radial_force: float  # [N] radial sum of all tractions on the outer body, > 0 away from the axis
    axial_force: float  # [N] on the follower, along +z
    friction_force: float  # [N] integral of |t| dA
    torque: float  # [N mm] of friction on the follower about the axis
    torque_capacity: float  # [N mm] integral of mu p r dA
    area: float  # [mm2] touching
    length: float  # [mm] touching, along the meridian
    peak_pressure: float  # [MPa] largest mean over what touches of an element; never below mean_pressure

    @property
    def mean_pressure(self) -> float:
        """Normal force over touching area [MPa], 0 where nothing touches."""
        return self.normal_force / self.area if self.area > 0 else 0.0


@dataclass(frozen=True)
class Profile:
    """Element means along the follower edge of a pair, in the order of its chain."""

    position: np.ndarray  # (k, 2) current (r, z) [mm]
    pressure: np.ndarray  # (k,) [MPa]
    shear: np.ndarray  # (k, c) [MPa]
    slip: np.ndarray  # (k, c) [mm] in the last increment
    status: np.ndarray  # (k,) OPEN, STICK or SLIP: what most of the touching area does


def resultant(contact: Contact, ev: Evaluation, name: str) -> Resultant:
    """Totals of the pair of that name; torque [N mm] is 0 without twist."""
    points = pair_points(contact, name)
    touching = ev.pressure > 0
    normal, along = directions(contact, ev)
    push = (ev.pressure * ev.area)[:, None] * normal - (ev.traction[:, 0] * ev.area)[:, None] * along
    torque = -np.sum(ev.traction[points, 1] * (ev.area * ev.position[:, 0])[points]) if contact.unknowns == 3 else 0.0
    outer = -1.0 if np.sum((ev.pressure * ev.area * normal[:, 0])[points]) < 0 else 1.0  # normals point out of the leader
    return Resultant(
        normal_force=float(np.sum((ev.pressure * ev.area)[points])),
        radial_force=float(outer * np.sum(push[points, 0])),
        axial_force=float(np.sum(push[points, 1])),
        friction_force=float(np.sum(np.linalg.norm(ev.traction[points], axis=1) * ev.area[points])),
        torque=float(torque),
        torque_capacity=float(np.sum((contact.friction * ev.pressure * ev.area * ev.position[:, 0])[points])),
        area=float(np.sum(ev.area[points][touching[points]])),
        length=float(np.sum(ev.length[points][touching[points]])),
        peak_pressure=_peak(contact, ev, points),
    )


def _peak(contact: Contact, ev: Evaluation, points: slice) -> float:
    """Largest element mean [MPa] of the pressure over what touches, by current area; 0 where nothing touches.

    Over the whole element it would fall below the pair's mean, which is over what touches, where only a corner presses.
    """
    touching = np.where(ev.pressure > 0, ev.area, 0.0)[points]
    force, area = (np.bincount(contact.edge[points], x) for x in (ev.pressure[points] * touching, touching))
    return float(np.max(force[area > 0] / area[area > 0], initial=0.0))


def profile(contact: Contact, ev: Evaluation, name: str) -> Profile:
    """Element means (k,) [MPa, mm] along the pair of that name, weighted by current area."""
    points = pair_points(contact, name)
    weight = contact.weights * ev.position[:, 0] * contact.edge_length
    share = (weight / contact.edge_sums(weight))[points]
    first = np.flatnonzero(np.diff(contact.edge[points], prepend=-1))  # where each follower edge begins

    def mean(values: np.ndarray) -> np.ndarray:
        return np.add.reduceat(share[:, None] * values[points].reshape(len(share), -1), first)

    pressed = ev.pressure > 0  # a point that only just touches counts as open here
    parts = [mean((pressed & (ev.status == s)).astype(float))[:, 0] for s in (STICK, SLIP)]
    status = np.where(parts[1] > parts[0], SLIP, np.where(parts[0] > 0, STICK, OPEN))
    return Profile(mean(ev.position), mean(ev.pressure)[:, 0], mean(ev.traction), mean(ev.slip), status)


def directions(contact: Contact, ev: Evaluation) -> tuple[np.ndarray, np.ndarray]:
    """Unit normal out of the leader and unit tangent along it, (n, 2) [-] each; 0 at open points."""
    normal, along = np.zeros_like(ev.position), np.zeros_like(ev.position)
    normal[ev.closed.index], along[ev.closed.index] = ev.closed.normal.T, ev.closed.tangent.T
    return normal, along


def pair_points(contact: Contact, name: str) -> slice:
    """The stretch of the contact points (n,) that are the pair's of that name."""
    return contact.points[[p.name for p in contact.pairs].index(name)]
