"""Who may import whom, and what library code must not hold; read from the source with ast.

Every own file belongs to the longest room of MAY whose name begins its own. It may import its own room and the rooms behind it
in the table, and nothing else of ours: type hints and imports inside functions count.
"""

import ast
import sys
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
FEA = ("fea.stepping", "fea.solvers", "fea.algebra", "fea.model", "fea.contact", "fea.bodies", "fea.elements", "fea.errors")
JOB = ("cases.judgement", "cases.simulation", "cases.casefile", "cases.hand", "cases.stored")

MAY = {
    "fea.errors": (),
    "fea.elements": ("fea.errors",),
    "fea.bodies": ("fea.elements",),
    "fea.contact": ("fea.elements",),
    "fea.algebra": ("fea.errors",),
    "fea.model": ("fea.contact", "fea.bodies", "fea.elements"),
    "fea.solvers": ("fea.algebra", "fea.model", "fea.contact", "fea.bodies", "fea.elements", "fea.errors"),
    "fea.stepping": ("fea.solvers", "fea.model", "fea.contact", "fea.bodies", "fea.elements", "fea.errors"),
    "fea": FEA,
    "meshing": FEA,
    "cases.stored": (),
    "cases.hand": (),
    "cases.casefile": ("cases.hand", "cases.stored"),
    "cases.simulation": ("cases.casefile", "cases.hand", "cases.stored", "meshing", *FEA),
    "cases.judgement": ("cases.simulation", "cases.casefile", "cases.hand", "cases.stored", "fea.contact"),
    "cases.drawing": ("cases.hand",),
    "cases.parts": ("cases.drawing", "cases.hand", "cases.casefile", "cases.stored", "meshing"),
    "cases.report": ("cases.stored", "cases.casefile", "cases.drawing"),
    "cases.browser": (
        "cases.run", "cases.workers", "cases.report", "cases.drawing", "cases.parts", "cases.casefile", "cases.hand", "cases.stored",
        "cases.summary", "cases.interrupts", "cases.judgement.by_hand",
    ),
    "cases.progress": (),
    "cases.interrupts": (),
    "cases.summary": ("cases.judgement.by_hand", "cases.casefile", "cases.hand", "cases.stored"),
    "cases.workers": ("meshing.signals",),
    "cases.study.command": ("cases.study", "cases.casefile"),
    "cases.study.workers": ("cases.summary",),
    "cases.study.one": ("cases.study", "cases.run", "cases.deciding", "cases.simulation.corners", "cases.judgement", "cases.casefile", "cases.hand", "cases.stored", "meshing.session"),
    "cases.study.page": ("cases.study", "cases.report.figures.canvas", "cases.report.html", "cases.report.wording", "cases.stored"),
    "cases.study": ("cases.study", "cases.run", "cases.summary", "cases.simulation.plan", "cases.report.figures.canvas", "cases.report.wording", "cases.casefile", "cases.stored"),
    "cases.pushes": ("cases.workers", *JOB),
    "cases.pages": ("cases.workers", "cases.stored"),
    "cases.deciding": ("cases.pushes", "cases.workers", *JOB),
    "cases.run": ("cases.pages", "cases.deciding", "cases.pushes", "cases.workers", "cases.interrupts", "cases.summary", *JOB, "fea.model", "fea.stepping"),
    "cases.verification": ("cases.run", *JOB, "meshing", *FEA),
    "cases.verify": ("cases.verification", "cases.report"),
    "cases.cli": (
        "cases.run", "cases.parts", "cases.browser", "cases.summary", "cases.verify", "cases.verification", "cases.progress", "cases.interrupts",
        "cases.report", "cases.study.command", *JOB,
    ),
    "cases.public": ("cases", "cases.cli"),
    "cases": ("cases.run", "cases.summary", "cases.report", *JOB),
}
#: breaches that are still to be mended: (file, imported file)
STILL: set[tuple[str, str]] = set()
PLAIN = {"math", "dataclasses", "typing", "collections", "functools", "itertools", "__future__", "enum"}
GUESTS = {
    "gmsh": "meshing/", "matplotlib": "cases/report/figures/", "dask": "cases/study/workers.py",
    "distributed": "cases/study/workers.py", "nicegui": "cases/browser/page.py", "uvicorn": "cases/browser/page.py",
    "fastapi": "cases/browser/page.py",
}
LONGEST = 330

FILES = {p.relative_to(ROOT).as_posix(): p for floor in ("fea", "meshing", "cases") for p in sorted((ROOT / floor).rglob("*.py"))}


def module_of(name):
    """fea.contact.pair for fea/contact/pair.py; a package by its folder's name."""
    return name.removesuffix(".py").removesuffix("/__init__").replace("/", ".")


MODULES = {module_of(name): name for name in FILES}
TREES = {name: ast.parse(path.read_text(encoding="utf-8"), name) for name, path in FILES.items()}


def room_of(module):
    """The longest room whose name begins the module's."""
    return max((room for room in MAY if f"{module}.".startswith(f"{room}.")), key=len)


def imported(node):
    """Full module names that an import statement names, with `from a import b` as a.b too."""
    if isinstance(node, ast.Import):
        return [alias.name for alias in node.names]
    assert not node.level, "imports are absolute"
    return [node.module, *(f"{node.module}.{alias.name}" for alias in node.names)]


@cache
def words(tree):
    """Every name that a file uses, reaches as an attribute or imports."""
    nodes = list(ast.walk(tree))
    used = {n.id for n in nodes if isinstance(n, ast.Name)} | {n.attr for n in nodes if isinstance(n, ast.Attribute)}
    return used | {a.name for n in nodes if isinstance(n, (ast.Import, ast.ImportFrom)) for a in n.names}


@cache
def imports(name, module_level=None):
    """Modules that a file imports; module_level picks those outside (True) or inside (False) functions."""
    nodes, inner = [n for n in ast.walk(TREES[name]) if isinstance(n, (ast.Import, ast.ImportFrom))], set()
    if module_level is not None:
        inner = {id(n) for f in ast.walk(TREES[name]) if isinstance(f, (ast.FunctionDef, ast.Lambda)) for n in ast.walk(f)}
    return {m for n in nodes if module_level is None or (id(n) not in inner) == module_level for m in imported(n)}


@cache
def own(name):
    """Own files that a file imports, as modules; a package counts where one of its own names is taken."""
    found = set()
    for node in ast.walk(TREES[name]):
        if isinstance(node, ast.Import):
            names = {alias.name for alias in node.names if alias.name.split(".")[0] == "colletfea"}
            found |= {"cases.public" if name == "colletfea" else name.removeprefix("colletfea.") for name in names}
        elif isinstance(node, ast.ImportFrom) and (node.module or "").startswith("colletfea"):
            base = "cases.public" if node.module == "colletfea" else node.module.removeprefix("colletfea.")
            for alias in node.names:
                inside = f"{base}.{alias.name}" if node.module != "colletfea" else alias.name
                found.add(inside if inside in MODULES else base)
    return {module for module in found if module in MODULES and MODULES[module] != name}


def breaches(name):
    room = room_of(module_of(name))
    return {
        (name, module)
        for module in own(name)
        if room_of(module) != room and not any(f"{module}.".startswith(f"{may}.") for may in MAY[room])
    }


def test_there_is_something_to_look_at():
    assert len(FILES) > 90 and {"cases/hand/calculation.py", "fea/contact/contact.py"} <= set(FILES)
    assert own("cases/hand/calculation.py") >= {"cases.hand.columns", "cases.hand.coupling"}


def test_a_room_imports_only_the_rooms_behind_it():
    assert {breach for name in FILES for breach in breaches(name)} <= STILL


def test_what_is_still_to_be_mended_is_still_broken():
    assert {(name, module) for name, module in STILL if module in own(name)} == STILL


def test_no_circle_between_files():
    graph = {module: {m for m in own(name) if (name, m) not in STILL} for module, name in MODULES.items()}
    while graph:
        free = [module for module, needs in graph.items() if not needs & graph.keys()]
        assert free, f"a circle among {sorted(graph)}"
        for module in free:
            del graph[module]


def private(name):
    """Names with a leading underscore that a file takes from another one, by import or as an attribute of its module."""
    nodes = list(ast.walk(TREES[name]))
    froms = [(n.module or "", a) for n in nodes if isinstance(n, ast.ImportFrom) for a in n.names]
    taken = [a.name for module, a in froms if module.startswith("colletfea") and a.name.startswith("_")]
    modules = {a.asname or a.name for module, a in froms if f"{module}.{a.name}".removeprefix("colletfea.") in MODULES}
    reached = [n for n in nodes if isinstance(n, ast.Attribute) and isinstance(n.value, ast.Name) and n.value.id in modules]
    return [*taken, *(f"{n.value.id}.{n.attr}" for n in reached if n.attr.startswith("_"))]


def test_no_name_with_a_leading_underscore_is_taken_from_another_file():
    assert not {name: found for name in FILES if (found := private(name))}


def test_no_file_is_long():
    lines = {name: path.read_text(encoding="utf-8").count("\n") for name, path in FILES.items()}
    assert not {name: count for name, count in lines.items() if count > LONGEST}


def test_foreign_libraries_are_few():
    allowed = {"numpy", "scipy", "colletfea", *GUESTS, *sys.stdlib_module_names}
    roots = {name: {m.split(".")[0] for m in imports(name)} for name in FILES}
    assert not {name: found for name, some in roots.items() if (found := some - allowed)}
    assert not {name for name, some in roots.items() if {"importlib", "runpy"} & some} - MAY_LOOK_ITSELF_UP
    assert not {name: found for name in FILES if (found := {"__import__", "exec", "eval", "builtins"} & words(TREES[name]))}


#: files that read the package's own data or version, or load its names when asked for
MAY_LOOK_ITSELF_UP = {"cases/summary.py", "cases/casefile/examples/__init__.py", "cases/__init__.py", "cases/public/__init__.py", "fea/__init__.py", "meshing/__init__.py"}


@pytest.mark.parametrize("guest", GUESTS)
def test_heavy_library_is_imported_in_one_file_and_inside_a_function(guest):
    users = [n for n in FILES if guest in {m.split(".")[0] for m in imports(n)}]
    assert len(users) <= 1 and all(n.startswith(GUESTS[guest]) for n in users)
    assert not [n for n in users if guest in {m.split(".")[0] for m in imports(n, module_level=True)}]


def test_hand_formulas_import_mathematics_and_each_other_only():
    every = {(n, m) for n in FILES if n.startswith("cases/hand/") for m in imports(n)}
    assert len(every) > 20 and {m for _, m in every if not m.startswith("colletfea.cases.hand") and m.split(".")[0] not in PLAIN} <= {"colletfea.cases"}


def test_all_but_two_files_judge_without_knowing_whether_formulas_or_a_simulation_gave_the_numbers():
    users = {n for n in FILES if n.startswith("cases/judgement/") and any(m.startswith(("cases.simulation", "fea", "meshing")) for m in own(n))}
    assert users == {"cases/judgement/looked.py", "cases/judgement/peaks.py"}


def test_what_is_stored_needs_no_library():
    heavy = {(n, m.split(".")[0]) for n in FILES if n.startswith("cases/stored/") for m in imports(n, module_level=True)}
    assert len(heavy) > 5 and {library for _, library in heavy} - set(sys.stdlib_module_names) <= {"colletfea"}
    inside = {m.split(".")[0] for n in FILES if n.startswith("cases/stored/") for m in imports(n, module_level=False)}
    assert inside - set(sys.stdlib_module_names) == {"numpy"}


def test_degrees_become_radians_in_one_file():
    """Beside the angle of a view, which is none of a case's, and the targets of an installation's checks, which owe nothing to what they check."""
    users = {name for name in FILES if "radians" in words(TREES[name]) and not name.startswith("cases/verification/")}
    assert users - {"cases/drawing/solid_view.py"} == {"cases/hand/geometry.py"}


def test_library_code_neither_asserts_nor_prints():
    assert not [(name, n.lineno) for name, tree in TREES.items() for n in ast.walk(tree) if isinstance(n, ast.Assert)]
    written = {name: {"print", "stdout", "stderr", "__stdout__", "__stderr__"} & words(tree) for name, tree in TREES.items()}
    assert written.pop("cases/cli.py") and written.pop("meshing/session.py") <= {"stdout"}  # it flushes
    assert not {name: found for name, found in written.items() if found}
