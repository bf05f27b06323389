"""A stage after the push that stops keeps its accepted states and the residuals of the try that failed, and says what it sees of the cause."""

import math

import pytest
from helpers.push import case_of

from colletfea.cases.run import solve
from colletfea.cases.simulation import release, service, twist
from colletfea.fea.errors import NotConverged
from colletfea.fea.stepping.run import Stopped


def stopping(*given, **more):
    yield from ()
    raise Stopped(0.0, NotConverged("residual still 3 of the force scale", [5.0, math.nan, 3.0]))


@pytest.mark.parametrize("stage, module", [("release", release), ("twist", twist)])
def test_the_last_residuals_of_a_stage_that_stops(stage, module, monkeypatch):
    monkeypatch.setattr(module, "run", stopping)
    result = solve(case_of(**{f"after__{stage}": True}, mesh__size=1.5), "quick")
    assert result.summary["simulation"]["effort"]["stage_residuals"] == {stage: [5.0, 3.0]}
    verdict = next(v for v in result.verdicts if v.name == stage)
    assert verdict.ok is None and "residual still 3 of the force scale" in verdict.because
    assert verdict.because.endswith("; its last state shows no cause: try a finer mesh.size, or --fine")
    assert result.stage(stage)  # what was accepted


def test_the_last_residuals_of_a_service_that_stops(monkeypatch):
    monkeypatch.setattr(service, "run", stopping)
    summary = solve(case_of(service={"speed": 1000}, duty={"torque": 20}, mesh__size=1.5), "quick").summary
    assert summary["simulation"]["effort"]["stage_residuals"] == {"service": [5.0, 3.0]}
    assert summary["service"]["because"].endswith("; its last state shows no cause: try a finer mesh.size, or --fine")
