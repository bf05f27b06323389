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
    "cases.study.one": ("cases.study", "cases.run", "cases.simulation.corners", "cases.judgement", "cases.casefile", "cases.hand", "cases.stored", "meshing.session"),
    "cases.study.page": ("cases.study", "cases.report.figures.canvas", "cases.report.html", "cases.report.wording", "cases.stored"),
    "cases.study": ("cases.study", "cases.run", "cases.summary", "cases.simulation.plan", "cases.report.figures.canvas", "cases.report.wording", "cases.casefile", "cases.stored"),
    "cases.pushes": ("cases.workers", *JOB),
    "cases.pages": ("cases.workers", "cases.stored"),
    "cases.run": ("cases.pages", "cases.pushes", "cases.workers", "cases.interrupts", "cases.summary", *JOB, "fea.model", "fea.stepping"),
    "cases.published": (*JOB, "meshing", *FEA),
    "cases.verify": ("cases.published", "cases.run", "cases.summary", "cases.report", *JOB, "meshing", *FEA),
    "cases.cli": (
        "cases.run", "cases.parts", "cases.browser", "cases.summary", "cases.verify", "cases.progress", "cases.interrupts",
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
    whole = TREES[name]
    inner = {id(n) for f in ast.walk(whole) if isinstance(f, (ast.FunctionDef, ast.Lambda)) for n in ast.walk(f)}
    nodes = [n for n in ast.walk(whole) if isinstance(n, (ast.Import, ast.ImportFrom))]
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


@pytest.mark.parametrize("name", FILES)
def test_a_room_imports_only_the_rooms_behind_it(name):
    assert breaches(name) <= STILL


def test_what_is_still_to_be_mended_is_still_broken():
    assert {(name, module) for name, module in STILL if module in own(name)} == STILL


def test_no_circle_between_files():
    graph = {module: {m for m in own(name) if (name, m) not in STILL} for module, name in MODULES.items()}
    while graph:
        free = [module for module, needs in graph.items() if not needs & graph.keys()]
        assert free, f"a circle among {sorted(graph)}"
        for module in free:
            del graph[module]


@pytest.mark.parametrize("name", FILES)
def test_no_name_with_a_leading_underscore_is_taken_from_another_file(name):
    taken = [
        alias.name
        for node in ast.walk(TREES[name])
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("colletfea")
        for alias in node.names
        if alias.name.startswith("_")
    ]
    modules = {a.asname or a.name for n in ast.walk(TREES[name]) if isinstance(n, ast.ImportFrom) for a in n.names
               if f"{n.module}.{a.name}".removeprefix("colletfea.") in MODULES}
    reached = [
        f"{n.value.id}.{n.attr}"
        for n in ast.walk(TREES[name])
        if isinstance(n, ast.Attribute) and isinstance(n.value, ast.Name) and n.value.id in modules and n.attr.startswith("_")
    ]
    assert not taken and not reached


@pytest.mark.parametrize("name", FILES)
def test_no_file_is_long(name):
    assert FILES[name].read_text(encoding="utf-8").count("\n") <= LONGEST


@pytest.mark.parametrize("name", FILES)
def test_foreign_libraries_are_few(name):
    allowed = {"numpy", "scipy", "colletfea", *GUESTS}
    assert {m.split(".")[0] for m in imports(name)} - set(sys.stdlib_module_names) <= allowed
    assert not {"importlib", "runpy"} & {m.split(".")[0] for m in imports(name)} or name in MAY_LOOK_ITSELF_UP
    assert not {"__import__", "exec", "eval", "builtins"} & words(TREES[name])


#: files that read the package's own data or version, or load its names when asked for
MAY_LOOK_ITSELF_UP = {"cases/summary.py", "cases/casefile/examples/__init__.py", "cases/__init__.py", "cases/public/__init__.py", "fea/__init__.py", "meshing/__init__.py"}


@pytest.mark.parametrize("guest", GUESTS)
def test_heavy_library_is_imported_in_one_file_and_inside_a_function(guest):
    users = [n for n in FILES if guest in {m.split(".")[0] for m in imports(n)}]
    assert len(users) <= 1 and all(n.startswith(GUESTS[guest]) for n in users)
    assert not [n for n in users if guest in {m.split(".")[0] for m in imports(n, module_level=True)}]


@pytest.mark.parametrize("name", [n for n in FILES if n.startswith("cases/hand/")])
def test_hand_formulas_import_mathematics_and_each_other_only(name):
    foreign = {m for m in imports(name) if not m.startswith("colletfea.cases.hand") and m.split(".")[0] not in PLAIN}
    assert foreign <= {"colletfea.cases"}


@pytest.mark.parametrize("name", [n for n in FILES if n.startswith("cases/stored/")])
def test_what_is_stored_needs_no_library(name):
    heavy = {m.split(".")[0] for m in imports(name, module_level=True)} - set(sys.stdlib_module_names)
    assert heavy <= {"colletfea"}


@pytest.mark.parametrize("name", FILES)
def test_library_code_neither_asserts_nor_prints(name):
    nodes = list(ast.walk(TREES[name]))
    assert not [n.lineno for n in nodes if isinstance(n, ast.Assert)]
    written = {"print", "stdout", "stderr", "__stdout__", "__stderr__"} & words(TREES[name])
    assert not written or name == "cases/cli.py" or (name == "meshing/session.py" and written == {"stdout"})  # it flushes
