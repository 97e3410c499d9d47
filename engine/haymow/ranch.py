"""What the user enters: a frozen record of typed cells and settings, in the user's own units."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field

__all__ = ["EPOCH", "Cell", "Ranch", "day_number", "sizes_for"]

Cell = float | str | dt.date | None
EPOCH = dt.date(1899, 12, 30)  # day 0 of spreadsheet dates from March 1900 on


@dataclass(frozen=True)
class Ranch:
    """Everything typed: table -> row number (from 1) -> column -> value.

    A block's member is written ``reported.cp``. Numbers are in the workbook's units (``us``:
    lb, tons; else kg, tonnes). ``sizes`` are the numbers of groups, months, forages, products,
    samples and lines the workbook has room for.
    """

    entries: Mapping[str, Mapping[int, Mapping[str, Cell]]] = field(default_factory=dict)
    settings: Mapping[str, Cell] = field(default_factory=dict)
    sizes: Mapping[str, int] = field(default_factory=dict)
    us: bool = True


def sizes_for(entries: Mapping[str, Mapping[int, object]], months: int = 12, lines: int = 3
              ) -> dict[str, int]:
    """Room for what is in use plus a few: at least two spare rows, in steps of four."""
    least = {"group": ("Herd", 4), "forage": ("Forages", 8), "product": ("Supplements", 8),
             "sample": ("Samples", 24)}
    sizes = {"month": months, "line": lines}
    for dimension, (table, floor) in least.items():
        used = max(entries.get(table, {}), default=0)
        sizes[dimension] = max(floor, -(-(used + 2) // 4) * 4)
    return sizes


def day_number(day: dt.date) -> float:
    """A date as the number a spreadsheet keeps.

    >>> day_number(dt.date(2026, 10, 1))
    46296.0
    """
    return float((dt.date(day.year, day.month, day.day) - EPOCH).days)
