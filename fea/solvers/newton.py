"""Newton's method with a halving line search, on whatever problem offers evaluate and direction."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import dataclass, replace
from itertools import count
from typing import Protocol, Self

import numpy as np

from colletfea.fea.bodies.law import Flow
from colletfea.fea.contact.pair import Evaluation
from colletfea.fea.contact.projection import Projection
from colletfea.fea.errors import NotConverged
from colletfea.fea.model.balance import Balance

#: share of the springs' stiffness on which contact that peels apart is first sought. A wall that bends over ten of its thicknesses is
#: about as much softer than the springs of elements a quarter as long (a plate, D (2 pi / length)^4 to 3 E / h), which let go of a few points
#: an iteration, for only those next to the gap pull. 120 pushes of
#: 40 random designs, hard ones, come to the same forces in 35 500 iterations, for 38 800 where all points were let go of at once that hardly
#: press; three of them in 1800 for 3000. From 0.01 to 0.0001 these three differ by 8 %, but a plate that an edge lifts needs 0.001 or less
_SOFTER = 0.001
#: iterations beyond the limit are spent while the last ten of them gain at least this factor
_LOOK_BACK, _GAIN = 10, 0.9


@dataclass(frozen=True)
class Settings:
    """Stop rules and limits, all dimensionless.

    residual: force out of balance over the force scale. augment: multipliers of contact are unknowns beside the displacements, see
    contact.multipliers; else they stay those of the last accepted state. max_iterations: of 80 random designs
    10, 15, 20 and 30 lose none, with 8, 7, 5 and 4 cut-backs at equal effort; up to patience times as many are spent
    while they still gain, and any number while contact peels apart, which its points limit. freeze_after: iterations
    after which contact points keep their edges. halvings: of a step in the line search. max_cuts: halvings of an increment.
    """

    residual: float = 1e-9
    max_iterations: int = 20
    patience: int = 4
    freeze_after: int = 8
    halvings: int = 5
    augment: bool = True
    max_cuts: int = 12


@dataclass(frozen=True)
class Iterate:
    """A position, its contact, and how far it is from balance."""

    at: np.ndarray  # what newton moves, (size + n,): displacements [mm; rad], then multipliers [MPa]
    contact: Evaluation
    left: float  # [N] out of balance, with what multipliers miss where they are unknowns
    scale: float  # [N] force scale, see Balance; it moves with the contact force
    norm: float  # [-] what is left over it
    noise: float  # [-] below it a norm that no longer falls is only rounding

    @classmethod
    def of(cls, u: np.ndarray, contact: Evaluation, left: float, scale: float, noise: float, **own: np.ndarray) -> Self:
        """The iterate at u (size,) with `left` [N] out of balance, force scale [N] and noise [-]; own are fields of its own.

        One that a kept contact point pulls at is never in balance.
        """
        pulled = np.min(contact.pressure, initial=0.0) < 0
        at, norm = np.concatenate([u, contact.multiplier]), left / scale
        return cls(at, contact, left, scale, max(norm, 1.0) if pulled else norm, noise, u=u, **own)


@dataclass(frozen=True)
class Trial(Iterate):
    """An iterate of the whole model."""

    u: np.ndarray  # (size,) [mm; rad]
    nodal: np.ndarray  # (size,) [N; N mm] forces of bodies and contact, loads in them, before the drives' own

    @classmethod
    def whole(cls, balance: Balance, joined: bool, u: np.ndarray, t: float, contact: Evaluation, flow: Flow | None) -> Self:
        """The model of a balance at u and parameter t, with its contact there; joined: multipliers are unknowns."""
        with np.errstate(over="ignore", invalid="ignore"):  # a trial that is far off is refused by its norm
            nodal = balance.model.bodies_force(u, t, flow) + contact.force
        residual = balance.residual(nodal, t)
        scale = balance.scale(residual, contact.force, u, t)
        left = balance.imbalance(residual, contact if joined else None)
        return cls.of(u, contact, left, scale, balance.noise(u, scale), nodal=nodal)


class Problem(Protocol):
    """What newton needs to know; tolerance [-] is on the norm of an iterate. softer: see Contact.softer."""

    tolerance: float
    softer: Callable[[float], AbstractContextManager[None]]

    def evaluate(self, at: np.ndarray, frozen: Projection | None) -> Iterate:
        """The iterate at a position, see Iterate; with frozen, contact points keep their edges."""

    def direction(self, trial: Iterate, before: Iterate | None) -> np.ndarray:
        """Newton's step of the position from trial; before is the iterate it came from. May raise NotConverged."""


@dataclass(frozen=True)
class Found:
    """A balanced iterate, the iterations it took, and the projection that was frozen on the way, if any."""

    trial: Iterate
    iterations: int
    frozen: Projection | None


def newton(problem: Problem, at: np.ndarray, settings: Settings, frozen: Projection | None = None, direct: bool = False) -> Found:
    """Iterate from a position to balance.

    After settings.freeze_after iterations each contact point keeps its leader edge: a point at a kink
    would flip between two edges without end. frozen starts with edges kept. Where contact peels apart, balance is sought
    once from that on softer springs, unless direct. Raises NotConverged.
    """
    trial, before = problem.evaluate(at, frozen), None
    norms, closed, tried = [trial.norm], [_closed(trial)], 0
    limit = settings.patience * settings.max_iterations
    for k in count():
        stalled = k > 1 and trial.norm <= trial.noise and trial.norm > norms[-2] / 2
        if trial.norm <= problem.tolerance or stalled:
            return Found(trial, k + tried, frozen)
        if k >= settings.max_iterations:
            peels = _peels(norms, closed)
            if not peels and (k >= limit or not _gains(norms)):
                break
            if peels and not direct:
                direct, (found, tried) = True, _over_softer(problem, trial, frozen, settings)
                if found is not None:
                    return replace(found, iterations=k + tried)
        if k == settings.freeze_after and frozen is None:
            frozen = trial.contact.foot
        try:
            step = problem.direction(trial, before)
        except NotConverged as err:
            raise NotConverged(err.reason, norms, k + tried) from err
        if not np.all(np.isfinite(step)):
            raise NotConverged("the step is not finite", norms, k + tried)
        with np.errstate(over="ignore", invalid="ignore"):  # a trial that is far off is refused by its norm
            trial, before = _search(problem, trial, step, frozen, settings), trial
        norms.append(trial.norm)
        closed.append(_closed(trial))
        if not np.isfinite(trial.norm):
            raise NotConverged("the residual is not finite", norms, k + 1 + tried)
    raise NotConverged(f"residual still {trial.norm:.1e} of the force scale after {k} iterations", norms, k + tried)


def _over_softer(problem: Problem, trial: Iterate, frozen: Projection | None, settings: Settings) -> tuple[Found | None, int]:
    """What is found from the balance on softer springs, None where either is not found, and the iterations of both."""
    spent = 0
    try:
        with problem.softer(_SOFTER):
            soft = newton(problem, trial.at, settings, frozen, direct=True)
        spent = soft.iterations
        found = newton(problem, soft.trial.at, settings, soft.frozen, direct=True)
    except NotConverged as err:
        return None, spent + err.iterations
    return found, spent + found.iterations


def _gains(norms: list[float]) -> bool:
    """Whether the last iterations still came nearer: where bodies are soft, contact may open one point per iteration."""
    return len(norms) > _LOOK_BACK and norms[-1] < _GAIN * norms[-1 - _LOOK_BACK]


def _closed(trial: Iterate) -> int:
    """How many contact points touch."""
    return int(np.count_nonzero(trial.contact.status))


def _peels(norms: list[float], closed: list[int]) -> bool:
    """Whether the last iterations left fewer contact points touching, and came nearer.

    A soft wall that rests on a stiff one at first lets go of it from one end, by the few points that its bending reaches: of 255 points
    under a thin finger 215 did, a few an iteration; of 295 under a slit sleeve the last dozen, one in five iterations.
    """
    return len(norms) > _LOOK_BACK and closed[-1] < closed[-1 - _LOOK_BACK] and norms[-1] < norms[-1 - _LOOK_BACK]


def _search(
    problem: Problem, start: Iterate, step: np.ndarray, frozen: Projection | None, settings: Settings
) -> Iterate:
    """The first of 1, 1/2, 1/4 ... of the step that lowers the residual, else the best one tried.

    The residual is compared as a force: where a guess loses contact the force scale falls with it, and the norm stays.
    """
    best, length = None, 1.0
    for _ in range(settings.halvings + 1):
        trial = problem.evaluate(start.at + length * step, frozen)
        if trial.left < start.left:
            return trial
        if best is None or trial.left < best.left or not np.isfinite(best.left):
            best = trial
        length /= 2
    return best
