"""How a function is offered to Excel: ranges in, ranges out, help from the glossary."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from typing import Any

import xlwings as xw

from ..quantities import glossary
from ..tables.small import rows_of

__all__ = ["CATEGORY", "MOST_HELP", "Function", "help_for", "in_excel"]

CATEGORY = "Haymow"
MOST_HELP = 255  # characters; Excel shows no more
CLASS = "class_name"  # the one argument that is a word

Function = Callable[..., Any]


def in_excel(function: Function) -> Function:
    """Offer ``function`` to Excel: each argument a block of cells, the docstring its help.

    Elsewhere than on Windows this leaves the function as it is.
    """
    function.__doc__ = " ".join((function.__doc__ or "").split())[:MOST_HELP]
    for name in inspect.signature(function).parameters:
        function = xw.arg(name, ndim=2, err_to_str=True, doc=help_for(name))(function)
    offered: Function = xw.func(category=CATEGORY)(function)
    return offered


def help_for(name: str) -> str:
    """What Excel says about an argument, at most 255 characters.

    >>> help_for("adf_pct_dm")
    'ADF, % of DM: acid detergent fiber; 10 to 75'
    """
    if name == CLASS:
        return ("Class: " + ", ".join(row["class"] for row in rows_of("classes")))[:MOST_HELP]
    line = glossary()[name]
    unit = line.unit.si
    if unit == "date":
        return f"{line.label}, a date: {line.meaning}"[:MOST_HELP]
    head = f"{line.label}, {unit}" if unit else line.label
    span = f"; {line.low:g} to {line.high:g}"
    return f"{head}: {line.meaning}"[:MOST_HELP - len(span)] + span
