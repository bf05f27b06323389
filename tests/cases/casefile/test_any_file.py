"""Whatever a case file holds, `hand` answers it or refuses it in sentences: exit 0 or 2, never a trace and never a warning.

The inputs are drawn at random, the same ones on every machine and in every run.
"""

import contextlib
import copy
import io
import tomllib
import warnings
from datetime import date

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from colletfea.cases import cli
from colletfea.cases.casefile import examples

EXAMPLES = [tomllib.loads(examples.text(name)) for name in examples.names()]
ALWAYS = {"derandomize": True, "database": None, "deadline": None, "suppress_health_check": list(HealthCheck)}

ODD = st.sampled_from([
    0, 0.0, -0.0, -1, 1, 2**63, -(2**63), 10**400, 5e-324, 1e-300, 1e-12, 1e12, 1e300, 1.8e308, float("nan"), float("inf"),
    float("-inf"), "", "H8/h7", "C45+QT", "none", "1,5", "1.5", "\x1b[2J", "a\nb", "é" * 3000, True, False, [], {}, [[]],
    date(2020, 2, 29), [0.1, 0.2, 0.3], [0.3, 0.2, 0.1], [0, 0, 0], {"young": 2e5, "poisson": 0.4999},
    {"young": 500, "poisson": 0}, {"young": 2e5, "poisson": 0.3, "yield": 1e-9, "hardening": [[0, 1], [0, 0]]},
])
SCALAR = st.one_of(ODD, st.floats(), st.integers(), st.floats(1e-6, 1e6), st.floats(0, 50), st.integers(0, 40), st.booleans(), st.text(max_size=20))
VALUE = st.recursive(
    SCALAR, lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=8), inner, max_size=3)), max_leaves=6
)
KEYS = sorted({(name, key) for tables in EXAMPLES for name, table in tables.items() if isinstance(table, dict) for key in table} | {
    ("shaft", "bore"), ("shaft", "beyond"), ("sleeve", "held"), ("sleeve", "nose_radius"), ("sleeve", "clearance"), ("sleeve", "fit"),
    ("ring", "taper"), ("ring", "edge_radius"), ("ring", "start_tolerance"), ("duty", "thrust"), ("duty", "radial"), ("duty", "radial_at"),
    ("duty", "carried_by"), ("push", "travel"), ("push", "force"), ("push", "scatter"), ("service", "speed"), ("service", "ring_hotter"),
    ("service", "warmer"), ("after", "release"), ("after", "twist"), ("screws", "torque"), ("screws", "jacking"), ("screws", "settling"),
    ("mesh", "size"), ("solver", "plastic"), ("solver", "penalty"), ("shaft", "material"), ("sleeve", "material"), ("ring", "material"),
})  # fmt: skip
SIZES = [(table, key) for table, key in KEYS if table in ("shaft", "sleeve", "ring", "screws", "duty", "push", "service", "friction")]
DROP = object()


def toml(value):
    """A value as TOML writes it; nested tables inline."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return '"' + "".join(c if c.isprintable() and c not in '"\\' else f"\\U{min(ord(c), 0xD7FF):08x}" for c in value) + '"'
    if isinstance(value, dict):
        return "{" + ", ".join(f"{toml(str(k))} = {toml(v)}" for k, v in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(toml, value)) + "]"
    return str(value)


def text_of(tables):
    return "\n".join(f"{toml(name)} = {toml(value)}" for name, value in tables.items())


@st.composite
def mangled(draw, keys, values, most=4):
    """A bundled case with up to `most` of its keys replaced, added or left out."""
    tables = copy.deepcopy(draw(st.sampled_from(EXAMPLES)))
    for _ in range(draw(st.integers(1, most))):
        name, key = draw(st.sampled_from(keys))
        value = draw(st.one_of(values, st.just(DROP)))
        table = tables.setdefault(name, {})
        if isinstance(table, dict):
            table.pop(key, None) if value is DROP else table.update({key: value})
    return tables


def answer(path, *arguments):
    """Exit code, stdout and stderr of `colletfea hand`; a warning of the interpreter counts as an unexpected error."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err), warnings.catch_warnings():
        warnings.simplefilter("error")
        code = cli.main(["hand", str(path), *arguments])
    return code, out.getvalue(), err.getvalue()


def holds(folder, content):
    """Write content and hold `hand` to its promise on it."""
    path = folder / "case.toml"
    path.write_bytes(content)
    code, out, err = answer(path, "--json")
    assert code in (cli.DONE, cli.BAD_INPUT), (code, err)
    if code == cli.DONE:
        assert out.startswith("{") and "NaN" not in out and "Infinity" not in out
    else:
        lines = err.splitlines()
        assert not out and lines and all(len(line) < 600 and line.isprintable() for line in lines), err
    assert {p.name for p in folder.iterdir()} == {"case.toml"}


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("any")


@pytest.mark.slow
@given(tables=mangled(KEYS, VALUE))
@settings(max_examples=700, **ALWAYS)
def test_keys_of_any_type_and_size(folder, tables):
    holds(folder, text_of(tables).encode("utf-8", "replace"))


@pytest.mark.slow
@given(tables=mangled(SIZES, st.one_of(st.floats(1e-4, 1e5), st.floats(0, 60), st.integers(0, 60)), most=3))
@settings(max_examples=300, **ALWAYS)
def test_numbers_that_may_be_meant(folder, tables):
    holds(folder, text_of(tables).encode())


@pytest.mark.slow
@given(tables=st.dictionaries(st.one_of(st.sampled_from([name for name, _ in KEYS]), st.text(max_size=8)), VALUE, max_size=5))
@settings(max_examples=500, **ALWAYS)
def test_any_tables(folder, tables):
    holds(folder, text_of(tables).encode("utf-8", "replace"))


@pytest.mark.slow
@given(content=st.one_of(
    st.binary(max_size=200), st.text(max_size=100).map(lambda text: text.encode("utf-16", "replace")),
    st.text(alphabet='[]{}=."\'#\n\\ ae1-', max_size=80).map(str.encode),
    st.tuples(st.integers(0, 900), st.binary(max_size=3)).map(
        lambda cut: (whole := text_of(EXAMPLES[0]).encode())[: cut[0]] + cut[1] + whole[cut[0] + len(cut[1]) :]),
))  # fmt: skip
@settings(max_examples=500, **ALWAYS)
def test_any_bytes(folder, content):
    holds(folder, content)
