"""A stage after the push that stops keeps its accepted states and the residuals of the try that failed."""

import math

import pytest
from helpers.push import case_of

from colletfea.cases.run import solve
from colletfea.cases.simulation import release, twist
from colletfea.fea.errors import NotConverged
from colletfea.fea.stepping.run import Stopped


@pytest.mark.parametrize("stage, module", [("release", release), ("twist", twist)])
def test_the_last_residuals_of_a_stage_that_stops(stage, module, monkeypatch):
    def stopping(*given, **more):
        yield from ()
        raise Stopped(0.0, NotConverged("residual still 3 of the force scale", [5.0, math.nan, 3.0]))

    monkeypatch.setattr(module, "run", stopping)
    result = solve(case_of(**{f"after__{stage}": True}, mesh__size=1.5), "quick")
    assert result.summary["simulation"]["effort"]["stage_residuals"] == {stage: [5.0, 3.0]}
    verdict = next(v for v in result.verdicts if v.name == stage)
    assert verdict.ok is None and "residual still 3 of the force scale" in verdict.because
    assert result.stage(stage)  # what was accepted
