"""A ranch that is small and complete: every check passes, and one missing entry shows."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from haymow.ranch import Cell, Ranch

__all__ = ["SIZES", "small_ranch", "without"]

SIZES = {"group": 2, "month": 4, "line": 2, "forage": 3, "product": 4, "sample": 4}
REPORT = {"reported.dm": 90, "reported.cp": 5, "reported.tdn": 52, "reported.adf": 43,
          "reported.ndf": 66, "reported.ca": 0.4, "reported.p": 0.12}
ENTRIES: Mapping[str, Mapping[int, Mapping[str, Cell]]] = {
    "Samples": {
        1: {"sample_id": "S-1", "forage": "Range", "sampled_on": dt.date(2026, 11, 5),
            "basis": "dry matter", **REPORT},
        2: {"sample_id": "S-2", "forage": "Hay", "sampled_on": dt.date(2026, 9, 1),
            "basis": "as fed", **REPORT, "reported.cp": 9},
    },
    "Forages": {1: {"forage": "Range", "kind": "native range"},
                2: {"forage": "Hay", "kind": "cool-season grass hay"}},
    "Herd": {
        1: {"group": "Cows", "class_name": "mature cow", "head": 100, "weight": 1200,
            "first_calf_on": dt.date(2027, 1, 10), "peak_milk": 18, "usual_forage": "Range"},
        2: {"group": "Heifers", "class_name": "replacement heifer", "head": 20, "weight": 600,
            "gain": 1.2, "mature_weight": 1200, "usual_forage": "Range"},
    },
    "Diet": {2: {"second": "Hay", "second_pct": 30}},
    "Supplements": {
        2: {"product": "Cube", "purpose": "CP", "price": 450, "basis": "as fed",
            "reported.dm": 90, "reported.cp": 38, "reported.tdn": 70, "reported.ca": 0.4,
            "reported.p": 1},
        3: {"product": "Mineral", "purpose": "P", "price": 900, "label_intake": 0.25,
            "basis": "as fed", "reported.dm": 97, "reported.cp": 0, "reported.tdn": 0,
            "reported.ca": 14, "reported.p": 8},
    },
    "Plan": {1: {"product": "Cube", "times_per_week": 3},
             2: {"product": "Mineral", "mode": "by its own intake"}, 3: {"product": "Cube"}},
}


def small_ranch(us: bool = True, **sizes: int) -> Ranch:
    """The ranch; the same numbers are pounds or kilograms, which no test here minds."""
    return Ranch(entries=ENTRIES, settings={"first_month": dt.date(2026, 10, 1)},
                 sizes={**SIZES, **sizes}, us=us)


def without(ranch: Ranch, table: str, row: int, column: str, other: Any = None) -> Ranch:
    """The ranch with one entry left blank, or with another one there."""
    before = ranch.entries.get(table, {})
    rows = {**before, row: {**before.get(row, {}), column: other}}
    return replace(ranch, entries={**ranch.entries, table: rows})
