"""What holds for the repository as a whole."""

from __future__ import annotations

import ast
import csv
import importlib
import os
import pkgutil
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

import haymow
from haymow import dialect, quantities

ROOT = Path(__file__).resolve().parents[1]
TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "engine", "tests", "demo", "docs",
       "workbook_template"}
LINES = 400
LICENSED_APART = {"pro", "server", "reports"}  # parts of xlwings under another license
MACHINE = re.compile(r"(?:^|[^A-Za-z0-9_.])/(?:tmp|work|farm|root|home|Users|opt)/"
                     r"|[A-Z]:\\Users\\|[.]library/", re.M)
REGISTRY = re.compile(r"--(?:extra-)?index-url|--(?:registry|trusted-host|find-links)"
                      r"|https?://[^\s)]*/simple\b|pypi[.]org|pythonhosted[.]org|npmjs[.]org")


@cache
def repository_files() -> list[Path]:
    """Files that belong to the repository; a copy without git counts all but made ones."""
    command = ["git", "ls-files", "--cached", "--others", "--exclude-standard"]
    try:
        asked = subprocess.run(command, cwd=ROOT, capture_output=True, text=True)
    except OSError:
        asked = None
    if asked is not None and not asked.returncode:
        names = [Path(name) for name in asked.stdout.splitlines()]
    else:
        names = [path.relative_to(ROOT) for path in ROOT.rglob("*")]
        names = [name for name in names if not name.is_relative_to("demo/out")
                 and not any(part == "__pycache__" or part.endswith(".egg-info")
                             for part in name.parts) and not name.parts[0].startswith(".")]
    return [name for name in names if (ROOT / name).is_file()]


def texts() -> Iterator[tuple[Path, str]]:
    """Each file of the repository that is text."""
    for name in repository_files():
        content = (ROOT / name).read_bytes()
        if b"\0" not in content[:8000]:
            yield name, content.decode("utf-8", errors="replace")


def test_the_top_level_holds_the_agreed_names_and_no_others():
    found = {name.parts[0] for name in repository_files()}
    assert {name for name in found if not name.startswith(".")} - TOP == set()
    # The templates come with the macros.
    assert TOP - found <= {"workbook_template"}


def test_no_module_of_the_engine_is_too_long_to_read():
    counted = {name.as_posix(): text.count("\n") for name, text in texts()
               if name.parts[0] == "engine" and name.suffix == ".py"}
    assert {name: lines for name, lines in counted.items() if lines > LINES} == {}


@pytest.mark.parametrize("pattern", [MACHINE, REGISTRY], ids=["machine", "registry"])
def test_no_file_names_a_place_on_one_computer_or_a_package_registry(pattern):
    found = [f"{name}:{text.count(chr(10), 0, match.start()) + 1}: {match[0].strip()}"
             for name, text in texts() for match in pattern.finditer(text)]
    assert found == []


@pytest.mark.parametrize(("pattern", "text"), [
    (MACHINE, "see /" + "tmp/x"), (MACHINE, "C:\\" + "Users\\x"), (MACHINE, "." + "library/x"),
    (REGISTRY, "pip install --index" + "-url x"), (REGISTRY, "https://host/" + "simple"),
])
def test_a_named_place_is_found(pattern, text):
    assert pattern.search(text)


def test_no_code_uses_the_separately_licensed_parts_of_xlwings():
    found = [f"{name}: {used}" for name, text in texts() if name.suffix == ".py"
             for used in licensed_apart(text)]
    assert found == []


@pytest.mark.parametrize("source", [
    "import xlwings.pro", "from xlwings.server import func", "from xlwings import reports",
    "import xlwings as xw\nxw.server.func", "import xlwings\nxlwings.pro.x",
])
def test_a_separately_licensed_part_is_found(source):
    assert list(licensed_apart(source))


def licensed_apart(source: str) -> Iterator[str]:
    """Uses of the parts of xlwings that are not under its open license."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            names = [f"{node.module}.{alias.name}" for alias in node.names]
        elif isinstance(node, ast.Attribute):
            names = [re.sub(r"^xw\.", "xlwings.", ast.unparse(node))]
        else:
            continue
        parts = [name.split(".") for name in names]
        yield from (".".join(p) for p in parts
                    if p[0] == "xlwings" and len(p) > 1 and p[1] in LICENSED_APART)


def test_setting_up_leaves_a_folder_alone_that_is_no_environment(tmp_path):
    (tmp_path / "precious.txt").write_text("kept")
    done = subprocess.run([sys.executable, ROOT / "demo" / "run.py"], capture_output=True,
                          text=True, env={**os.environ, "HAYMOW_VENV": str(tmp_path)})
    assert done.returncode == 1
    assert re.fullmatch(r"error: .* is no virtual environment and is left alone; .*\n", done.stderr)
    assert [path.name for path in tmp_path.iterdir()] == ["precious.txt"]


@pytest.mark.parametrize("command", ["demo/run.py", "tests/run.py"])
def test_a_python_that_is_too_old_is_told_so_in_one_sentence(command):
    old = ("import runpy, sys; sys.version_info = (3, 9, 2); sys.path.insert(0, 'demo');"
           f"runpy.run_path({command!r}, run_name='__main__')")
    done = subprocess.run([sys.executable, "-c", old], cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 1
    assert re.fullmatch(r"Haymow needs Python 3\.\d+ or newer and this is 3\.9; .*\n", done.stderr)


def test_the_license_is_stated_as_an_spdx_expression():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    assert project["license"] == "BSD-3-Clause"


@cache
def equations() -> list[dialect.Equation]:
    """Every equation that the package registers."""
    for module in pkgutil.walk_packages(haymow.__path__, "haymow."):
        if not module.name.endswith("__main__"):
            importlib.import_module(module.name)
    return [found for found in dialect.EQUATIONS.values()
            if found.function.__module__.startswith("haymow.")]


def test_every_equation_names_a_source_of_the_bibliography():
    with (ROOT / "engine/haymow/data/sources.csv").open(encoding="utf-8", newline="") as file:
        known = {row["key"] for row in csv.DictReader(file)}
    named = {found.name: found.source for found in equations()}
    assert named
    assert {name: source for name, source in named.items() if source not in known} == {}


def test_every_quantity_of_a_published_equation_is_in_the_glossary():
    # The plan's own steps are columns; those say which line of the glossary they show.
    needed = {name: found.name for found in equations() if found.published
              for name in [found.name, *dialect.parameters(found.function)]}
    glossary = quantities.glossary()
    assert needed
    assert {name: where for name, where in needed.items() if name not in glossary} == {}
