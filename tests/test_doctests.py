"""Examples in docstrings are true."""

import doctest
from importlib import import_module

import pytest
from test_layers import FILES, module_of

WITH_EXAMPLES = [module_of(name) for name, path in FILES.items() if ">>> " in path.read_text(encoding="utf-8")]


def test_there_are_some():
    assert len(WITH_EXAMPLES) > 15 and {"cases.report.holding", "cases.hand.tightening"} <= set(WITH_EXAMPLES)


@pytest.mark.parametrize("module", WITH_EXAMPLES)
def test_examples_in_docstrings_are_true(module):
    failed, tried = doctest.testmod(import_module(f"colletfea.{module}"))
    assert tried and not failed
