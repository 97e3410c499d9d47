"""How long the main job takes: evaluate, plan, formulas, write, seal, read, commands."""

from __future__ import annotations

import shutil
import subprocess
import sys

import pytest

import referee
from haymow.evaluate import Values
from haymow.plan import plan
from haymow.tables.make import make
from haymow.workbook.build import build
from haymow.workbook.formulas import Formulas
from haymow.workbook.read import read
from haymow.workbook.seal import seal
from random_ranch import random_ranch

SIZES = {"12x12": (12, 12), "60x24": (60, 24)}


@pytest.fixture(params=SIZES, scope="module")
def ranch(request):
    groups, months = SIZES[request.param]
    return random_ranch(2, groups=groups, months=months, us=True, holes=0.0)


def every_value(ranch):
    book = make(ranch)
    values = Values(book, ranch)
    for table in book.tables.values():
        for column in table.columns:
            for member in book.members(column):
                values.whole(table, column, member)
    return values


def test_evaluate_every_column(benchmark, ranch):
    benchmark.pedantic(every_value, (ranch,), rounds=3, warmup_rounds=1)


def test_plan(benchmark, ranch):
    benchmark.pedantic(plan, (ranch,), rounds=5, warmup_rounds=1)


def test_formula_texts(benchmark, ranch):
    book = make(ranch)

    def texts():
        formulas = Formulas(book)
        return [formulas.template(table, column, member)
                for table in book.tables.values() if table.name != "Checks"
                for column, member in formulas.cells[table.name]
                if type(column).__name__ not in ("Key", "Entry")]
    benchmark.pedantic(texts, rounds=3)


def test_write_and_seal(benchmark, ranch, tmp_path):
    benchmark.pedantic(build, (ranch, tmp_path / "ranch.xlsx"), rounds=2)


def test_seal(benchmark, ranch, tmp_path):
    path = tmp_path / "ranch.xlsx"
    cached = build(ranch, path)

    def again():
        shutil.copy(path, tmp_path / "copy.xlsx")
        seal(tmp_path / "copy.xlsx", cached)
    benchmark.pedantic(again, rounds=2)


def test_read_back(benchmark, ranch, tmp_path):
    path = tmp_path / "ranch.xlsx"
    build(ranch, path)
    benchmark.pedantic(read, (path,), rounds=2)


def test_libreoffice_recalculates_the_same_file(benchmark, ranch, tmp_path):
    if not referee.available():
        pytest.skip("LibreOffice not found")
    path = tmp_path / "ranch.xlsx"
    build(ranch, path)
    benchmark.pedantic(referee.recalculated, ([path], tmp_path / "again"), rounds=1)


def test_haymow_plan_as_a_process(benchmark, tmp_path):
    path = tmp_path / "ranch.xlsx"
    build(random_ranch(2, groups=12, months=12), path)
    benchmark.pedantic(_run, ("plan", str(path)), rounds=3)


def test_haymow_help_as_a_process(benchmark):
    benchmark.pedantic(_run, ("--help",), rounds=5, warmup_rounds=1)


def _run(*words):
    subprocess.run([sys.executable, "-m", "haymow", *words], capture_output=True, check=False)
