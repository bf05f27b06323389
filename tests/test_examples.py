"""Examples in docstrings give what they say."""

import doctest
from importlib import import_module
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
FILES = [path for floor in ("fea", "meshing", "cases") for path in sorted((ROOT / floor).rglob("*.py")) if ">>> " in path.read_text(encoding="utf-8")]
MODULES = ["colletfea." + ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__") for path in FILES]


def test_there_are_examples():
    assert len(MODULES) > 15


@pytest.mark.parametrize("module", MODULES)
def test_examples_of_a_module_are_right(module):
    failed, tried = doctest.testmod(import_module(module))
    assert tried and not failed
