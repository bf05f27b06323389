"""scipy loaded without parts of numpy that it only lists: they are not loaded, not lost, and scipy is whole."""

import subprocess
import sys

CODE = """
import sys
from colletfea.cases import startup
startup.load()
assert not {"numpy.f2py", "numpy.testing"} & set(sys.modules), "nothing is gained"
import numpy, scipy.linalg, scipy.sparse, scipy.spatial
numpy.testing.assert_allclose(scipy.sparse.linalg.spsolve(scipy.sparse.eye(3, format="csc") * 2.0, numpy.ones(3)), 0.5)
assert numpy.f2py.__file__ and numpy.f2py is sys.modules["numpy.f2py"]
startup.load()
"""


def test_parts_of_numpy_come_when_they_are_asked_for():
    done = subprocess.run([sys.executable, "-W", "error::RuntimeWarning", "-c", CODE], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
