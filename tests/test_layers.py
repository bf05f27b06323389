"""Who may import whom, and what library code must not hold; read from the source with ast."""

import ast
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
FLOORS = ["fea", "meshing", "cases"]
BELOW = {"fea": set(), "meshing": {"fea"}, "cases": {"fea", "meshing"}}
FILES = {p.relative_to(ROOT).as_posix(): p for floor in FLOORS for p in sorted((ROOT / floor).rglob("*.py"))}
HAND_HELPERS = ("formulas", "slits", "lame", "gauss", "coupling")
HAND = [
    n
    for n in FILES
    if n.startswith("cases/")
    and n.count("/") == 1
    and (Path(n).stem in HAND_HELPERS or Path(n).stem.startswith(("hand_", "slits", "slit_")))
]
PLAIN = {"math", "dataclasses", "typing", "collections", "functools", "itertools", "__future__", "enum"}
GUESTS = {"gmsh": "meshing/", "meshio": "fea/", "matplotlib": "cases/plots/"}


def tree(name):
    return ast.parse(FILES[name].read_text(encoding="utf-8"), name)


def imported(node):
    """Full module names that an import statement names, with `from a import b` as a.b too."""
    if isinstance(node, ast.Import):
        return [alias.name for alias in node.names]
    assert not node.level, "imports are absolute"
    return [node.module, *(f"{node.module}.{alias.name}" for alias in node.names)]


def imports(name, module_level=None):
    """Modules that a file imports; module_level picks those outside (True) or inside (False) functions."""
    whole = tree(name)
    inner = {
        id(n) for f in ast.walk(whole) if isinstance(f, (ast.FunctionDef, ast.Lambda)) for n in ast.walk(f)
    }
    nodes = [n for n in ast.walk(whole) if isinstance(n, (ast.Import, ast.ImportFrom))]
    return {
        m for n in nodes if module_level is None or (id(n) not in inner) == module_level for m in imported(n)
    }


def tops(modules):
    return {m.split(".")[0] for m in modules}


def test_there_is_something_to_look_at():
    assert len(FILES) > 40 and {"cases/formulas.py", "cases/slits.py", "cases/lame.py"} <= set(HAND)


@pytest.mark.parametrize("name", FILES)
def test_imports_go_down_only(name):
    floor = name.split("/")[0]
    allowed = BELOW[floor] | {floor}
    assert tops(imports(name)) & set(FLOORS) <= allowed


@pytest.mark.parametrize("name", [n for n in FILES if n.startswith("fea/")])
def test_mechanics_stand_on_numpy_and_scipy_alone(name):
    allowed = {"numpy", "scipy", "fea", "meshio"}  # meshio: in one file and inside a function, see below
    assert {m for m in tops(imports(name)) if m not in sys.stdlib_module_names} <= allowed


@pytest.mark.parametrize("guest", GUESTS)
def test_heavy_library_is_imported_in_one_file_and_inside_a_function(guest):
    users = [n for n in FILES if guest in tops(imports(n))]
    assert len(users) <= 1 and all(n.startswith(GUESTS[guest]) for n in users)
    assert not [n for n in users if guest in tops(imports(n, module_level=True))]


@pytest.mark.parametrize("name", HAND)
def test_hand_formulas_import_mathematics_and_each_other_only(name):
    own = {f"cases.{Path(n).stem}" for n in HAND}
    for module in imports(name):
        assert (
            module.split(".")[0] in PLAIN
            or module == "cases"
            or any(f"{module}.".startswith(f"{o}.") for o in own)
        ), module


@pytest.mark.parametrize("name", FILES)
def test_library_code_neither_asserts_nor_prints(name):
    nodes = list(ast.walk(tree(name)))
    assert not [n.lineno for n in nodes if isinstance(n, ast.Assert)]
    printed = [n.lineno for n in nodes if isinstance(n, ast.Call) and getattr(n.func, "id", None) == "print"]
    assert not printed or name == "cases/cli.py"
