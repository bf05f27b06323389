"""Newton's method: quadratic tail, line search, and failure that says what happened."""

from contextlib import contextmanager
from dataclasses import dataclass
from types import SimpleNamespace

import numpy as np
import pytest
from helpers.contact import build, small_cone, touching
from helpers.contact import hold as keep
from helpers.contact import solve as solve_contact
from helpers.solids import hold, solve

from colletfea.fea.bodies.elastic import Elastic
from colletfea.fea.contact.pair import SLIP
from colletfea.fea.elements.grids import block, join, spread
from colletfea.fea.errors import NotConverged
from colletfea.fea.model.balance import Balance
from colletfea.fea.model.drives import R, Z, Drive
from colletfea.fea.model.loads import Pressure
from colletfea.fea.solvers import condensed as condensed_solver
from colletfea.fea.solvers.condensed import SurfaceIterate
from colletfea.fea.solvers.newton import Iterate, Settings, Trial, newton
from colletfea.fea.stepping.run import Stopped


@dataclass(frozen=True)
class Root(Iterate):
    """A guess of the root, with the value there."""

    residual: np.ndarray


class Scalar:
    """One equation f(x) = 0 in the clothes of a model."""

    tolerance = 1e-12

    def __init__(self, f, slope, noise=0.0, scale=lambda x: 1.0):
        self.f, self.slope, self.noise, self.scale, self.seen, self.frozen = f, slope, noise, scale, [], []
        self.share = 1.0  # of the springs' stiffness

    @contextmanager
    def softer(self, share):
        self.share = share
        try:
            yield
        finally:
            self.share = 1.0

    def evaluate(self, u, frozen):
        self.seen.append(float(u[0]))
        self.frozen.append(frozen)
        left, scale = float(np.abs(self.f(u)[0])), self.scale(float(u[0]))
        return Root(u, SimpleNamespace(foot="kept", status=np.zeros(1, int)), left, scale, left / scale, self.noise, self.f(u))

    def direction(self, trial, before):
        return -trial.residual / self.slope(trial.at)


def test_root_is_found_and_iterations_are_counted():
    found = newton(Scalar(lambda x: x**2 - 2, lambda x: 2 * x), np.array([1.0]), Settings())
    assert found.trial.at[0] == pytest.approx(2**0.5, abs=1e-12)
    assert found.iterations == 5  # 1, 1.5, 1.4167, 1.414216, 1.41421356237: errors squared each time


def test_balanced_start_needs_no_iteration():
    assert newton(Scalar(lambda x: x - 3, lambda x: 1 + 0 * x), np.array([3.0]), Settings()).iterations == 0


def test_line_search_halves_until_the_residual_falls():
    """atan from 3: a full step goes to -9.5, further off; halving brings it home, plain Newton diverges."""
    problem = Scalar(np.arctan, lambda x: 1 / (1 + x**2))
    found = newton(problem, np.array([3.0]), Settings())
    assert abs(found.trial.at[0]) < 1e-12 and abs(problem.seen[1]) > 9
    with pytest.raises(NotConverged), np.errstate(all="ignore"):
        newton(Scalar(np.arctan, lambda x: 1 / (1 + x**2)), np.array([3.0]), Settings(halvings=0))


def test_a_step_that_lowers_force_and_scale_alike_is_taken_whole():
    """A guess that presses too hard has the scale of its own contact force: x / x is 1 all the way down to 1."""
    problem = Scalar(lambda x: x - 1, lambda x: 1 + 0 * x, scale=lambda x: abs(x - 1) if x > 2 else 1.0)
    assert newton(problem, np.array([9.0]), Settings()).iterations == 1
    slow = Scalar(lambda x: x - 1, lambda x: 2 + 0 * x, scale=lambda x: max(abs(x - 1), 1e-3))
    newton(slow, np.array([9.0]), Settings(max_iterations=60))
    assert slow.seen[:4] == [9.0, 5.0, 3.0, 2.0]  # no halving, although the norm stays at 1


def test_failure_carries_reason_and_every_norm():
    with pytest.raises(
        NotConverged, match=r"residual still .* of the force scale after 7 iterations"
    ) as caught:
        newton(Scalar(lambda x: x**2 + 1, lambda x: 2 * x), np.array([0.5]), Settings(max_iterations=7))
    assert len(caught.value.norms) - 1 == caught.value.iterations == 7
    assert caught.value.norms[0] == 1.25 and min(caught.value.norms) >= 1


def shrinking(factor):
    """A residual that shrinks by this factor an iteration."""
    return Scalar(lambda x: x, lambda x: 1 / (1 - factor) + 0 * x)


def test_steady_gain_may_take_more_than_the_iterations_set():
    """Halved each time, 1 falls below 1e-12 after 40 iterations, ten beyond the limit."""
    assert newton(shrinking(0.5), np.array([1.0]), Settings(max_iterations=30)).iterations == 40


@pytest.mark.parametrize("factor, spent", [(0.99, 30), (0.97, 120)])
def test_slow_gain_ends_at_the_limit_and_any_at_four_times_it(factor, spent):
    """Ten iterations gain 0.904 and 0.737: too little to go on, and enough, but not for ever."""
    with pytest.raises(NotConverged, match=f"after {spent} iterations") as caught:
        newton(shrinking(factor), np.array([1.0]), Settings(max_iterations=30))
    assert len(caught.value.norms) == spent + 1
    assert caught.value.norms[-1] == pytest.approx(factor**spent, rel=1e-9)


class Peeling(Scalar):
    """A residual that shrinks by 1 % an iteration while one of its contact points opens in each, and goes at once with the last.

    Those that stay never open. On softer springs all others open at once where they help, and none where they shut it.
    """

    def __init__(self, points, stays=0, helps=True, shut=False):
        super().__init__(lambda x: x, lambda x: 1 / (1 - 0.99) + 0 * x)
        self.points, self.stays, self.soft = points, stays, 0 if shut else points if helps else None

    def evaluate(self, u, frozen):
        found = super().evaluate(u, frozen)
        opened = round(np.log(max(abs(u[0]), 1e-9)) / np.log(0.99))
        opened = self.soft if self.share < 1 and self.soft is not None else opened
        found.contact.status = np.arange(self.points) >= min(opened, self.points - self.stays)
        return found

    def direction(self, trial, before):
        return super().direction(trial, before) if np.any(trial.contact.status) else -trial.at


def test_contact_that_peels_apart_may_take_an_iteration_a_point():
    """200 points, beyond the limit and beyond four times it; where none opens in ten iterations, it ends at the limit."""
    assert newton(Peeling(200, helps=False), np.array([1.0]), Settings(max_iterations=30)).iterations == 201
    assert newton(Peeling(200), np.array([1.0]), Settings(max_iterations=30), direct=True).iterations == 201
    with pytest.raises(NotConverged, match="after 30 iterations"):
        newton(Peeling(200, stays=180), np.array([1.0]), Settings(max_iterations=30))


def test_contact_that_peels_apart_is_sought_from_the_balance_on_softer_springs():
    """At the limit one step on them leads to the root, and none is left on stiff ones, which are back."""
    problem = Peeling(200)
    assert newton(problem, np.array([1.0]), Settings(max_iterations=30)).iterations == 31
    assert problem.share == 1.0


def test_softer_springs_that_do_not_help_are_tried_once_and_their_iterations_told():
    """On them nothing opens: 30 iterations, then it goes on where it was, on springs that are stiff again."""
    problem = Peeling(200, shut=True)
    assert newton(problem, np.array([1.0]), Settings(max_iterations=30)).iterations == 201 + 30
    assert problem.share == 1.0
    with pytest.raises(NotConverged, match="after 42 iterations") as failed:  # ten behind the last that opens
        newton(Peeling(40, stays=8, shut=True), np.array([1.0]), Settings(max_iterations=30))
    assert failed.value.iterations == 42 + 30


def test_a_soft_tangent_that_is_singular_is_tried_once(monkeypatch):
    """Nothing was iterated on it, and yet it is not tried again at the next iteration."""
    problem, real, soft = Peeling(200), Peeling.direction, []

    def direction(self, trial, before):
        if self.share < 1:
            soft.append(trial)
            raise NotConverged("the tangent is singular")
        return real(self, trial, before)

    monkeypatch.setattr(Peeling, "direction", direction)
    assert newton(problem, np.array([1.0]), Settings(max_iterations=30)).iterations == 201 and len(soft) == 1


def test_a_failure_on_the_way_tells_the_iterations_so_far():
    """Three steps, then the tangent is singular."""
    problem = shrinking(0.5)
    problem.direction = lambda trial, before: _singular() if trial.at[0] < 0.2 else -0.5 * trial.at
    with pytest.raises(NotConverged, match="singular") as failed:
        newton(problem, np.array([1.0]), Settings())
    assert failed.value.iterations == 3 and failed.value.norms == [1.0, 0.5, 0.25, 0.125]


def _singular():
    raise NotConverged("the tangent is singular")


def test_a_plate_is_lifted_off_a_flat_block_by_the_block_s_edge():
    """A thin plate clamped inside lies flat on a block that lifts it: 200 points touch at first, one at last, the block's inner corner.

    Point by point the way ends after 49 iterations far from balance.
    """
    plate, base = block(10, 40, spread(5, 5.3, 1), spread(0, 1, 60)), block(20, 40, spread(0, 5, 2), spread(0, 1, 40))
    model = build(join({"plate": plate, "base": base}), (touching("base.top", "plate.bottom"),))
    lift = Drive("lift", "base.bottom", Z, displacement=lambda t: t)
    drives = [keep("clamp", "plate.inner", Z), keep("plate, radial", "plate.inner", R), keep("base, radial", "base.bottom", R), lift]
    (state,) = solve_contact(model, drives, [0.01], condensed=True)
    (corner,) = state.contact.position[state.contact.pressure > 0]
    assert state.totals["lift"] > 0 and corner == pytest.approx([20.02, 5.01], abs=0.01)


@pytest.mark.parametrize("noise, accepted", [(0.9, False), (1.1, True)])
def test_residual_that_no_longer_falls_is_accepted_below_the_noise_only(noise, accepted):
    """x^2 + 1 never falls below 1: that counts as rounding under a noise of 1.1, as failure under 0.9."""
    problem = Scalar(lambda x: x**2 + 1, lambda x: 2 * x, noise)
    if accepted:
        found = newton(problem, np.array([0.5]), Settings())
        assert 1 <= found.trial.norm <= noise and found.iterations > 1
    else:
        with pytest.raises(NotConverged):
            newton(problem, np.array([0.5]), Settings())


def test_residual_that_still_falls_is_not_accepted_for_its_noise():
    """Under the noise but still falling: iterations go on to the tolerance, so noise costs no accuracy."""
    found = newton(Scalar(lambda x: x**2 - 2, lambda x: 2 * x, noise=10.0), np.array([1.0]), Settings())
    assert found.trial.norm <= Scalar.tolerance


def test_residual_that_is_not_finite_stops_at_once():
    with pytest.raises(NotConverged, match="not finite") as caught:
        newton(
            Scalar(lambda x: x * np.nan if x[0] != 1 else x, lambda x: 1 + 0 * x), np.array([1.0]), Settings()
        )
    assert len(caught.value.norms) == 2


def test_contact_is_frozen_after_the_iterations_set():
    problem = Scalar(lambda x: x**2 + 1, lambda x: 2 * x)
    with pytest.raises(NotConverged):
        newton(problem, np.array([0.5]), Settings(max_iterations=6, freeze_after=3, halvings=0))
    assert problem.frozen == [None] * 4 + ["kept"] * 3


def test_edges_frozen_before_stay_frozen_and_are_handed_back():
    problem = Scalar(lambda x: x**2 - 2, lambda x: 2 * x)
    assert newton(problem, np.array([1.0]), Settings(), frozen="before").frozen == "before"
    assert set(problem.frozen) == {"before"}


RING = join({"ring": block(10, 20, spread(0, 10, 2), spread(0, 1, 4))})


def squeezed(**settings):
    """A soft ring under follower pressure outside, up to a twelfth of its modulus."""
    load = Pressure("ring.outer", lambda t: 80 * t)
    return solve(RING, Elastic(1000.0, 0.3), [hold("ring.bottom", Z)], [load], **settings)


def test_step_that_is_not_finite_is_refused_before_it_is_tried():
    with pytest.raises(NotConverged, match="the step is not finite"):
        newton(Scalar(lambda x: x - 3, lambda x: 0 * x + np.nan), np.array([1.0]), Settings())


@pytest.mark.filterwarnings("error")
def test_trial_that_overflows_is_refused_without_a_warning():
    """Newton on exp(x) = 1000 from x = -10 leaps to 2e7."""
    with pytest.raises(NotConverged, match="not finite"):
        newton(Scalar(lambda x: np.exp(x) - 1000, np.exp), np.array([-10.0]), Settings())


def test_residual_falls_quadratically_near_the_solution(monkeypatch):
    """Exponent of successive residuals at least 1.8 above round-off.

    Measured 2.02: residuals 1.8e-2, 2.2e-4, 3.1e-8.

    An unreachable tolerance makes the run fail and hand over all its norms; without a noise, else it is accepted
    as soon as rounding stops it.
    """
    monkeypatch.setattr(Balance, "noise", lambda self, u, scale: 0.0)
    with pytest.raises(Stopped) as caught:
        squeezed(residual=0.0, max_iterations=12, augment=False)
    norms = np.array(caught.value.cause.norms)
    tail = norms[(norms < 1e-1) & (norms > 1e-11)]
    exponents = np.log(tail[2:] / tail[1:-1]) / np.log(tail[1:-1] / tail[:-2])
    assert len(exponents) >= 1 and exponents[-1] >= 1.8
    assert norms.min() < 1e-13


def test_residual_falls_quadratically_while_a_ring_slides(monkeypatch):
    """The same with contact and friction, every touching point sliding: measured 2.2, residuals 6.2e-2, 4.3e-5, 4.9e-12.

    A symmetrised tangent does not get there.
    """
    monkeypatch.setattr(Balance, "noise", lambda self, u, scale: 0.0)
    model, drives = small_cone()
    push, kept = drives(lambda t: t), {"augment": False}
    (half,) = solve_contact(model, push, (0.5,), residual=1e-9, **kept)
    with pytest.raises(Stopped) as caught:
        solve_contact(model, push, (1.0,), half, residual=0.0, max_iterations=8, **kept)
    (whole,) = solve_contact(model, push, (1.0,), half, residual=1e-9, **kept)
    assert set(whole.contact.status[whole.contact.pressure > 0]) == {SLIP}
    norms = np.array(caught.value.cause.norms[1:4])
    assert norms[0] < 0.1 and norms[2] < 1e-10
    assert np.log(norms[2] / norms[1]) / np.log(norms[1] / norms[0]) >= 1.8


@pytest.mark.parametrize("condensed", [False, True], ids=["full", "condensed"])
def test_multipliers_settle_with_the_displacements(condensed, monkeypatch):
    """With them as unknowns a step leaves what the least softness of an edge, 0.003, lets it: 0.003 to 0.005 of the last residuals measured.

    With a softness of 1, as of the springs themselves, it is half to four fifths.
    """
    norms, real = [], SurfaceIterate.of if condensed else Trial.of
    model, drives = small_cone()
    (half,) = solve_contact(model, drives(lambda t: t), (0.5,), residual=1e-9)
    kind = SurfaceIterate if condensed else Trial
    monkeypatch.setattr(kind, "of", classmethod(lambda cls, *given, **own: norms.append(real(*given, **own)) or norms[-1]))
    if condensed:  # contact to the end in the first round
        monkeypatch.setattr(condensed_solver, "_FORCING", 0.0)
    solve_contact(model, drives(lambda t: t), (1.0,), half, condensed=condensed, residual=1e-9)
    seen = [one.norm for one in norms]
    last = next(k for k, norm in enumerate(seen) if norm < 1e-9)
    assert seen[last - 1] < 1e-2 * seen[last - 2] < 1e-4 * seen[last - 3]


def test_stopped_run_names_the_last_parameter_and_the_cause():
    with pytest.raises(Stopped, match="no equilibrium beyond 0.5: residual still") as caught:
        squeezed(targets=(0.25, 0.5, 40.0), max_iterations=5)
    assert caught.value.t == 0.5 and caught.value.cause.norms


def test_self_balanced_load_is_measured_against_itself():
    """No reaction anywhere: without the load in the scale the search for a step has nothing to go by."""
    trial = squeezed(targets=(1.0,))
    assert trial.state.iterations <= 6 and trial.state.norm < 1e-9
