"""The names that the mechanics floor hands out: each from its own file, none before it is asked for."""

import subprocess
import sys

import pytest

from colletfea import fea

NAMES = {
    "Mesh", "Body", "Elastic", "Plastic", "Hardening", "Warmth", "Spin", "Pair", "Drive", "Model", "Balance", "Settings", "Condensed", "FullNewton", "initial_state", "run",
    "run_through", "Event", "Steps", "resultant", "profile", "NotConverged", "MeshError",
}  # fmt: skip


def test_all_names_are_there_and_are_those_of_their_files():
    assert set(fea.__all__) == NAMES and NAMES <= set(dir(fea))
    for name in NAMES:
        thing = getattr(fea, name)
        assert thing.__name__ == name and thing.__module__.startswith("colletfea.fea.")


def test_a_name_that_is_not_there_is_an_attribute_error():
    with pytest.raises(AttributeError, match="colletfea.fea.*no attribute 'Meshes'"):
        fea.Meshes  # noqa: B018
    assert not hasattr(fea, "Numbering")


def test_importing_fea_brings_no_numpy():
    code = "import sys, colletfea.fea; assert not {'numpy', 'scipy'} & set(sys.modules); colletfea.fea.Mesh; assert 'numpy' in sys.modules"
    subprocess.run([sys.executable, "-c", code], check=True)
