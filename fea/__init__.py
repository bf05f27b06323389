"""Axisymmetric contact mechanics: bodies, named edges, contact pairs with friction, driven edges.

The names of __all__ are loaded when they are asked for: importing this package brings no numpy.
"""

from importlib import import_module
from typing import Any

_ROOM_OF = {
    "Mesh": "elements.mesh",
    "Body": "bodies.solid",
    "Elastic": "bodies.elastic",
    "Plastic": "bodies.plastic",
    "Hardening": "bodies.hardening",
    "Warmth": "bodies.warmth",
    "Spin": "model.spin",
    "Pair": "contact.pair",
    "Drive": "model.drives",
    "Model": "model.model",
    "Balance": "model.balance",
    "Settings": "solvers.newton",
    "Condensed": "solvers.condensed",
    "FullNewton": "solvers.full",
    "initial_state": "stepping.state",
    "run": "stepping.run",
    "run_through": "stepping.run",
    "Event": "stepping.events",
    "Steps": "stepping.run",
    "resultant": "contact.resultants",
    "profile": "contact.resultants",
    "NotConverged": "errors",
    "MeshError": "errors",
}
__all__ = list(_ROOM_OF)


def __getattr__(name: str) -> Any:
    """A name of __all__, from the file that holds it."""
    if name not in _ROOM_OF:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_ROOM_OF[name]}"), name)


def __dir__() -> list[str]:
    """What is loaded, and what can be."""
    return sorted({*globals(), *__all__})
