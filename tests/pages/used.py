"""Where an equation, a quantity and a source are used."""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable, Iterator
from functools import cache
from importlib.resources import files
from typing import Any

from haymow import steps
from haymow.dialect import EQUATIONS
from haymow.ranch import Ranch, sizes_for
from haymow.tables import Book, Calc, Column, Entry
from haymow.tables.make import make
from haymow.tables.small import rows_of
from haymow.workbook import looks

__all__ = ["book", "columns_of", "data_tables", "held_in", "key_in", "label_of", "looked_up",
           "settings_from", "steps", "typed_on"]

IN_WORDS = {"common practice": "COMMON-PRACTICE", "decision: ": "HAYMOW",
            "design choice": "HAYMOW", "your ": "HAYMOW"}


@cache
def book() -> Book:
    """The tables of a US workbook."""
    return make(Ranch(sizes=sizes_for({})))


@cache
def columns_of() -> dict[str, list[str]]:
    """Equation -> the columns it works out: "Needs: Maintenance NEm"; a block's only once."""
    found: dict[str, list[str]] = {}
    for table in book().tables.values():
        for column in table.columns:
            for member in book().members(column):
                if isinstance(column, Calc):
                    name = book().equation_name(column, member, EQUATIONS)
                    words = f"{table.sheet}: {looks.label_of(column)}"
                    if words not in found.setdefault(name, []):
                        found[name].append(words)
    for setting in book().settings.values():
        if setting.by:
            found.setdefault(setting.by, []).append(f"Sources: {setting.label}")
    return found


@cache
def held_in() -> dict[str, list[str]]:
    """Equation -> the equations whose functions call it."""
    found: dict[str, list[str]] = {}
    for name, equation in EQUATIONS.items():
        for called in dict.fromkeys(_called(equation.function, set())):
            found.setdefault(called, []).append(name)
    return found


def _called(function: Callable[..., Any], seen: set[Callable[..., Any]]) -> Iterator[str]:
    """Names of the equations that a function calls, itself or through its helpers."""
    seen.add(function)
    for name in inspect.getclosurevars(function).globals:
        target = function.__globals__[name]
        if not inspect.isfunction(target) or target in seen:
            continue
        if name in EQUATIONS and EQUATIONS[name].function is target:
            yield name
        elif target.__module__.startswith(("haymow.equations", "haymow.steps")):
            yield from _called(target, seen)


@cache
def typed_on() -> dict[str, list[str]]:
    """Quantity -> the sheets on which it is typed."""
    found: dict[str, list[str]] = {}
    for table in book().tables.values():
        for column in table.columns:
            if isinstance(column, Entry) and not column.over:
                found.setdefault(column.quantity or column.name, []).append(table.sheet)
    for setting in book().settings.values():
        if setting.typed:
            found.setdefault(setting.name, []).append("Start")
    return found


@cache
def looked_up() -> dict[str, list[str]]:
    """Quantity -> the sheets with a column of it that is neither typed nor an equation."""
    found: dict[str, list[str]] = {}
    for table in book().tables.values():
        for column in table.columns:
            if not isinstance(column, Calc | Entry):
                found.setdefault(column.name, []).append(table.sheet)
    return found


def label_of(name: str) -> str:
    """The label of a quantity that is only a column: as the first table that has it says."""
    setting = book().settings.get(name)
    if setting:
        return setting.label
    for table in book().tables.values():
        for column in table.columns:
            if column.name == name:
                return looks.label_of(column)
    block = _block(name)
    return looks.label_of(block) if block else name.replace("_", " ")


def _block(name: str) -> Column | None:
    """The block whose member ``name`` is: ``quality_tdn`` of ``quality``."""
    block, _, member = name.rpartition("_")
    for table in book().tables.values():
        column = table.at.get(block)
        if column and column.over and member in book().dimensions[column.over]:
            return column
    return None


@cache
def data_tables() -> dict[str, tuple[dict[str, str], ...]]:
    """All packaged tables by name."""
    folder = files("haymow").joinpath("data")
    names = sorted(p.name.removesuffix(".csv") for p in folder.iterdir() if p.name.endswith(".csv"))
    return {name: rows_of(name) for name in names}


def settings_from(key: str) -> list[str]:
    """Labels of the settings that name a source."""
    return [s.label for s in book().settings.values() if key_in(s.source) == key]


def key_in(source: str) -> str:
    """The key of the source of a setting, which may be said in words; more words may follow.

    >>> key_in("NRC2000, table 1"), key_in("decision: why"), key_in("common practice; no source")
    ('NRC2000', 'HAYMOW', 'COMMON-PRACTICE')
    """
    said = next((words for words in IN_WORDS if source.startswith(words)), "")
    return IN_WORDS.get(said) or re.split("[,:;]", source)[0].strip()


