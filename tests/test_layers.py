"""Who may import whom inside the engine, and who may touch files."""

from __future__ import annotations

import ast
import graphlib
from collections.abc import Iterator
from pathlib import Path

import pytest

ENGINE = Path(__file__).resolve().parents[1] / "engine" / "haymow"
LAYERS = [
    {"__init__", "units", "problems", "quantities", "dialect"},
    {"equations", "steps", "ranch", "tables"},
    {"evaluate", "lab", "sampling"},
    {"samples", "report_card", "plan", "plan_words", "rests_on", "calc", "demo", "feeds",
     "leastcost", "risk", "on_hand", "budget", "safety"},
    {"workbook", "report", "plots"},
    {"excel", "cli", "__main__"},
]
TOUCH_FILES = {"lab", "workbook", "report", "plots", "excel", "cli", "__main__"}
TO_FILE = {"savetxt", "savefig", "save", "unlink", "rename", "mkdir", "rmdir", "touch"}

SOURCES = {  # dotted name inside the package -> file
    ".".join(path.relative_to(ENGINE).with_suffix("").parts): path
    for path in sorted(ENGINE.rglob("*.py"))
}
MODULES = {name.removesuffix(".__init__") for name in SOURCES}.union(*LAYERS)


@pytest.mark.parametrize("name", SOURCES)
def test_a_module_imports_only_its_own_and_lower_layers(name):
    assert list(wrong_imports(name, SOURCES[name].read_text("utf-8"))) == []


@pytest.mark.parametrize("name", SOURCES)
def test_only_the_edges_of_the_program_touch_files(name):
    assert list(touched_files(name, SOURCES[name].read_text("utf-8"))) == []


def test_no_modules_import_each_other_in_a_circle():
    graph = {name.removesuffix(".__init__"): set(imports(name, path.read_text("utf-8")))
             for name, path in SOURCES.items()}
    graphlib.TopologicalSorter(graph).prepare()  # raises CycleError with the circle


@pytest.mark.parametrize(("name", "source", "words"), [
    ("tables.kinds", "from ..plan import plan", "tables may not import plan"),
    ("units", "def late():\n    from . import cli", "units may not import cli"),
    ("plan", "from haymow.units import parse", "write the import of haymow.units with a dot"),
    ("plan", "import haymow", "write the import of haymow with a dot"),
    ("plan", "from .gone import x", "gone stands in no layer"),
    ("helpers", "", "helpers stands in no layer"),
])
def test_a_wrong_import_is_found(name, source, words):
    assert words in " ".join(wrong_imports(name, source))


@pytest.mark.parametrize("source", [
    "open('a')", "path.open()", "Path('a').read_text()", "pd.read_csv('a')", "frame.to_csv('a')",
    "np.savetxt('a', x)", "path.write_bytes(b'')",
])
def test_a_touched_file_is_found(source):
    assert list(touched_files("plan", source))
    assert not list(touched_files("workbook.build", source))


def test_data_inside_the_package_may_be_read_anywhere():
    source = "files('haymow').joinpath('data/sources.csv').read_text('utf-8')"
    assert not list(touched_files("quantities", source))


def layer(module: str) -> int | None:
    """Number of the layer in which a dotted name of the package stands."""
    return next((n for n, names in enumerate(LAYERS) if module.split(".")[0] in names), None)


def wrong_imports(name: str, source: str) -> Iterator[str]:
    """What is wrong with the imports of a module."""
    own = layer(name)
    if own is None:
        yield f"{name} stands in no layer"
        return
    for node in ast.walk(ast.parse(source)):
        yield from (f"write the import of {full} with a dot" for full in absolute(node))
    for target in imports(name, source):
        its = layer(target)
        if its is None:
            yield f"{target} stands in no layer"
        elif its > own:
            yield f"{name.split('.')[0]} may not import {target}"


def absolute(node: ast.AST) -> list[str]:
    """Names of the package imported without a leading dot."""
    names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
    if isinstance(node, ast.ImportFrom) and not node.level:
        names = [node.module or ""]
    return [name for name in names if name.split(".")[0] == "haymow"]


def imports(name: str, source: str) -> Iterator[str]:
    """Dotted names of the package's modules that a module imports with dots."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.ImportFrom) and node.level:
            base = [*name.split(".")[:-node.level], *(node.module or "").split(".")]
            base = [part for part in base if part]
            inner = [".".join([*base, alias.name]) for alias in node.names]
            found = [full for full in inner if full in MODULES]
            yield from found
            if len(found) < len(inner):  # something that the package or module itself holds
                yield ".".join(base) or "__init__"


def touched_files(name: str, source: str) -> Iterator[str]:
    """Calls of a module that read or write files it may not touch."""
    if name.split(".")[0] in TOUCH_FILES:
        return
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call) and _opens(node.func):
            yield f"{name}:{node.lineno} {ast.unparse(node.func)}"


def _opens(called: ast.expr) -> bool:
    if isinstance(called, ast.Name):
        return called.id == "open"
    if not isinstance(called, ast.Attribute) or _root(called) == "files":  # importlib.resources
        return False
    word = called.attr
    writes = word.startswith(("read_", "write_", "to_csv", "to_excel", "to_json", "to_pickle"))
    return writes or word == "open" or word in TO_FILE


def _root(node: ast.expr) -> str:
    """The name with which a chain of attributes and calls begins."""
    while isinstance(node, (ast.Attribute, ast.Call)):
        node = node.value if isinstance(node, ast.Attribute) else node.func
    return node.id if isinstance(node, ast.Name) else ""
